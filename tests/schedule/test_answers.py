"""Which entry answers which step, and what becomes of steps that are late, skipped, put off, dropped or repeated."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from fermtui.schedule.library import load
from fermtui.schedule.steps import Schedule
from fermtui.schedule.task import Task
from fermtui.schedule.tasks import tasks

Story = Callable[..., Mapping[str, Task]]
Day = Callable[..., str]
PITCHED = """
{ at = 2026-03-01T17:00:00+01:00, did = "mix", volume_l = 4.2 }
{ at = 2026-03-01T18:00:00+01:00, did = "read", sg = 1.099 }
{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }
"""
FRUIT = 'fruit = { kind = "plum", mass_g = 500 }\n'
CHAIN = """
title = "One after the other"
[[step]]
key = "a"
do = "dose"
due = { after = "pitch", days = 2 }
[[step]]
key = "b"
do = "dose"
due = { after = "step:a", days = 3 }
[[step]]
key = "c"
do = "rack"
due = { after = "step:b", days = 10 }
"""
STIR = """
title = "Every day"
[[step]]
key = "stir"
do = "aerate"
due = { every = 1, from = { after = "pitch" }, until = { after = "pitch", days = 5 } }
"""


def did(day: int, kind: str, more: str = "", month: int = 3, hour: int = 19) -> str:
    zone = "+02:00" if month > 3 else "+01:00"
    return (
        f'{{ at = 2026-{month:02d}-{day:02d}T{hour:02d}:00:00{zone}, did = "{kind}"{", " + more if more else ""} }}\n'
    )


def test_a_step_behind_a_late_one_moves_with_it(story: Story, day: Day) -> None:
    before = story(PITCHED, "2026-03-02T12:00", CHAIN)
    assert [day(before[key].likely) for key in "abc"] == ["2026-03-03", "2026-03-06", "2026-03-16"]
    overdue = story(PITCHED, "2026-03-08T12:00", CHAIN)
    assert overdue["a"].state == "late"
    assert [day(overdue[key].likely) for key in "bc"] == ["2026-03-11", "2026-03-21"]
    assert overdue["b"].forecast, "it hangs on something that is not done yet"
    ticked = story(PITCHED + did(9, "dose", 'task = "a", dap_g = 1'), "2026-03-09T20:00", CHAIN)
    assert [day(ticked[key].likely) for key in "bc"] == ["2026-03-12", "2026-03-22"]
    assert day(ticked["a"].done_at) == "2026-03-09"
    assert not ticked["b"].forecast


def test_a_follower_never_comes_due_before_what_it_follows(story: Story) -> None:
    assert story(PITCHED, "2026-07-01T12:00", CHAIN)["b"].state == "coming"


def test_entries_that_name_no_task_answer_the_earliest_open_step_of_their_kind(story: Story, day: Day) -> None:
    page = PITCHED + did(3, "dose", "dap_g = 1") + did(5, "dose", "dap_g = 1")
    found = story(page, "2026-03-05T20:00")
    assert [(found[key].state, day(found[key].done_at)) for key in ("dose-1", "dose-2")] == [
        ("done", "2026-03-03"),
        ("done", "2026-03-05"),
    ]


def test_an_act_done_early_is_done(story: Story) -> None:
    found = story(PITCHED + did(2, "dose", "dap_g = 1"), "2026-03-02T20:00")
    assert (found["dose-1"].state, found["dose-2"].state) == ("done", "coming")


def test_a_step_named_by_a_later_entry_is_left_to_it(story: Story, day: Day) -> None:
    page = PITCHED + did(3, "dose", "dap_g = 1") + did(5, "dose", 'dap_g = 1, task = "dose-1"')
    found = story(page, "2026-03-05T20:00")
    assert [day(found[key].done_at) for key in ("dose-1", "dose-2")] == ["2026-03-05", "2026-03-03"]


def test_an_entry_that_names_a_step_of_another_schedule_answers_by_its_kind(story: Story) -> None:
    assert story(PITCHED + did(3, "dose", 'dap_g = 1, task = "old-name"'), "2026-03-03T20:00")["dose-1"].state == "done"


def test_the_number_of_the_dose(story: Story) -> None:
    found = story(PITCHED, "2026-03-03T20:00", "four-small-doses")
    assert [(found[f"dose-{n}"].dose_n, found[f"dose-{n}"].dose_m) for n in (1, 4)] == [(1, 4), (4, 4)]


def test_a_reading_of_another_day_is_not_the_one_asked_for(story: Story) -> None:
    early = story(PITCHED + did(2, "read", "sg = 1.095"), "2026-03-02T20:00")["sign"]
    assert early.state == "coming"
    on_the_day = story(PITCHED + did(4, "read", "sg = 1.090", hour=1), "2026-03-04T02:00")["sign"]
    assert on_the_day.state == "done"
    only_warmth = story(PITCHED + did(4, "read", "temp_c = 20"), "2026-03-04T20:00")["sign"]
    assert only_warmth.state == "due"


def test_a_second_look_before_pitching_is_no_look_at_a_live_ferment(story: Story) -> None:
    page = PITCHED + '{ at = 2026-03-01T18:10:00+01:00, did = "read", sg = 1.0985, ph = 3.9 }\n'
    assert story(page, "2026-03-02T12:00", "two-doses")["og"].state == "done"
    assert story(page, "2026-03-05T12:00", "two-doses")["sign"].state in ("due", "late")


def test_a_tasting_before_the_bottles_are_filled_is_none_of_the_later_ones(story: Story) -> None:
    bottled = did(1, "taste", month=4) + did(2, "bottle", "count = 5, size_ml = 750", month=4)
    found = story(PITCHED + bottled, "2026-04-03T12:00")
    assert [found[key].state for key in ("taste-3", "taste-6")] == ["coming", "coming"]
    a_little_early = story(PITCHED + bottled + did(25, "taste", month=6), "2026-06-25T20:00")
    assert [a_little_early[key].state for key in ("taste-3", "taste-6")] == ["done", "coming"]


# How early still counts is judgement: a fortnight, where the tastings stand three months apart.
@pytest.mark.parametrize(("month", "date", "state"), [(5, 2, "coming"), (6, 16, "coming"), (6, 19, "done")])
def test_a_tasting_weeks_before_its_time_is_another_one(story: Story, month: int, date: int, state: str) -> None:
    page = PITCHED + did(2, "bottle", "count = 5, size_ml = 750", month=4) + did(date, "taste", month=month)
    assert story(page, "2026-06-25T20:00")["taste-3"].state == state


def test_a_struck_entry_opens_its_step_again_and_a_struck_strike_closes_it(story: Story) -> None:
    done = PITCHED + "gave = " + did(3, "dose", 'dap_g = 1, task = "dose-1"')
    struck = done + "slip = " + did(3, "strike", 'entry = "gave"', hour=20)
    back = struck + did(3, "strike", 'entry = "slip"', hour=21)
    states = [story(page, "2026-03-03T22:00")["dose-1"].state for page in (done, struck, back)]
    assert states == ["done", "due", "done"]


def test_a_skipped_step_is_dropped_with_its_reason_and_its_followers_count_from_the_skip(
    story: Story, day: Day
) -> None:
    page = PITCHED + did(4, "skip", 'task = "a", reason = "enough in the honey"')
    found = story(page, "2026-03-04T20:00", CHAIN)
    assert (found["a"].state, found["a"].why.values["reason"]) == ("dropped", "enough in the honey")
    assert found["a"].done_at is None
    assert day(found["b"].likely) == "2026-03-07"
    assert found["b"].why.values["skipped"] is True


def test_a_skipped_step_that_is_done_after_all_is_done(story: Story) -> None:
    page = PITCHED + did(4, "skip", 'task = "a"') + did(5, "dose", 'task = "a", dap_g = 1')
    assert story(page, "2026-03-05T20:00", CHAIN)["a"].state == "done"


@pytest.mark.parametrize(
    ("on", "state"), [("2026-03-05T12:00", "coming"), ("2026-03-07T12:00", "due"), ("2026-03-08T12:00", "late")]
)
def test_a_step_put_off_is_not_due_before_its_day_and_late_only_after_it(
    story: Story, day: Day, on: str, state: str
) -> None:
    page = PITCHED + did(3, "postpone", 'task = "a", until = 2026-03-07, reason = "away"')
    found = story(page, on, CHAIN)["a"]
    assert (found.state, day(found.likely), day(found.postponed_until)) == (state, "2026-03-07", "2026-03-07")


def test_a_day_put_off_to_after_the_clocks_change_is_that_day(story: Story, day: Day) -> None:
    page = '{ at = 2026-10-20T18:30:00+02:00, did = "pitch" }\n' + did(
        20, "postpone", 'task = "a", until = 2026-11-01', month=10, hour=20
    )
    found = story(page, "2026-10-25T12:00", CHAIN)["a"]
    assert day(found.likely, hours=True) == "2026-11-01 00:00"


def test_putting_off_again_counts_the_last_word(story: Story, day: Day) -> None:
    page = (
        PITCHED
        + did(3, "postpone", 'task = "a", until = 2026-03-20')
        + did(4, "postpone", 'task = "a", until = 2026-03-06')
    )
    assert day(story(page, "2026-03-05T12:00", CHAIN)["a"].likely) == "2026-03-06"


def test_a_dose_is_dropped_past_half_of_the_sugar_and_stays_so_when_fruit_goes_in(story: Story) -> None:
    page = PITCHED + did(8, "read", "sg = 1.048")
    assert story(page, "2026-03-08T20:00")["dose-1"].state == "dropped"
    more = page + did(9, "fruit", 'kind = "plum", mass_g = 3000') + did(20, "read", "sg = 1.060")
    assert story(more, "2026-03-20T20:00")["dose-1"].state == "dropped"


def test_bottling_drops_what_a_full_vessel_would_still_need(story: Story) -> None:
    page = PITCHED + did(1, "rack", month=4) + did(10, "bottle", "count = 5, size_ml = 750", month=4)
    found = story(page, "2026-04-11T12:00")
    assert {key: found[key].state for key in ("rack-1", "rack-2", "airlock", "bottle", "taste-3")} == {
        "rack-1": "done",
        "rack-2": "dropped",
        "airlock": "dropped",
        "bottle": "done",
        "taste-3": "coming",
    }


def test_what_is_left_to_bottle_keeps_the_rest_alive(story: Story) -> None:
    page = PITCHED + did(1, "rack", month=4) + did(10, "bottle", "count = 2, size_ml = 750, left_l = 2.4", month=4)
    found = story(page, "2026-04-11T12:00")
    assert (found["rack-2"].state, found["airlock"].state) == ("coming", "coming")
    assert (found["bottle"].state, found["bottle-rest"].state) == ("done", "due")
    rest = page + did(12, "bottle", "count = 3, size_ml = 750", month=4)
    assert "bottle-rest" not in story(rest, "2026-04-13T12:00")


def test_an_emptied_vessel_asks_for_nothing_any_more(story: Story) -> None:
    found = story(PITCHED + did(8, "empty", 'reason = "vinegar"'), "2026-03-09T12:00")
    assert {task.state for task in found.values()} == {"done", "dropped"}


def test_a_repeating_step_leaves_one_open_task_however_many_days_were_missed(story: Story, day: Day) -> None:
    missed = story(PITCHED, "2026-03-05T12:00", STIR)
    assert list(missed) == ["stir"]
    assert (missed["stir"].state, day(missed["stir"].likely)) == ("late", "2026-03-01")
    page = PITCHED + did(1, "aerate") + did(4, "aerate")
    found = story(page, "2026-03-04T20:00", STIR)["stir"]
    assert (found.state, day(found.likely), [day(at) for at in found.marks]) == (
        "coming", "2026-03-05", ["2026-03-01", "2026-03-04"],
    )  # fmt: skip


def test_a_repeating_step_ends_with_its_last_day(story: Story) -> None:
    page = PITCHED + "".join(did(day, "aerate") for day in (1, 2, 3, 4, 5))
    assert story(page, "2026-03-05T20:00", STIR)["stir"].state == "done"
    assert story(PITCHED + did(2, "aerate"), "2026-03-06T00:00", STIR)["stir"].state == "done"
    assert story(PITCHED, "2026-03-06T00:00", STIR)["stir"].state == "dropped"


def test_skipping_a_repeating_step_skips_one_time(story: Story, day: Day) -> None:
    found = story(PITCHED + did(2, "skip", 'task = "stir"'), "2026-03-02T20:00", STIR)["stir"]
    assert (found.state, day(found.likely)) == ("coming", "2026-03-03")


def test_every_four_weeks_counts_from_the_last_look(story: Story, day: Day) -> None:
    page = PITCHED + did(1, "rack", month=4) + did(3, "chore", 'what = "airlock"', month=5)
    assert day(story(page, "2026-05-04T12:00")["airlock"].likely) == "2026-05-31"


def test_a_chore_is_told_by_what_it_is(story: Story) -> None:
    page = PITCHED + did(1, "rack", month=4) + did(30, "chore", 'what = "label"', month=4)
    assert not story(page, "2026-05-04T12:00")["airlock"].marks


def test_without_fruit_there_is_nothing_to_punch_or_to_pull(story: Story, day: Day) -> None:
    page = PITCHED + did(16, "skip", 'task = "fruit", reason = "none ripe"')
    found = story(page, "2026-03-17T12:00", "fruit-when-dry")
    assert [found[key].state for key in ("thaw", "punch", "pull")] == ["dropped"] * 3
    assert day(found["rack-1"].likely) == "2026-03-23"


def test_fruit_to_come_keeps_them_waiting(story: Story) -> None:
    found = story(PITCHED, "2026-03-17T12:00", "fruit-when-dry")
    assert [found[key].state for key in ("punch", "pull")] == ["waiting", "waiting"]


@pytest.mark.parametrize("entry", ['did = "pull", what = "fruit"', 'did = "pull"', 'did = "rack", into = "Jug"'])
def test_racking_off_the_fruit_answers_the_pull(story: Story, day: Day, entry: str) -> None:
    page = (
        PITCHED + did(16, "fruit", 'kind = "plum", mass_g = 500') + f"{{ at = 2026-04-05T19:00:00+02:00, {entry} }}\n"
    )
    found = story(page, "2026-04-06T12:00", "fruit-when-dry")
    assert (found["pull"].state, day(found["pull"].done_at)) == ("done", "2026-04-05")
    assert (found["punch"].state, found["rack-1"].state) == ("dropped", "coming")
    assert day(found["rack-1"].likely) == "2026-04-12"


def test_a_racking_ticked_while_fruit_is_in_answers_both(story: Story) -> None:
    page = PITCHED + did(16, "fruit", 'kind = "plum", mass_g = 500') + did(5, "rack", 'task = "rack-1"', month=4)
    found = story(page, "2026-04-06T12:00", "fruit-when-dry")
    assert (found["pull"].state, found["rack-1"].state) == ("done", "done")


def test_pulling_spice_leaves_the_fruit_alone(story: Story) -> None:
    page = PITCHED + did(16, "fruit", 'kind = "plum", mass_g = 500') + did(20, "pull", 'what = "spice"')
    assert story(page, "2026-03-20T20:00", "fruit-when-dry")["pull"].state == "coming"


def test_spice_is_known_by_its_own_name(story: Story) -> None:
    plan = 'volume_l = 4.2\ngravity = 1.099\nspice = "Ginger"\n'
    page = PITCHED + did(1, "rack", month=4) + did(2, "add", 'what = "ginger", mass_g = 20', month=4)
    assert story(page, "2026-04-02T20:00", "spiced", plan)["spice"].state == "done"


def test_a_clock_set_back_loses_and_doubles_nothing(story: Story, day: Day) -> None:
    page = PITCHED + did(3, "dose", 'dap_g = 1, task = "dose-1"')
    found = story(page, "2026-02-20T12:00")
    assert (found["dose-1"].state, found["dose-2"].state, day(found["dose-2"].likely)) == (
        "done",
        "coming",
        "2026-03-06",
    )
    assert len(found) == len(set(found))


@pytest.mark.parametrize("on", ["9999-12-31T23:00", "1901-01-01T00:00", "2200-06-01T12:00"])
def test_a_clock_far_away_breaks_nothing(story: Story, on: str) -> None:
    assert story(PITCHED, on, CHAIN)


def test_grace_is_that_of_the_kind_or_the_step_own(story: Story) -> None:
    racked = PITCHED + did(1, "rack", month=4)
    looked = racked + did(1, "chore", 'what = "look", task = "look"', month=5)
    assert story(looked, "2026-05-07T12:00")["rack-2"].state == "due"
    assert story(looked, "2026-05-09T12:00")["rack-2"].state == "late"
    calm = (
        did(4, "read", "sg = 1.000", month=4)
        + did(8, "read", "sg = 1.000", month=4)
        + did(11, "read", "sg = 1.000", month=4)
    )
    left_out = looked + calm + did(2, "skip", 'task = "rack-2"', month=5)
    assert story(left_out, "2027-06-08T12:00")["bottle"].state == "due", "bottling is never late"
    strict = CHAIN.replace('key = "c"\n', 'key = "c"\ngrace_days = 0\n')
    ticked = PITCHED + did(3, "dose", 'dap_g = 1, task = "a"') + did(6, "dose", 'dap_g = 1, task = "b"')
    assert story(ticked, "2026-03-16T23:00", strict)["c"].state == "due"
    assert story(ticked, "2026-03-17T00:01", strict)["c"].state == "late"


def test_a_vessel_poured_off_from_another_keeps_what_was_done_there(facts: Callable[..., Any]) -> None:
    parent, _ = facts(PITCHED + did(3, "dose", "dap_g = 1") + did(4, "read", "sg = 1.085"))
    pitch = '{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }\n'
    receive = did(5, "receive", 'from = "parent", water_g = 1800.0, sugar_g = 400.0, ethanol_g = 30.0', hour=20)
    child, head = facts(receive + pitch)
    now = datetime.fromisoformat("2026-03-05T21:00:00+01:00")
    listed = tasks(child, schedule_named(), head.plan, None, now, ZoneInfo("Europe/Vienna"), "child", parent.acts)
    states = {task.key: task.state for task in listed}
    assert {key: states[key] for key in ("mix", "og", "pitch", "dose-1", "sign", "dose-2")} == {
        "mix": "done", "og": "done", "pitch": "done", "dose-1": "done", "sign": "done", "dose-2": "coming",
    }  # fmt: skip


def schedule_named() -> Schedule:
    found, _ = load("two-doses", None)
    assert found is not None
    return found


def test_a_gravity_and_a_ph_of_the_day_before_answer_the_step_that_asks_for_both(story: Story) -> None:
    """The sign of day 3; a gravity alone on the day before leaves the pH open, and two days before is too early."""
    both = story(PITCHED + did(3, "read", "sg = 1.080, ph = 3.6"), "2026-03-04T20:00")["sign"]
    assert both.state == "done"
    apart = PITCHED + did(3, "read", "sg = 1.080", hour=9) + did(3, "read", "ph = 3.6", hour=10)
    assert story(apart, "2026-03-04T20:00")["sign"].state == "done"
    assert story(PITCHED + did(3, "read", "sg = 1.080"), "2026-03-04T20:00")["sign"].is_open
    assert story(PITCHED + did(2, "read", "sg = 1.090, ph = 3.6"), "2026-03-04T20:00")["sign"].is_open


TWO_AT_ONCE = """
title = "Two doses close together"
[[step]]
key = "first"
do = "dose"
share = 0.3
due = { after = "pitch", hours = 40 }
[[step]]
key = "second"
do = "dose"
share = 0.3
due = { after = "pitch", hours = 48 }
[[step]]
key = "third"
do = "dose"
share = 0.3
due = { after = "pitch", hours = 72 }
"""
BEGUN = '{ at = 2026-03-01T18:00:00+01:00, did = "pitch" }\n'


def test_two_doses_never_stand_due_within_half_a_day(story: Story) -> None:
    both = story(BEGUN, "2026-03-03T19:00", TWO_AT_ONCE)
    assert (both["first"].state, both["second"].state) == ("due", "dropped")
    given = BEGUN + '{ at = 2026-03-03T12:00:00+01:00, did = "dose", dap_g = 1.0 }\n'
    apart = story(given, "2026-03-03T19:00", TWO_AT_ONCE)["second"]
    assert apart.state == "coming"
    assert apart.likely is not None
    assert apart.likely.isoformat() == "2026-03-04T00:00:00+01:00"
    assert story(given, "2026-03-04T01:00", TWO_AT_ONCE)["second"].state == "due"


def test_a_dose_stands_for_those_that_had_come_due_and_its_strike_brings_them_back(story: Story) -> None:
    page = BEGUN + 'late = { at = 2026-03-04T12:00:00+01:00, did = "dose", dap_g = 1.0 }\n'
    found = story(page, "2026-03-04T13:00", TWO_AT_ONCE)
    assert [found[key].state for key in ("first", "second")] == ["done", "dropped"]
    assert found["second"].why.kind == "missed"
    assert found["third"].state == "coming"
    struck = page + '{ at = 2026-03-04T14:00:00+01:00, did = "strike", entry = "late" }\n'
    back = story(struck, "2026-03-04T15:00", TWO_AT_ONCE)
    assert (back["first"].state, back["second"].state) == ("late", "dropped")
    later = page + '{ at = 2026-03-06T12:00:00+01:00, did = "dose", dap_g = 1.0, task = "second" }\n'
    named = story(later, "2026-03-06T13:00", TWO_AT_ONCE)
    assert named["second"].state == "done", "an entry that names it answers it, however late"
