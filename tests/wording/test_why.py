"""The sentence behind each task, with its numbers."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from fermtui.daybook.head import Head, plan_from
from fermtui.daybook.kinds import entry_from
from fermtui.forecast.window import BestReading, Window
from fermtui.replay.replay import replay
from fermtui.schedule.library import load
from fermtui.schedule.parser import schedule_from
from fermtui.schedule.tasks import tasks
from fermtui.units import Units
from fermtui.wording.why import why_text

ZONE = ZoneInfo("Europe/Vienna")
PITCHED = """
{ at = 2026-02-27T17:00:00+01:00, did = "mix", volume_l = 4.2 }
{ at = 2026-02-27T18:00:00+01:00, did = "read", sg = 1.099 }
{ at = 2026-02-27T18:30:00+01:00, did = "pitch" }
"""
READ = '{{ at = 2026-{}T19:00:00+01:00, did = "read", sg = {} }}\n'
Sentence = Callable[..., str]


class Outlook:
    """One window for every gravity and another for the calm."""

    def __init__(self, crossing: Window | None, calm: Window | None = None, sg: float = 1.2) -> None:
        self._crossing, self._calm, self._sg = crossing, calm, sg

    def crossing(self, _sg: float) -> Window | None:
        return self._crossing

    def calm(self, _days: float) -> Window | None:
        return self._calm

    def best_reading(self) -> BestReading | None:
        return None

    def expected(self, _at: datetime) -> tuple[float, float, float]:
        return self._sg, self._sg, self._sg


def between(first: str, likely: str, last: str | None) -> Window:
    a, b = (datetime.fromisoformat(f"2026-{day}T12:00:00+01:00") for day in (first, likely))
    return Window(a, b, None if last is None else datetime.fromisoformat(f"2026-{last}T12:00:00+01:00"))


@pytest.fixture
def sentence() -> Sentence:
    """(condition or schedule name, page, clock, key, outlook) -> why."""

    def said(due: str, page: str, on: str, key: str = "it", outlook: Any = None, plan: str = "") -> str:
        text = f'title = "Own"\n[[step]]\nkey = "it"\ndo = "rack"\ndue = {due}\n'
        found, problems = schedule_from(text.encode(), "own.toml") if due.startswith("{") else load(due, None)
        assert found is not None, problems
        head = Head(name="Rowan", plan=plan_from(tomllib.loads("volume_l = 4.2\ngravity = 1.099\n" + plan)))
        lines = [line for line in (PITCHED + page).strip().splitlines() if line]
        entries = [entry_from(f"e{n}", tomllib.loads(f"e = {line}")["e"]) for n, line in enumerate(lines)]
        now = datetime.fromisoformat(on).replace(tzinfo=ZONE)
        listed = tasks(replay(head, entries), found, head.plan, outlook, now, ZONE, "rowan")
        return why_text({task.key: task for task in listed}[key].why, ZONE, now)

    return said


@pytest.mark.parametrize(
    ("due", "page", "expected"),
    [
        ('{ after = "pitch", days = 2 }', "", "two days after pitching, 1 Mar"),
        ('{ after = "pitch", hours = 24 }', "", "24 hours after pitching, 28 Feb 18:30"),
        ('{ after = "pitch", months = 1 }', "", "one month after pitching, 27 Mar"),
        ('{ after = "pitch", months = 12 }', "", "twelve months after pitching, 27 Feb 2027"),
        ("{ on = 2026-12-24 }", "", "on 24 Dec"),
        ("{ gravity_at_most = 1.005 }", "", "waits for 1.005 or less; no reading yet"),
        (
            "{ gravity_at_most = 1.005 }",
            READ.format("03-14", 1.012),
            "waits for 1.005 or less; last reading 1.012 on 14 Mar",
        ),
        ("{ gravity_at_most = 1.005 }", READ.format("03-14", 1.004), "1.005 or less, reached 14 Mar"),
        ('{ sugar_spent = "1/3" }', READ.format("03-04", 1.065), "one-third sugar break, at 1.066, reached 4 Mar"),
        (
            "{ sugar_spent = 0.5 }",
            READ.format("03-04", 1.065),
            "waits for half of the sugar spent, at 1.050; last reading 1.065 on 4 Mar",
        ),
        ("{ at_end = true }", READ.format("03-04", 1.001), "the planned end, 1.002 or less, reached 4 Mar"),
        ("{ stable_days = 7 }", READ.format("03-04", 1.001), "waits for seven calm days; no two readings agree yet"),
        (
            "{ stable_days = 7 }",
            READ.format("03-04", 1.001) + READ.format("03-07", 1.001),
            "waits for seven calm days; the newest two readings agree since 4 Mar",
        ),
        (
            "{ stable_days = 3 }",
            READ.format("03-04", 1.001) + READ.format("03-07", 1.001),
            "stable for three days, shown 7 Mar",
        ),
        (
            '{ any = [ { sugar_spent = "1/3" }, { after = "pitch", days = 7 } ] }',
            READ.format("03-04", 1.065),
            "one-third sugar break, at 1.066, reached 4 Mar",
        ),
        (
            '{ all = [ { after = "pitch", days = 14 }, { gravity_at_most = 1.005 } ] }',
            READ.format("03-10", 1.004),
            "14 days after pitching, 13 Mar, the last of two conditions",
        ),
        (
            '{ all = [ { after = "pitch", days = 14 }, { gravity_at_most = 1.005 } ] }',
            READ.format("03-10", 1.012),
            "waits for 1.005 or less; last reading 1.012 on 10 Mar",
        ),
    ],
)
def test_the_reason_of_a_condition(sentence: Sentence, due: str, page: str, expected: str) -> None:
    assert sentence(due, page, "2026-03-15T20:00") == expected


def test_the_first_of_several_names_the_others_too(sentence: Sentence) -> None:
    due = '{ any = [ { sugar_spent = "1/3" }, { after = "pitch", days = 7 } ] }'
    assert sentence(due, READ.format("03-02", 1.090), "2026-03-03T12:00") == (
        "seven days after pitching, 6 Mar; or sooner: one-third sugar break, at 1.066; last reading 1.090 on 2 Mar"
    )


def test_a_break_by_the_forecast(sentence: Sentence) -> None:
    said = sentence(
        '{ sugar_spent = "1/3" }',
        READ.format("03-01", 1.092) + READ.format("03-02", 1.087),
        "2026-03-03T12:00",
        outlook=Outlook(between("03-04", "03-05", "03-06")),
    )
    assert said == "one-third sugar break, at 1.066: forecast 4 to 6 Mar, from two readings"


def test_dry_and_calm_by_the_forecast(sentence: Sentence) -> None:
    outlook = Outlook(between("03-05", "03-08", "03-12"), between("03-12", "03-14", "03-19"))
    due = '{ all = [ { after = "pitch", days = 3 }, { gravity_at_most = 1.005 }, { stable_days = 3 } ] }'
    page = READ.format("03-01", 1.050) + READ.format("03-02", 1.030)
    assert (
        sentence(due, page, "2026-03-03T12:00", outlook=outlook)
        == "1.005 or less and stable for three days: forecast 12 to 19 Mar, from two readings"
    )


def test_a_window_over_the_end_of_a_month_and_one_without_an_end(sentence: Sentence) -> None:
    due = "{ gravity_at_most = 1.005 }"
    over = sentence(due, "", "2026-02-28T12:00", outlook=Outlook(between("03-28", "03-31", "04-03")))
    assert over == "1.005 or less: forecast 28 Mar to 3 Apr, from no reading yet"
    endless = sentence(due, "", "2026-02-28T12:00", outlook=Outlook(between("03-28", "03-31", None)))
    assert endless == "1.005 or less: forecast from 28 Mar, likely 31 Mar, from no reading yet"


def test_a_forecast_that_never_gets_there_and_one_that_is_there_already(sentence: Sentence) -> None:
    due, page = "{ gravity_at_most = 1.005 }", READ.format("03-04", 1.020)
    assert sentence(due, page, "2026-03-20T12:00", outlook=Outlook(None, sg=1.010)) == (
        "waits for 1.005 or less; the forecast does not get there"
    )
    assert sentence(due, page, "2026-03-20T12:00", outlook=Outlook(None, sg=1.001)) == (
        "1.005 or less: likely there by now, a reading will tell"
    )


def test_what_follows_a_step(sentence: Sentence) -> None:
    assert sentence("two-doses", "", "2026-03-01T12:00", "look") == "waits for the first racking"
    racked = '{ at = 2026-04-01T19:00:00+02:00, did = "rack" }\n'
    assert sentence("two-doses", racked, "2026-04-02T12:00", "look") == "30 days after the first racking, 1 May"
    second = sentence("two-doses", racked, "2026-04-02T12:00", "rack-2")
    assert second == "after lees check, which is still to come: 1 May"
    skipped = '{ at = 2026-03-16T19:00:00+01:00, did = "skip", task = "fruit", reason = "frost" }\n'
    assert sentence("fruit-when-dry", skipped, "2026-03-17T12:00", "fruit") == "left out on 16 Mar: frost"
    assert sentence("fruit-when-dry", skipped, "2026-03-17T12:00", "pull") == "there is no fruit in it"
    thaw = sentence("fruit-when-dry", skipped, "2026-03-17T12:00", "thaw")
    assert thaw == "it belongs before the fruit, which was over on 16 Mar"


def test_what_came_to_nothing_says_so(sentence: Sentence) -> None:
    half = READ.format("03-04", 1.049)
    assert sentence("two-doses", half, "2026-03-05T12:00", "dose-1") == (
        "no longer needed since 4 Mar: half of the sugar spent, at 1.050, reached 4 Mar"
    )
    assert sentence("two-doses", "", "2026-03-05T12:00", "aerate") == "over on 2 Mar, never done"
    assert sentence("two-doses", "", "2026-03-05T12:00", "pitch") == "done on 27 Feb"
    off = '{ at = 2026-02-28T19:00:00+01:00, did = "postpone", task = "dose-1", until = 2026-03-03, reason = "away" }\n'
    assert sentence("two-doses", off, "2026-03-01T12:00", "dose-1") == (
        "put off until 3 Mar (away); two days after pitching, 1 Mar"
    )


def test_what_a_reading_is_asked_for(sentence: Sentence) -> None:
    outlook = Outlook(between("03-04", "03-05", "03-06"))
    due = '{ sugar_spent = "1/3" }'
    said = sentence(due, READ.format("03-02", 1.090), "2026-03-03T12:00", "ask-gravity", outlook)
    assert said == "to catch the one-third sugar break, at 1.066: forecast 4 to 6 Mar, from one reading"
    calm = sentence("{ stable_days = 3 }", READ.format("03-02", 1.001), "2026-03-03T12:00", "ask-gravity")
    assert calm == "to show that it has been stable for three days, for racking"


OWN = """
title = "Own"
[[step]]
key = "r-a"
do = "rack"
due = { after = "pitch", days = 9 }
[[step]]
key = "r-b"
do = "rack"
due = { after = "step:r-a", days = 9 }
[[step]]
key = "n1"
do = "dose"
due = { after = "pitch", days = 2 }
[[step]]
key = "n2"
do = "dose"
due = { after = "step:n1", hours = 12 }
[[step]]
key = "sign"
do = "read"
what = "ph"
due = { after = "step:n2", days = 1 }
[[step]]
key = "x9"
do = "chore"
what = "airlock"
due = { after = "step:r-b", days = 1 }
[[step]]
key = "cellar-it"
do = "chore"
what = "down to the cellar"
due = { after = "step:x9", days = 1 }
[[step]]
key = "note-it"
do = "taste"
due = { after = "step:sign", days = 1 }
"""


@pytest.mark.parametrize(
    ("key", "after"),
    [
        ("r-b", "the first racking"), ("n2", "dose 1"), ("x9", "the second racking"),
        ("cellar-it", "airlock"), ("note-it", "the reading of pH"),
    ],
)  # fmt: skip
def test_a_step_is_called_what_people_call_it_and_never_by_its_key(key: str, after: str) -> None:
    schedule, problems = schedule_from(OWN.encode(), "own.toml")
    assert schedule is not None, problems
    head = Head(name="Rowan", plan=plan_from({}))
    lines = PITCHED.strip().splitlines()
    entries = [entry_from(f"e{n}", tomllib.loads(f"e = {line}")["e"]) for n, line in enumerate(lines)]
    now = datetime.fromisoformat("2026-02-28T12:00").replace(tzinfo=ZONE)
    listed = tasks(replay(head, entries), schedule, head.plan, None, now, ZONE, "rowan")
    said = why_text({task.key: task for task in listed}[key].why, ZONE, now)
    assert f"after {after}" in said
    assert not any(f" {other}" in said for other in ("r-a", "r-b", "n1", "n2", "sign", "x9"))


def test_text_from_files_is_disarmed(sentence: Sentence) -> None:
    page = '{ at = 2026-03-02T19:00:00+01:00, did = "skip", task = "dose-1", reason = "a\\u001b[2J\\nb\\u202e" }\n'
    said = sentence("two-doses", page, "2026-03-03T12:00", "dose-1")
    assert said.isprintable()


def test_gravities_can_be_said_in_another_unit() -> None:
    from fermtui.schedule.why import WAITING, Why

    why = Why("gravity", WAITING, {"sg": 1.005})
    assert (
        why_text(why, ZONE, None, Units(gravity="brix"))
        == "waits for 1.3 °Bx or less; no reading yet"
    )
