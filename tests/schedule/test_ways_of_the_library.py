"""What is peculiar to the schedules for short, sparkling, sour and malolactic meads, each as a page of a daybook."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import pytest

from fermtui.daybook.settings import Settings
from fermtui.replay.facts import Facts
from fermtui.schedule.amounts import amounts
from fermtui.schedule.task import Task
from fermtui.schedule.tasks import tasks

Story = Callable[..., Mapping[str, Task]]
Day = Callable[..., str]
LIGHT = 'volume_l = 4.0\ngravity = 1.045\nyeast = { demand = "medium", tolerance_abv = 14 }\n'
PITCHED = """
{ at = 2026-03-01T17:00:00+01:00, did = "mix", volume_l = 4.0 }
{ at = 2026-03-01T18:00:00+01:00, did = "read", sg = 1.045 }
{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }
"""
TESTED = (
    PITCHED
    + """
{ at = 2026-03-06T19:00:00+01:00, did = "read", sg = 1.006 }
{ at = 2026-03-07T19:00:00+01:00, did = "forced_test", sg = 0.996, days = 4, temp_c = 25 }
"""
)
BOTTLED = (
    TESTED
    + """
{ at = 2026-03-08T18:00:00+01:00, did = "read", sg = 0.999 }
{ at = 2026-03-08T19:00:00+01:00, did = "bottle", count = 5, size_ml = 750, glass = "sparkling", left_l = 0 }
"""
)
RACKED = (
    PITCHED
    + """
{ at = 2026-03-20T19:00:00+01:00, did = "read", sg = 0.996, temp_c = 16 }
{ at = 2026-03-24T19:00:00+01:00, did = "read", sg = 0.996, temp_c = 16 }
{ at = 2026-03-28T19:00:00+01:00, did = "read", sg = 0.996, temp_c = 16 }
{ at = 2026-03-28T20:00:00+01:00, did = "rack", volume_l = 3.8 }
"""
)


@pytest.mark.parametrize("name", ["short-mead", "sparkling-own-sugar"])
def test_it_is_bottled_from_8_g_per_l_down(story: Story, name: str) -> None:
    # A forced end of 0.996 and 8 g/L are 0.9992, at 2.5 g/L a point.
    high = story(TESTED, "2026-03-08T20:00", name, LIGHT)["bottle"]
    assert high.state == "waiting"
    low = TESTED + '{ at = 2026-03-08T18:00:00+01:00, did = "read", sg = 0.999 }\n'
    assert story(low, "2026-03-08T20:00", name, LIGHT)["bottle"].state == "due"


def test_its_bottles_are_of_glass_for_pressure_and_get_no_sugar(facts: Callable[..., tuple[Facts, object]]) -> None:
    from datetime import datetime
    from zoneinfo import ZoneInfo

    from fermtui.daybook.head import Head
    from fermtui.schedule.library import load

    zone = ZoneInfo("Europe/Vienna")
    found, head = facts(TESTED, LIGHT + "sparkling = 2.5\n")
    schedule, _ = load("short-mead", None)
    assert schedule is not None
    assert isinstance(head, Head)
    settings = Settings(zone=zone, timezone="Europe/Vienna")
    listed = tasks(found, schedule, head.plan, None, datetime(2026, 3, 8, 20, tzinfo=zone), zone, "rowan")
    bottle = next(task for task in listed if task.key == "bottle")
    asked = amounts(bottle, found, head.plan, settings)
    assert asked["glass"] == "sparkling"
    assert "priming_g" not in asked


def test_a_short_mead_is_chilled_and_drunk_within_weeks(story: Story, day: Day) -> None:
    found = story(BOTTLED, "2026-03-09T12:00", "short-mead", LIGHT)
    assert {key: day(found[key].likely) for key in ("open-one", "chill", "taste-week")} == {
        "open-one": "2026-03-10", "chill": "2026-03-11", "taste-week": "2026-03-15",
    }  # fmt: skip
    assert story(BOTTLED, "2026-03-13T12:00", "short-mead", LIGHT)["chill"].state == "late"
    cold = BOTTLED + '{ at = 2026-03-11T19:00:00+01:00, did = "chill", temp_c = 4 }\n'
    assert day(story(cold, "2026-03-12T12:00", "short-mead", LIGHT)["drink"].likely) == "2026-04-01"


def test_a_sour_mead_is_watched_until_its_ph_has_come_down(story: Story, day: Day) -> None:
    page = RACKED + '{ at = 2026-03-29T19:00:00+01:00, did = "add", what = "lactic culture" }\n'
    assert story(RACKED, "2026-03-29T12:00", "sour", LIGHT)["culture"].state == "due"
    watched = page + '{ at = 2026-04-05T19:00:00+01:00, did = "read", sg = 0.996, ph = 3.7 }\n'
    found = story(watched, "2026-04-06T12:00", "sour", LIGHT)
    assert day(found["watch-ph"].likely) == "2026-04-12"
    # The taste waits for the pH, and for four months at most.
    assert (found["taste-sour"].state, day(found["taste-sour"].likely)) == ("coming", "2026-07-29")
    sour = watched + '{ at = 2026-04-12T19:00:00+01:00, did = "read", sg = 0.996, ph = 3.4 }\n'
    over = story(sour, "2026-04-13T12:00", "sour", LIGHT)
    assert (over["watch-ph"].state, over["taste-sour"].state) == ("done", "due")
    assert not {"sulfite", "sorbate"} & over.keys()


def test_a_malolactic_culture_waits_for_warmth_and_no_longer_than_six_weeks(story: Story, day: Day) -> None:
    cold = story(RACKED, "2026-03-30T12:00", "malolactic", LIGHT)
    assert (cold["culture"].state, day(cold["culture"].likely)) == ("coming", "2026-05-09")
    assert cold["ask-temp"].what == "temperature"
    warm = RACKED + '{ at = 2026-03-31T19:00:00+02:00, did = "read", sg = 0.996, temp_c = 19 }\n'
    assert story(warm, "2026-03-31T20:00", "malolactic", LIGHT)["culture"].state == "due"
    given = warm + '{ at = 2026-04-01T19:00:00+02:00, did = "add", what = "malolactic culture" }\n'
    found = story(given, "2026-04-02T12:00", "malolactic", LIGHT)
    assert [day(found[key].likely) for key in ("watch-ph", "culture-test")] == ["2026-04-15", "2026-05-13"]


def test_malt_is_asked_for_before_the_gravity_and_its_sugar_counts(story: Story, facts: Callable[..., object]) -> None:
    page = '{ at = 2026-03-01T17:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 700 }\n'
    found = story(page, "2026-03-01T17:30", "braggot")
    assert (found["malt"].state, found["og"].state) == ("due", "coming")
    malted = page + '{ at = 2026-03-01T17:40:00+01:00, did = "add", what = "dry malt extract", mass_g = 320 }\n'
    assert story(malted, "2026-03-01T17:50", "braggot")["og"].state == "due"
    before, after = facts(page), facts(malted)
    assert isinstance(before, tuple)
    assert isinstance(after, tuple)
    # 96 % of 320 g are solids (by the table of substances, from memory).
    assert after[0].extract_g - before[0].extract_g == pytest.approx(0.96 * 320, abs=1.0)


def test_pyment_sulfites_raw_juice_a_day_before_its_yeast(story: Story, day: Day) -> None:
    page = """
    { at = 2026-03-01T17:00:00+01:00, did = "mix", volume_l = 4.0, juice_l = 2.0, juice_sg = 1.075 }
    { at = 2026-03-01T18:00:00+01:00, did = "read", sg = 1.090 }
    { at = 2026-03-01T19:00:00+01:00, did = "sulfite", metabisulfite_g = 0.35 }
    """
    found = story(page, "2026-03-01T20:00", "pyment")
    assert (found["pitch"].state, day(found["pitch"].likely, hours=True)) == ("coming", "2026-03-02 19:00")
    assert "enzyme" not in found
