"""An entry is told in the maker's units, with every field that says something."""

from __future__ import annotations

from decimal import Decimal

import pytest

from fermtui.units import Units
from fermtui.wording.amounts import amounts_text
from fermtui.wording.kinds import done_text

AMERICAN = Units(volume="gal", mass="lb", temp="F")


@pytest.mark.parametrize(
    ("did", "fields", "text"),
    [
        ("pitch", {"temp_c": Decimal(20)}, "pitched 68 °F"),
        ("heat", {"temp_c": Decimal("60.0"), "hours": Decimal(2)}, "heated 140 °F, for 2 hours"),
        ("chill", {"hours": 1}, "chilled for 1 hour"),
        ("pull", {"what": "fruit", "loss_l": Decimal("3.785")}, "took out 1.00 gal lost, fruit"),
        ("read", {"sg": Decimal("1.040"), "temp_c": Decimal(20)}, "read 1.040 at 68 °F"),
        ("filter", {"pad_um": Decimal("0.5"), "loss_l": Decimal("3.785")}, "filtered 0.5 µm pad, 1.00 gal lost"),
    ],
)
def test_an_entry_in_the_units_of_the_maker(did: str, fields: dict[str, object], text: str) -> None:
    assert done_text(did, fields, AMERICAN) == text


def test_metric_and_comma() -> None:
    assert done_text("heat", {"temp_c": 60, "hours": Decimal("2.5")}, Units(decimal_comma=True)) == (
        "heated 60 °C, for 2,5 hours"
    )
    assert amounts_text({"temp_c": 20}, AMERICAN) == "68 °F"
    assert amounts_text({"loss_l": 0.5}) == "0.50 L lost"
