"""The plan says what will really be, told by the commands and in the maker's own files."""

from __future__ import annotations

from typing import Any

import pytest

from fermtui.units import METRIC
from fermtui.writing.wanted import Strength, read_strength

ON = ("--on", "2026-03-01")
FRUITED = """
{ at = 2026-03-01T10:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1196, water_l = 3.18 }
{ at = 2026-03-01T10:05:00+01:00, did = "read", sg = 1.095 }
{ at = 2026-03-01T10:10:00+01:00, did = "fruit", kind = "plum", mass_g = 1500, treatment = "crushed" }
{ at = 2026-03-01T10:20:00+01:00, did = "pitch" }
"""
LATE_FRUIT = """
{ at = 2026-03-01T10:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1196, water_l = 3.18 }
{ at = 2026-03-01T10:05:00+01:00, did = "read", sg = 1.095 }
{ at = 2026-03-01T10:20:00+01:00, did = "pitch" }
{ at = 2026-03-15T10:20:00+01:00, did = "read", sg = 1.000 }
{ at = 2026-03-15T10:30:00+01:00, did = "fruit", kind = "plum", mass_g = 1500, treatment = "crushed" }
{ at = 2026-03-16T10:20:00+01:00, did = "read", sg = 1.004 }
"""


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("1.095", Strength(1.095, None)),
        ("12%", Strength(None, 12.0)),
        ("12,5 % vol", Strength(None, 12.5)),
        ("1.100 16%", Strength(1.1, 16.0)),
    ],
)
def test_one_field_takes_a_gravity_or_a_strength(text: str, meant: Strength) -> None:
    assert read_strength(text, METRIC) == meant


def test_a_strength_in_place_of_a_gravity_on_the_command_line(cellar: Any, fermtui: Any) -> None:
    cellar({})
    by_gravity = fermtui("start", "Damson", "--volume", "4L", "--gravity", "12%", "--dry-run", "--json", *ON)
    by_strength = fermtui("start", "Damson", "--volume", "4L", "--abv", "12", "--dry-run", "--json", *ON)
    assert by_gravity.status == 0
    assert by_gravity.json == by_strength.json
    twice = fermtui("start", "Damson", "--volume", "4L", "--gravity", "12%", "--abv", "12", "--dry-run", *ON)
    assert (twice.status, "names a strength already" in twice.err) == (2, True)
    none = fermtui("start", "Damson", "--volume", "4L", "--gravity", "120%", "--dry-run", *ON)
    assert (none.status, "no strength between 0 and 25" in none.err) == (1, True)


def test_the_law_is_told_at_length_once(cellar: Any, fermtui: Any) -> None:
    cellar({})
    first = fermtui("start", "Damson", "--volume", "4L", "--gravity", "1.095", *ON).out
    later = fermtui("start", "Sloe", "--volume", "4L", "--gravity", "1.095", *ON).out
    assert "100 gal a year" in first
    assert "100 gal a year" not in later
    assert "by the rules where you live" in later
    assert "Never seal a live ferment" in later  # what can hurt today is said each time


@pytest.mark.parametrize("sg", ["1.080", "1.088", "1.094"])
def test_a_reading_the_day_after_the_fruit_is_believed(cellar: Any, fermtui: Any, sg: str) -> None:
    # 4 L of 1.095 with 1.5 kg of plums come to 1.081 once all their juice is in, but not on the first day.
    cellar(
        {
            "vessels/damson/vessel.toml": 'name = "Damson"\n[plan]\nvolume_l = 4\ngravity = 1.095',
            "vessels/damson/daybook.toml": FRUITED,
        }
    )
    assert fermtui("read", "damson", sg, "--on", "2026-03-02").status == 0
    assert "out of reach" not in fermtui("show", "damson", "--on", "2026-03-02").out


def test_a_reading_above_all_that_went_in_is_asked_about(cellar: Any, fermtui: Any) -> None:
    cellar(
        {
            "vessels/damson/vessel.toml": 'name = "Damson"\n[plan]\nvolume_l = 4\ngravity = 1.095',
            "vessels/damson/daybook.toml": FRUITED,
        }
    )
    asked = fermtui("read", "damson", "1.100", "--on", "2026-03-02")
    assert (asked.status, "5 points above what went in, fruit and all" in asked.err) == (3, True)


@pytest.mark.parametrize(("sg", "status"), [("1.008", 0), ("1.012", 0), ("1.030", 3)])
def test_fruit_may_lift_the_gravity_while_it_gives_its_juice(cellar: Any, fermtui: Any, sg: str, status: int) -> None:
    # 1.5 kg of plums hold about 150 g of sugar: in 5.3 L that is up to 0.011 SG, of which a third is in on day one.
    cellar(
        {
            "vessels/damson/vessel.toml": 'name = "Damson"\n[plan]\nvolume_l = 4\ngravity = 1.095',
            "vessels/damson/daybook.toml": LATE_FRUIT,
        }
    )
    assert fermtui("read", "damson", sg, "--on", "2026-03-17").status == status


def test_the_first_reading_after_a_feed_is_held_against_what_the_ledger_expects(cellar: Any, fermtui: Any) -> None:
    book = [*LATE_FRUIT.splitlines()[:5], '{ at = 2026-03-15T10:30:00+01:00, did = "feed", honey_g = 200 }']
    cellar(
        {
            "vessels/damson/vessel.toml": 'name = "Damson"\n[plan]\nvolume_l = 4\ngravity = 1.095',
            "vessels/damson/daybook.toml": "\n".join(book),
        }
    )
    asked = fermtui("read", "damson", "1.045", "--on", "2026-03-15T11:00:00+01:00")  # 200 g lift 4 L by 0.014
    assert (asked.status, "with what was added" in asked.err) == (3, True)
    assert fermtui("read", "damson", "1.014", "--on", "2026-03-15T11:00:00+01:00").status == 0
