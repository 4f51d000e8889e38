"""The readings that the program asks for, and that it asks for no more than it needs."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta
from itertools import permutations
from typing import Any

import pytest

from fermtui.forecast.answers import ForecastAnswers
from fermtui.forecast.forecast import Forecast
from fermtui.forecast.from_facts import foretell
from fermtui.forecast.window import BestReading, Window
from fermtui.schedule.conditions import AllOf, GravityAtMost
from fermtui.schedule.context import Context
from fermtui.schedule.evaluate import evaluate
from fermtui.schedule.library import load
from fermtui.schedule.task import Task
from fermtui.schedule.tasks import prepared

Story = Callable[..., Mapping[str, Task]]
Day = Callable[..., str]
PITCHED = """
{ at = 2026-03-01T17:00:00+01:00, did = "mix", volume_l = 4.2 }
{ at = 2026-03-01T18:00:00+01:00, did = "read", sg = 1.099 }
{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }
"""
BREAK = """
title = "At the break"
[[step]]
key = "feed"
do = "dose"
due = { sugar_spent = "1/3" }
"""
DRY = """
title = "When dry"
[[step]]
key = "rack"
do = "rack"
due = { all = [ { at_end = true }, { stable_days = 7 } ] }
[[step]]
key = "bottle"
do = "bottle"
due = { all = [ { after = "step:rack", days = 30 }, { stable_days = 7 } ] }
"""
ASK = "ask-gravity"


def read(day: int, sg: float, month: int = 3) -> str:
    zone = "+02:00" if month > 3 else "+01:00"
    return f'{{ at = 2026-{month:02d}-{day:02d}T19:00:00{zone}, did = "read", sg = {sg} }}\n'


class Outlook:
    """A forecast in which a gravity is crossed in this window, and calm comes in that one."""

    def __init__(
        self,
        crossing: tuple[str, str] | None,
        calm: tuple[str, str] | None = None,
        sg: float = 1.05,
        best: BestReading | None = None,
    ) -> None:
        self._crossing, self._calm, self._sg, self._best = _window(crossing), _window(calm), sg, best

    def crossing(self, _sg: float) -> Window | None:
        return self._crossing

    def calm(self, _days: float) -> Window | None:
        return self._calm

    def best_reading(self) -> BestReading | None:
        return self._best

    def expected(self, _at: datetime) -> tuple[float, float, float]:
        return self._sg, self._sg, self._sg


def _window(days: tuple[str, str] | None) -> Window | None:
    if days is None:
        return None
    first, likely = (datetime.fromisoformat(f"2026-{day}T12:00:00+00:00") for day in days)
    return Window(first, likely, likely + (likely - first))


def test_without_a_forecast_the_first_look_is_after_three_days_then_after_a_week(story: Story, day: Day) -> None:
    assert day(story(PITCHED, "2026-03-02T12:00", DRY)[ASK].likely) == "2026-03-04"
    assert day(story(PITCHED + read(5, 1.080), "2026-03-06T12:00", DRY)[ASK].likely) == "2026-03-12"


def test_before_pitching_nothing_is_asked(story: Story) -> None:
    assert ASK not in story("", "2026-03-02T12:00", DRY)


def test_a_reading_of_the_schedule_is_enough(story: Story) -> None:
    assert ASK not in story(PITCHED, "2026-03-02T12:00"), "the sign of day 3 is as good"
    assert ASK not in story(PITCHED, "2026-03-04T12:00"), "and so it is while it is due"


def test_at_most_one_is_open(story: Story) -> None:
    found = story(PITCHED + read(5, 1.080), "2026-03-10T12:00", "fruit-when-dry")
    assert len([key for key in found if key.startswith("ask-")]) == 1


def test_near_a_break_it_asks_when_the_break_may_first_be_there(story: Story, day: Day) -> None:
    outlook = Outlook(("03-05", "03-07"))
    found = story(PITCHED + read(3, 1.090), "2026-03-03T20:00", BREAK, outlook=outlook)[ASK]
    assert (found.state, day(found.likely)) == ("coming", "2026-03-05")
    assert found.why.kind == "ask-crossing"
    assert found.why.values["for_task"] == "feed"
    assert found.do == "read"


def test_near_the_end_it_asks_when_the_end_is_likely(story: Story, day: Day) -> None:
    outlook = Outlook(("03-14", "03-18"))
    assert day(story(PITCHED + read(9, 1.020), "2026-03-10T12:00", DRY, outlook=outlook)[ASK].likely) == "2026-03-18"


def test_even_a_forecast_is_checked_after_two_weeks(story: Story, day: Day) -> None:
    outlook = Outlook(("06-01", "07-01"))
    assert day(story(PITCHED + read(9, 1.020), "2026-03-10T12:00", DRY, outlook=outlook)[ASK].likely) == "2026-03-23"


def telling(day: str) -> BestReading:
    at = datetime.fromisoformat(f"2026-{day}T19:00:00+01:00")
    return BestReading(at, 31.0, 18.0, at)


def test_where_only_its_age_would_ask_the_most_telling_day_does(story: Story, day: Day) -> None:
    page, outlook = PITCHED + read(9, 1.020), Outlook(("06-01", "07-01"), best=telling("03-15"))
    found = story(page, "2026-03-10T12:00", DRY, outlook=outlook)[ASK]
    assert (found.state, day(found.likely), found.why.kind) == ("coming", "2026-03-15", "ask-telling")
    assert (found.why.values["days_now"], found.why.values["days"]) == (31.0, 18.0)
    found = story(page, "2026-03-15T21:00", DRY, outlook=outlook)[ASK]
    assert (found.state, day(found.likely)) == ("due", "2026-03-15"), "it does not move on with the clock"
    found = story(page, "2026-03-24T21:00", DRY, outlook=outlook)[ASK]
    assert (found.why.kind, day(found.likely)) == ("ask-crossing", "2026-03-23"), "then it is old news"
    skip = '{ at = 2026-03-15T20:00:00+01:00, did = "skip", task = "ask-gravity" }\n'
    assert day(story(page + skip, "2026-03-15T21:00", DRY, outlook=outlook)[ASK].likely) == "2026-03-18"


def test_a_rule_that_wants_a_reading_goes_before_the_most_telling_day(story: Story, day: Day) -> None:
    outlook = Outlook(("03-14", "03-18"), best=telling("03-12"))
    found = story(PITCHED + read(9, 1.020), "2026-03-10T12:00", DRY, outlook=outlook)[ASK]
    assert (day(found.likely), found.why.kind) == ("2026-03-18", "ask-crossing")


def test_where_no_step_waits_for_a_reading_the_most_telling_day_asks(story: Story, day: Day) -> None:
    calendar_only = """
