"""Amounts, entries and what was just written, in a few words."""

from __future__ import annotations

from datetime import datetime, time
from decimal import Decimal
from typing import Any

import pytest

from fermtui.units import Units
from fermtui.wording.amounts import amounts_text
from fermtui.wording.kinds import done_text, reading_text, to_do
from fermtui.writing.confirmation import written_text
from fermtui.writing.entries import WrittenEntry

AT = datetime.fromisoformat("2026-03-18T20:15:00+01:00")
AMERICAN = Units(volume="gal", mass="lb", temp="F")


@pytest.mark.parametrize(
    ("amounts", "said"),
    [
        ({}, ""), ({"dap_g": 1.1, "autolysate_g": 1.3}, "1.1 g DAP, 1.3 g autolysate"), ({"dap_g": 0.0}, ""),
        ({"count": 1, "size_ml": 750.0}, "1 bottle of 750 mL"), ({"count": 5}, "5 bottles"),
        ({"autolysate_g": 4.1, "only_if_slow": True}, "4.1 g autolysate, only if it goes slowly"),
        ({"only_if_slow": True}, ""), ({"unheard_of": object(), "volume_l": None}, ""),
        ({"kind": "[bold]\x1b[2Jplum", "mass_g": 500.0}, "[bold]�[2Jplum, 500 g"),
        ({"honey_g": 1247.0, "water_l": 3.1}, "1.25 kg honey, 3.1 L water"), ({"left_l": 0.0}, ""),
    ],
)  # fmt: skip
def test_amounts(amounts: dict[str, Any], said: str) -> None:
    assert amounts_text(amounts) == said


def test_amounts_in_the_units_of_the_cellar() -> None:
    assert amounts_text({"honey_g": 453.59, "volume_l": 3.785}, AMERICAN) == "1 lb 0.0 oz honey, 1.00 gal"


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"sg": Decimal("1.100")}, "1.100"), ({"sg": Decimal("1.0423"), "temp_c": Decimal(21)}, "1.0423 at 21 °C"),
        ({"sg": 1.05}, "1.050"), ({"brix": Decimal("8.4"), "ph": Decimal("3.40")}, "8.4 °Bx, pH 3.40"),
        ({"ph": 3.4}, "pH 3.4"), ({"temp_c": -2}, "-2 °C"), ({"free_so2_mg_per_l": 30}, "free SO2 30 mg/L"), ({}, ""),
    ],
)  # fmt: skip
def test_a_reading_keeps_the_precision_in_which_it_was_written(fields: dict[str, Any], said: str) -> None:
    assert reading_text(fields) == said


@pytest.mark.parametrize(
    ("did", "fields", "said"),
    [
        ("dose", {"dap_g": Decimal("1.1"), "task": "dose-1"}, "dosed 1.1 g DAP"), ("pitch", {}, "pitched"),
        ("skip", {"task": "dose-2", "reason": "smells fine"}, "left out dose 2, smells fine"),
        ("postpone", {"task": "dose-2", "until": AT.date()}, "put off dose 2, until 2026-03-18"),
        ("taste", {"look": "clear", "score": Decimal(15)}, "tasted clear, 15 of 20"),
        ("note", {"text": "a\nb\x1b[2J"}, "note a b�[2J"), ("wobble", {"odd": time(7)}, "wobble"),
        ("wobble", {"odd": [1], "strange": {"a": 1}}, "wobble"), ("strike", {"entry": "k1"}, "taken back k1"),
        ("split", {"into": "half", "volume_l": Decimal("1.5")}, "split 1.5 L into half"),
        ("mix", {"honey_g": 900, "text": "stirred warm"}, "mixed 900 g honey; stirred warm"),
        ("x\x1b" * 40, {}, ("x�" * 14)[:27] + "..."),
    ],
)  # fmt: skip
def test_an_entry(did: str, fields: dict[str, Any], said: str) -> None:
    assert done_text(did, fields) == said


def test_what_to_do() -> None:
    assert to_do("dose", None, 2, 3) == "dose 2 of 3"
    assert to_do("pull", "oak") == "oak out"
    assert to_do("add", "oak") == "add oak"
    assert to_do("read", "ph") == "take a gravity and pH"
    assert to_do("wobble\x1b") == "wobble�"


def test_what_was_just_written() -> None:
    done = WrittenEntry("damson", "k1", "read", AT, {"sg": Decimal("1.042"), "temp_c": None})
    assert written_text(done) == "damson: read 1.042, Wed 18 Mar 20:15"
    both = WrittenEntry("damson", "k1", "split", AT, {"into": "half", "volume_l": 1.5}, also=("half",))
    assert written_text(both).endswith("(and in half)")
    undone = WrittenEntry(
        "damson", "k2", "strike", AT, {"entry": "k1", "took": "dose"}, took="dosed 1.1 g DAP, Wed 18 Mar"
    )
    assert written_text(undone) == "damson: took back dosed 1.1 g DAP, Wed 18 Mar"
