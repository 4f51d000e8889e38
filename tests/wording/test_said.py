"""Sentences written with °C and SG, told in the maker's units."""

from __future__ import annotations

import pytest

from fermtui.must.cautions import MOMENTS, cautions
from fermtui.schedule import library
from fermtui.units import METRIC, Units
from fermtui.wording.cautions import caution_lines
from fermtui.wording.said import in_units

FAHRENHEIT = Units(temp="F")


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Must below 30 °C and within 10 °C of the yeast.", "Must below 86 °F and within 18 °F of the yeast."),
        ("at 15 °C or more", "at 59 °F or more"),
        ("Chill it to -2 °C.", "Chill it to 28 °F."),
        ("Leave 15 mm below the cork.", "Leave 15 mm below the cork."),
        ("nothing of the kind", "nothing of the kind"),
    ],
)
def test_temperatures_and_spans_of_them(text: str, shown: str) -> None:
    assert in_units(text, FAHRENHEIT) == shown
    assert in_units(text, METRIC) == text


def test_gravities() -> None:
    # ASBC: 1.030 is 7.6 °P (from memory).
    assert in_units("honey again at 1.030, a long rest", Units(gravity="brix")) == "honey again at 7.6 °Bx, a long rest"
    assert in_units("honey again at 1.030", Units(gravity="oechsle")) == "honey again at 30 °Oe"
    assert in_units("12.5 % vol, 1.5 L, 0.25 g", Units(gravity="brix")) == "12.5 % vol, 1.5 L, 0.25 g"


def test_no_celsius_is_left_in_a_caution_or_a_schedule_of_the_library() -> None:
    for moment in MOMENTS:
        assert all("°C" not in line for line in caution_lines([moment], FAHRENHEIT))
        assert len(caution_lines([moment], FAHRENHEIT)) == len({one.text for one in cautions(moment)})
    for name in library.library_names():
        schedule, _ = library.load(name, None)
        assert schedule is not None
        for step in schedule.steps:
            assert "°C" not in in_units(step.say or "", FAHRENHEIT)
