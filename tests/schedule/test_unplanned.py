"""Fruit beside the plan, and steps behind the bottling. Three weeks on the fruit: common practice, no source."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from fermtui.schedule.task import Task

Tasks = Mapping[str, Task]
Story = Callable[..., Tasks]
Day = Callable[..., str]
PITCHED = """
{ at = 2026-03-01T18:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1130 }
{ at = 2026-03-01T18:10:00+01:00, did = "read", sg = 1.090, temp_c = 20 }
{ at = 2026-03-01T19:00:00+01:00, did = "pitch" }
"""
SECOND = '{ at = 2026-04-01T19:00:00+02:00, did = "fruit", kind = "plum", mass_g = 300 }\n'
CHILLED = """
title = "Short"
[[step]]
key = "bottle"
do = "bottle"
due = { after = "pitch", days = 5 }
[[step]]
key = "chill"
do = "chill"
due = { after = "step:bottle", days = 2 }
[[step]]
key = "crash"
do = "chill"
due = { after = "pitch", days = 4 }
"""
BOTTLED = '{ at = 2026-03-06T19:00:00+01:00, did = "bottle", count = 5, size_ml = 750, left_l = 0 }\n'


def test_fruit_that_the_schedule_does_not_know_is_punched_and_pulled(story: Story, day: Day) -> None:
    tasks = story(PITCHED + SECOND, "2026-04-03T12:00")
    assert (tasks["pull-fruit"].do, day(tasks["pull-fruit"].likely)) == ("pull", "2026-04-22")
    assert tasks["punch-fruit"].state == "due"
    punched = story(PITCHED + SECOND + '{ at = 2026-04-03T12:30:00+02:00, did = "punch" }\n', "2026-04-03T13:00")
    assert day(punched["punch-fruit"].likely) == "2026-04-04"
    pulled = PITCHED + SECOND + '{ at = 2026-04-22T12:30:00+02:00, did = "pull", what = "fruit" }\n'
    assert not {"pull-fruit", "punch-fruit"} & set(story(pulled, "2026-04-23T12:00"))


def test_a_second_fruit_after_the_planned_pull_is_asked_for_too(story: Story) -> None:
    planned = "volume_l = 4.0\ngravity = 1.090\nfruit = { kind = \"plum\", mass_g = 480 }"
    first = (
        '{ at = 2026-03-16T19:00:00+01:00, did = "fruit", kind = "plum", mass_g = 480, task = "fruit" }\n'
        '{ at = 2026-04-06T19:00:00+02:00, did = "pull", what = "fruit", task = "pull" }\n'
    )
    before = story(PITCHED + first, "2026-04-10T12:00", "fruit-when-dry", planned)
    assert "pull-fruit" not in before
    second = SECOND.replace("04-01", "04-08")
    after = story(PITCHED + first + second, "2026-04-10T12:00", "fruit-when-dry", planned)
    assert after["pull-fruit"].is_open


def test_what_counts_from_the_bottling_is_not_over_with_it(story: Story, day: Day) -> None:
    tasks = story(PITCHED + BOTTLED, "2026-03-07T12:00", CHILLED)
    assert (tasks["chill"].state, day(tasks["chill"].likely)) == ("coming", "2026-03-08")
    assert tasks["crash"].state == "dropped", "what was to come before it is over"


REST = """
title = "Sparkling"
[[step]]
key = "rack"
do = "rack"
due = { after = "pitch", days = 3 }
[[step]]
key = "airlock"
do = "chore"
what = "airlock"
due = { every = 28, from = { after = "step:rack", days = 1 }, until = { after = "bottled" } }
[[step]]
key = "bottle"
do = "bottle"
due = { after = "pitch", days = 5 }
[[step]]
key = "open-one"
do = "open"
due = { after = "step:bottle", days = 14 }
[[step]]
key = "taste-3"
do = "taste"
due = { after = "step:bottle", months = 3 }
"""
RACKED = '{ at = 2026-03-04T19:00:00+01:00, did = "rack", volume_l = 4.0 }\n'


def bottled(left: str) -> str:
    given = f"count = 3, size_ml = 750, {left}"
    return PITCHED + RACKED + f'{{ at = 2026-03-06T19:00:00+01:00, did = "bottle", {given} }}\n'


def test_a_rest_worth_bottling_is_asked_for_until_it_is_bottled_drunk_or_left_out(story: Story) -> None:
    assert story(bottled("left_l = 1.6"), "2026-03-07T12:00", REST)["bottle-rest"].state == "due"
    for gone in ("left_l = 0.8", 'left_l = 1.6, rest = "drunk"'):
        assert "bottle-rest" not in story(bottled(gone), "2026-03-07T12:00", REST)
    skipped = '{ at = 2026-03-07T19:00:00+01:00, did = "skip", task = "bottle-rest" }\n'
    tasks = story(bottled("left_l = 1.6") + skipped, "2026-05-08T12:00", REST)
    assert "bottle-rest" not in tasks
    assert not tasks["airlock"].is_open, "the vessel is empty"


def test_empty_ends_what_the_vessel_wants_and_never_the_checks_of_full_bottles(story: Story) -> None:
    emptied = '{ at = 2026-03-07T19:00:00+01:00, did = "empty" }\n'
    tasks = story(bottled("left_l = 1.6") + emptied, "2026-03-21T12:00", REST)
    assert (tasks["open-one"].state, tasks["taste-3"].state) == ("due", "coming")
    assert not tasks["airlock"].is_open
    assert "bottle-rest" not in tasks
    opened = '{ at = 2026-03-08T19:00:00+01:00, did = "open", count = 3, why = "drunk" }\n'
    assert not story(bottled("left_l = 1.6") + emptied + opened, "2026-03-21T12:00", REST)["taste-3"].is_open


def test_a_part_poured_off_wants_no_dose_that_its_parent_was_past(facts: Callable[..., Any], story: Story) -> None:
    receive = (
        '{ at = 2026-03-08T20:00:00+01:00, did = "receive", from = "parent", water_g = 1850.0, sugar_g = 140.0, '
        "ethanol_g = 110.0, pitched = 2026-03-01T19:00:00+01:00 }\n"
    )
    seen, _ = facts(receive)
    assert seen.poured_sg is not None
    tasks = story(receive, "2026-03-09T12:00")
    assert tasks["dose-2"].state == "dropped", "more than half of its sugar was spent when it was poured off"
