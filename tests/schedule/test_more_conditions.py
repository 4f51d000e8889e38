"""Weeks, hours of a rhythm, meters, sugar left, additions by name and the first sign: what each means and says."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from fermtui.forecast.window import Window
from fermtui.reports.schedule_text import condition_text
from fermtui.schedule.parser import schedule_from
from fermtui.schedule.task import Task
from fermtui.units import Units
from fermtui.wording.why import why_text

Story = Callable[..., Mapping[str, Task]]
Day = Callable[..., str]
ZONE = ZoneInfo("Europe/Vienna")
PITCHED = """
{ at = 2026-03-01T17:00:00+01:00, did = "mix", volume_l = 4.2 }
{ at = 2026-03-01T18:00:00+01:00, did = "read", sg = 1.099 }
{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }
"""
PLAN = 'volume_l = 4.2\ngravity = 1.099\nyeast = { demand = "medium", tolerance_abv = 14 }\n'


def own(*steps: str) -> str:
    """A schedule of steps written as `KEY do | due | more`."""
    text = 'title = "Own"\n'
    for step in steps:
        name, due, *more = (part.strip() for part in step.split("|"))
        key, do = name.split()
        text += f'[[step]]\nkey = "{key}"\ndo = "{do}"\ndue = {due}\n' + "\n".join(more) + "\n"
    return text


def entry(day: int, fields: str, month: int = 3) -> str:
    return f"{{ at = 2026-{month:02d}-{day:02d}T19:00:00+01:00, {fields} }}\n"


def read(day: int, fields: str) -> str:
    return entry(day, f'did = "read", {fields}')


def words(due: str) -> str:
    """A condition as the page of a schedule tells it."""
    found, problems = schedule_from(own(f"a chore | {due}").encode(), "own.toml")
    assert found is not None, problems
    return condition_text(found.by_key["a"].due, found)


def said(task: Task, units: Units | None = None) -> str:
    return why_text(task.why, ZONE, None, units or Units())


def test_weeks_are_dates_of_seven_days(story: Story, day: Day) -> None:
    due = '{ after = "pitch", weeks = 6 }'
    found = story(PITCHED, "2026-03-02T12:00", own(f"a rack | {due}"))["a"]
    assert (day(found.likely), found.is_date) == ("2026-04-12", True)
    assert said(found) == "six weeks after pitching, 12 Apr"
    assert words(due) == "six weeks after pitching"


def test_weeks_before_a_step(story: Story, day: Day) -> None:
    schedule = own('buy chore | { before = "step:fruit", weeks = 1 }', 'fruit fruit | { after = "pitch", days = 14 }')
    found = story(PITCHED, "2026-03-02T12:00", schedule)["buy"]
    assert day(found.likely) == "2026-03-08"
    assert said(found) == "one week before the fruit, 8 Mar"


def test_every_so_many_hours_is_exact_and_goes_on_from_the_last_time(story: Story, day: Day) -> None:
    due = '{ every_hours = 12, from = { after = "pitch" }, until = { after = "pitch", days = 3 } }'
    schedule = own(f"stir aerate | {due}")
    assert day(story(PITCHED, "2026-03-01T19:00", schedule)["stir"].likely, hours=True) == "2026-03-01 18:30"
    page = PITCHED + '{ at = 2026-03-01T21:00:00+01:00, did = "aerate" }\n'
    found = story(page, "2026-03-01T22:00", schedule)["stir"]
    assert (found.state, day(found.likely, hours=True)) == ("coming", "2026-03-02 09:00")
    assert story(page, "2026-03-02T09:00", schedule)["stir"].state == "due"
    assert said(found) == "every twelve hours, last on 1 Mar"
    assert words(due) == "every twelve hours from after pitching until three days after pitching"


def test_every_two_weeks_is_every_fourteen_days(story: Story, day: Day) -> None:
    due = '{ every_weeks = 2, from = { after = "pitch", weeks = 2 }, until = { after = "bottled" } }'
    schedule = own(f"a taste | {due}")
    page = PITCHED + entry(16, 'did = "taste"')
    assert day(story(page, "2026-03-17T12:00", schedule)["a"].likely) == "2026-03-30"


def test_a_gravity_from_which_on_something_is_done(story: Story) -> None:
    due = "{ gravity_at_least = 1.012 }"
    schedule = own(f'a taste | {{ all = [ {{ after = "sweeten" }}, {due} ] }}')
    dry = PITCHED + read(28, "sg = 0.999") + entry(29, 'did = "sweeten", honey_g = 60')
    assert story(dry + read(30, "sg = 1.006"), "2026-03-30T20:00", schedule)["a"].state == "waiting"
    more = dry + entry(30, 'did = "sweeten", honey_g = 100') + read(31, "sg = 1.013")
    assert story(more, "2026-03-31T20:00", schedule)["a"].state == "due"
    assert words(due) == "at 1.012 or more"


def test_the_original_gravity_counts_for_a_strong_must(story: Story) -> None:
    schedule = own("a rack | { gravity_at_least = 1.095 }", "b chore | { gravity_at_least = 1.105 }")
    found = story(PITCHED + read(4, "sg = 1.080"), "2026-03-04T20:00", schedule)
    assert (found["a"].state, found["b"].state) == ("due", "waiting")
    assert said(found["b"]) == "waits for 1.105 or more; last reading 1.080 on 4 Mar"


def test_a_ph_that_has_come_down(story: Story, day: Day) -> None:
    due = "{ ph_at_most = 3.4 }"
    schedule = own(f"a chore | {due}")
    sour = PITCHED + read(4, "ph = 3.9") + read(11, "ph = 3.6")
    waiting = story(sour, "2026-03-11T20:00", schedule)
    assert waiting["a"].state == "waiting"
    assert said(waiting["a"]) == "waits for pH 3.40 or less; last pH 3.60 on 11 Mar"
    asked = waiting["ask-ph"]
    assert (asked.do, asked.what, day(asked.likely)) == ("read", "ph", "2026-03-18")
    met = story(sour + read(18, "ph = 3.4"), "2026-03-18T20:00", schedule)
    assert met["a"].state == "due"
    assert "ask-ph" not in met
    mended = story(sour + read(18, "ph = 3.4") + read(19, "ph = 3.7"), "2026-03-19T20:00", schedule)["a"]
    assert mended.state == "waiting", "the newest reading counts"
    assert words(due) == "at pH 3.4 or less"


def test_what_a_ph_has_left_out_does_not_come_back(story: Story) -> None:
    schedule = own('a chore | { after = "pitch", days = 2 } | drop = { ph_at_most = 3.4 }')
    page = PITCHED + read(4, "ph = 3.3") + read(8, "ph = 3.6")
    assert story(page, "2026-03-08T20:00", schedule)["a"].state == "dropped"


@pytest.mark.parametrize(
    ("due", "temp_c", "state"),
    [
        ("{ temp_c_at_least = 18 }", 18.0, "due"),
        ("{ temp_c_at_least = 18 }", 17.5, "waiting"),
        ("{ temp_c_at_most = 5 }", 4.0, "due"),
        ("{ temp_c_at_most = 5 }", 6.0, "waiting"),
    ],
)
def test_a_temperature(story: Story, due: str, temp_c: float, state: str) -> None:
    schedule = own(f"a chore | {due}")
    page = PITCHED + read(4, "sg = 1.080, temp_c = 10") + read(5, f"temp_c = {temp_c}")
    assert story(page, "2026-03-05T20:00", schedule)["a"].state == state


def test_a_temperature_is_asked_for_and_told_in_the_makers_unit(story: Story, day: Day) -> None:
    found = story(PITCHED + read(4, "temp_c = 10"), "2026-03-04T20:00", own("a chore | { temp_c_at_least = 18 }"))
    assert said(found["a"]) == "waits for 18 °C or more; last 10 °C on 4 Mar"
    assert said(found["a"], Units(temp="F")) == "waits for 64 °F or more; last 50 °F on 4 Mar"
    asked = found["ask-temp"]
    assert (asked.what, day(asked.likely)) == ("temperature", "2026-03-08")
    assert words("{ temp_c_at_least = 18 }") == "at 18 °C or more"


def test_sugar_left_counts_down_to_where_a_forced_test_ended(story: Story) -> None:
    due = "{ sugar_left_at_most = 10 }"
    schedule = own(f"a bottle | {due}")
    # 2.5 g/L a point: a forced end of 1.000 and 10 g/L are 1.004.
    tested = PITCHED + entry(10, 'did = "forced_test", sg = 1.000, days = 5, temp_c = 25')
    assert story(tested + read(12, "sg = 1.006"), "2026-03-12T20:00", schedule)["a"].state == "waiting"
    found = story(tested + read(12, "sg = 1.004"), "2026-03-12T20:00", schedule)["a"]
    assert found.state == "due"
    assert said(found) == "10 g/L or less that may still ferment, at 1.004, reached 12 Mar"
    untested = story(PITCHED + read(12, "sg = 1.004"), "2026-03-12T20:00", schedule)["a"]
    assert untested.state == "waiting", "without the test it may go on to some 0.985"
    assert words(due) == "when 10 g/L or less may still ferment"


def test_an_addition_is_an_event_by_its_name(story: Story, day: Day) -> None:
    due = '{ after = "add:oak", weeks = 4 }'
    schedule = own(f'out pull | {due} | what = "oak"')
    waiting = story(PITCHED + entry(8, 'did = "add", what = "tannin", mass_g = 1'), "2026-03-09T12:00", schedule)["out"]
    assert (waiting.state, said(waiting)) == ("waiting", "waits for adding oak")
    page = PITCHED + entry(10, 'did = "add", what = "Oak", mass_g = 8')
    found = story(page, "2026-03-11T12:00", schedule)["out"]
    assert day(found.likely) == "2026-04-07"
    assert said(found) == "four weeks after adding oak, 7 Apr"
    assert words(due) == "four weeks after adding oak"


def test_an_addition_that_a_step_brings_gives_a_date_before_it_is_done(story: Story, day: Day) -> None:
    schedule = own(
        'oak add | { after = "pitch", days = 10 } | what = "oak"',
        'out pull | { after = "add:oak", days = 5 } | what = "oak"',
    )
    found = story(PITCHED, "2026-03-02T12:00", schedule)["out"]
    assert (found.state, day(found.likely)) == ("coming", "2026-03-16")
    assert said(found) == "five days after adding oak, which is still to come: 16 Mar"


def test_the_first_sign_is_a_chore_or_a_gravity_that_fell(story: Story, day: Day) -> None:
    schedule = own('stir aerate | { after = "first_sign", days = 1 }')
    wild = PITCHED + read(4, "sg = 1.098")
    found = story(wild, "2026-03-04T20:00", schedule)["stir"]
    assert (found.state, said(found)) == ("waiting", "waits for the first sign of fermentation")
    fell = story(wild + read(6, "sg = 1.096"), "2026-03-06T20:00", schedule)["stir"]
    assert day(fell.likely) == "2026-03-07"
    seen = story(wild + entry(5, 'did = "chore", what = "first sign"'), "2026-03-05T20:00", schedule)["stir"]
    assert day(seen.likely) == "2026-03-06"
    watered = wild + entry(5, 'did = "top_up", with = "water", volume_l = 0.5') + read(6, "sg = 1.088")
    assert story(watered, "2026-03-06T20:00", schedule)["stir"].state == "waiting", "water is no yeast"


def test_the_first_sign_is_foretold(story: Story, day: Day) -> None:
    class Outlook:
        def crossing(self, sg: float) -> Window | None:
            assert sg == pytest.approx(1.097, abs=0.0005)
            at = datetime.fromisoformat("2026-03-05T12:00:00+01:00")
            return Window(at, at, at)

        def calm(self, _days: float) -> Window | None:
            return None

        def expected(self, _at: datetime) -> tuple[float, float, float]:
            return 1.09, 1.09, 1.09

        def best_reading(self) -> None:
            return None

    outlook: Any = Outlook()
    found = story(PITCHED, "2026-03-02T12:00", own('a dose | { after = "first_sign", days = 2 }'), outlook=outlook)["a"]
    assert (found.state, day(found.likely)) == ("coming", "2026-03-07")


@pytest.mark.parametrize(
    ("when", "plan", "there"),
    [
        ("plan.spice", 'spice = "ginger"\n', True),
        ("plan.spice", "", False),
        ("not plan.spice", "", True),
        ("plan.malolactic", "malolactic = true\n", True),
        ("plan.malolactic", "malolactic = false\n", False),
        ("not plan.malolactic", "malolactic = true\n", False),
    ],
)
def test_steps_for_spice_and_for_a_malolactic_ferment(story: Story, when: str, plan: str, there: bool) -> None:
    schedule = own(f'a taste | {{ after = "pitch", days = 9 }} | when = "{when}"')
    assert ("a" in story(PITCHED, "2026-03-02T12:00", schedule, PLAN + plan)) is there