title = "By date"
[[step]]
key = "rack"
do = "rack"
due = { after = "pitch", days = 60 }
"""
    page = PITCHED + read(9, 1.020)
    assert ASK not in story(page, "2026-03-10T12:00", calendar_only, outlook=Outlook(None))
    found = story(page, "2026-03-10T12:00", calendar_only, outlook=Outlook(None, best=telling("03-15")))[ASK]
    assert (day(found.likely), found.do) == ("2026-03-15", "read")


def test_where_the_forecast_sees_it_passed_a_reading_is_due_now(story: Story) -> None:
    found = story(PITCHED + read(5, 1.080), "2026-03-09T12:00", BREAK, outlook=Outlook(None, sg=1.060))[ASK]
    assert found.state == "due"


def test_stability_is_asked_for_some_days_apart(story: Story, day: Day) -> None:
    page = PITCHED + read(12, 1.010) + read(20, 1.001)
    assert day(story(page, "2026-03-20T20:00", DRY)[ASK].likely) == "2026-03-24", "3.5 days later, from its first hour"
    page += read(24, 1.001)
    assert day(story(page, "2026-03-24T20:00", DRY)[ASK].likely) == "2026-03-27"
    page += read(27, 1.001)
    found = story(page, "2026-03-27T20:00", DRY)
    assert found["rack"].state == "due"
    assert ASK not in found


def test_a_reading_that_is_asked_for_is_late_after_two_days(story: Story) -> None:
    """Our own rule, no source."""
    page = PITCHED + read(12, 1.010) + read(20, 1.001)
    states = [story(page, f"2026-03-{date}T12:00", DRY)[ASK].state for date in (23, 24, 25, 26)]
    assert states == ["coming", "due", "due", "late"]


def test_three_days_of_calm_are_asked_for_at_their_end(story: Story, day: Day) -> None:
    calm = 'title = "Calm"\n[[step]]\nkey = "rack"\ndo = "rack"\ndue = { stable_days = 3 }\n'
    page = PITCHED + read(12, 1.010) + read(20, 1.001)
    assert day(story(page, "2026-03-20T20:00", calm)[ASK].likely) == "2026-03-23"


def test_what_falls_needs_no_proof_of_standing_still(story: Story, day: Day) -> None:
    calm = 'title = "Calm"\n[[step]]\nkey = "rack"\ndo = "rack"\ndue = { stable_days = 14 }\n'
    page = PITCHED + read(5, 1.080) + read(9, 1.060)
    assert day(story(page, "2026-03-10T12:00", calm)[ASK].likely) == "2026-03-16"


def test_no_reading_is_asked_long_before_the_calendar_lets_the_step_be_done(story: Story, day: Day) -> None:
    page = PITCHED + read(10, 1.004)
    schedule = (
        'title = "Late fruit"\n[[step]]\nkey = "fruit"\ndo = "fruit"\n'
        'due = { all = [ { after = "pitch", days = 40 }, { gravity_at_most = 1.005 }, { stable_days = 3 } ] }\n'
    )
    assert day(story(page, "2026-03-11T12:00", schedule)[ASK].likely) == "2026-04-07"


def test_a_step_behind_one_that_is_not_done_asks_for_nothing(story: Story) -> None:
    schedule = (
        'title = "Twice"\n[[step]]\nkey = "one"\ndo = "feed"\ndue = { after = "pitch", days = 30 }\n'
        '[[step]]\nkey = "two"\ndo = "feed"\ndue = { all = [ { after = "step:one" }, { gravity_at_most = 1.030 } ] }\n'
    )
    assert ASK not in story(PITCHED, "2026-03-08T12:00", schedule)


def test_it_can_be_skipped_and_put_off(story: Story, day: Day) -> None:
    skip = '{ at = 2026-03-13T19:00:00+01:00, did = "skip", task = "ask-gravity" }\n'
    page = PITCHED + read(5, 1.080)
    assert day(story(page + skip, "2026-03-13T20:00", DRY)[ASK].likely) == "2026-03-16"
    off = '{ at = 2026-03-13T19:00:00+01:00, did = "postpone", task = "ask-gravity", until = 2026-03-20 }\n'
    assert day(story(page + off, "2026-03-13T20:00", DRY)[ASK].likely) == "2026-03-20"
    assert day(story(page + off + read(14, 1.050), "2026-03-14T20:00", DRY)[ASK].likely) == "2026-03-21"


def test_a_dose_that_depends_on_the_ph_asks_for_it(story: Story) -> None:
    plan = "volume_l = 4.2\ngravity = 1.099\nsweet = true\n"
    calm = read(20, 1.0) + read(24, 1.0) + read(27, 1.0)
    page = PITCHED + calm + '{ at = 2026-03-28T19:00:00+01:00, did = "rack" }\n'
    assert "ask-ph" in story(page, "2026-04-12T12:00", "two-doses", plan)
    known = page + '{ at = 2026-03-29T19:00:00+02:00, did = "read", ph = 3.3 }\n'
    assert "ask-ph" not in story(known, "2026-04-12T12:00", "two-doses", plan)


def test_nothing_is_asked_of_bottles(story: Story) -> None:
    page = PITCHED + '{ at = 2026-04-28T19:00:00+02:00, did = "bottle", count = 5, size_ml = 750 }\n'
    assert ASK not in story(page, "2026-06-01T12:00", DRY)


@pytest.mark.parametrize("schedule", ["fruit-when-dry", "four-small-doses", "strong-step-fed"])
def test_the_real_forecast_gives_dates_and_one_question(story: Story, facts: Callable[..., Any], schedule: str) -> None:
    page = PITCHED + read(4, 1.088) + read(7, 1.062)
    known, head = facts(page)
    posterior = foretell(known, head.plan, 2)
    now = datetime.fromisoformat("2026-03-08T12:00:00+01:00")
    outlook = Forecast(ForecastAnswers(dict, lambda: posterior), known.pitched_at, now, known.g0)
    found = story(page, "2026-03-08T12:00", schedule, outlook=outlook)
    open_tasks = [task for task in found.values() if task.is_open]
    assert all(task.window is not None for task in open_tasks), [task.key for task in open_tasks if not task.window]
    asked = found[ASK]
    assert asked.likely is not None
    assert now - timedelta(days=1) <= asked.likely <= now + timedelta(days=14)


def test_a_gravity_that_comes_again_after_a_feed_is_expected_later(story: Story, facts: Callable[..., Any]) -> None:
    """The honey of the first feed has to ferment before 1.030 is reached once more."""
    page = PITCHED + read(3, 1.088) + read(5, 1.064)
    known, head = facts(page)
    posterior = foretell(known, head.plan, 4)
    now = datetime.fromisoformat("2026-03-06T12:00:00+01:00")
    outlook = Forecast(ForecastAnswers(dict, lambda: posterior), known.pitched_at, now, known.g0)
    found = story(page, "2026-03-06T12:00", "strong-step-fed", outlook=outlook)
    first, second = found["feed-1"].window, found["feed-2"].window
    assert first is not None
    assert second is not None
    assert second.likely > first.likely
    fed = page + '{ at = 2026-03-08T19:00:00+01:00, did = "feed", task = "feed-1", honey_g = 30 }\n'
    known, head = facts(fed)
    posterior = foretell(known, head.plan, 4)
    later = datetime.fromisoformat("2026-03-08T20:00:00+01:00")
    outlook = Forecast(ForecastAnswers(dict, lambda: posterior), known.pitched_at, later, known.g0)
    assert story(fed, "2026-03-08T20:00", "strong-step-fed", outlook=outlook)["feed-2"].window is not None


def test_a_low_reading_does_not_answer_for_the_gravity_after_a_feed_to_come(story: Story) -> None:
    page = PITCHED + read(8, 1.029) + '{ at = 2026-03-05T19:00:00+01:00, did = "dose", task = "dose-4", dap_g = 1 }\n'
    found = story(page, "2026-03-09T12:00", "strong-step-fed")
    assert found["feed-1"].state == "due"
    assert found["feed-2"].state == "waiting"


def test_the_ph_is_asked_for_three_days_before_the_sulfite(story: Story) -> None:
    plan = "volume_l = 4.2\ngravity = 1.099\nsweet = true\n"
    page = PITCHED + read(20, 1.0) + read(24, 1.0) + read(27, 1.0)
    page += '{ at = 2026-03-28T19:00:00+01:00, did = "rack" }\n'
    # Racked on 28 March, so sulfite on 11 April at the earliest.
    asked = ["ask-ph" in story(page, f"2026-04-{date}T12:00", "two-doses", plan) for date in ("07", "08", "10", "12")]
    assert asked == [False, True, True, True]


def test_the_order_of_questions_changes_no_answer(facts: Callable[..., Any]) -> None:
    """1.030 by itself was reached; as a part of feed-2 it has to be reached once more, whoever asks first."""
    known, head = facts(PITCHED + read(8, 1.029))
    now = datetime.fromisoformat("2026-03-09T12:00:00+01:00")
    schedule, _ = load("strong-step-fed", None)
    assert schedule is not None
    whole = schedule.by_key["feed-2"].due
    assert isinstance(whole, AllOf)
    questions = [whole, *whole.parts]
    answers = []
    for order in permutations(range(len(questions))):
        context = prepared(Context(known, schedule, head.plan, None, now, now.tzinfo or UTC), "rowan")
        said = {number: evaluate(questions[number], context) for number in order}
        answers.append([said[number] for number in range(len(questions))])
    assert all(answer == answers[0] for answer in answers)
    gravity = next(number for number, one in enumerate(questions) if isinstance(one, GravityAtMost))
    assert (answers[0][0].state, answers[0][gravity].state) == ("waiting", "known")
