"""Days and spans as people say them, in the cellar's zone."""

from __future__ import annotations

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from fermtui.forecast.window import Window, exactly
from fermtui.wording.dates import ago, short_day, short_window

VIENNA = ZoneInfo("Europe/Vienna")
TODAY = date(2026, 11, 25)
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


def at(text: str) -> datetime:
    return datetime.fromisoformat(f"{text}T12:00:00+01:00")


@pytest.mark.parametrize(
    ("day", "said"),
    [
        ("2026-11-24", "yesterday"), ("2026-11-25", "today"), ("2026-11-26", "tomorrow"), ("2026-11-27", "Fri"),
        ("2026-12-01", "Tue"), ("2026-12-02", "2 Dec"), ("2026-11-23", "23 Nov"), ("2027-05-01", "1 May"),
        ("2027-05-27", "27 May 2027"), ("2026-01-05", "5 Jan"), ("2025-11-25", "25 Nov 2025"),
    ],
)  # fmt: skip
def test_a_day(day: str, said: str) -> None:
    assert short_day(date.fromisoformat(day), TODAY) == said


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        ("2026-11-27", "2026-11-27", "Fri"), ("2026-12-03", "2026-12-09", "3-9 Dec"),
        ("2026-11-28", "2026-12-03", "28 Nov-3 Dec"), ("2026-12-28", "2027-01-03", "28 Dec-3 Jan"),
        ("2027-05-01", "2027-07-03", "1 May-3 Jul 2027"), ("2026-12-28", "2027-08-03", "28 Dec-3 Aug 2027"),
        ("2027-08-03", "2027-08-09", "3-9 Aug 2027"), ("2027-08-03", "2028-02-09", "3 Aug 2027-9 Feb 2028"),
        ("2026-12-03", None, "from 3 Dec"), ("2026-11-26", None, "from tomorrow"),
    ],
)  # fmt: skip
def test_a_span_bears_its_year_where_it_is_far(first: str, last: str | None, said: str) -> None:
    window = Window(at(first), at(first), None if last is None else at(last))
    assert short_window(window, NOW, VIENNA) == said


def test_the_day_is_that_of_the_cellar() -> None:
    late = datetime(2026, 11, 25, 23, 30, tzinfo=UTC)  # half past midnight in Vienna
    assert short_window(exactly(late), NOW, VIENNA) == "tomorrow"
    assert short_window(None, NOW, VIENNA) == "?"
    assert ago(datetime(2026, 11, 24, 23, 30, tzinfo=UTC), NOW, VIENNA) == "today"
    assert ago(datetime(2026, 11, 24, 22, 30, tzinfo=UTC), NOW, VIENNA) == "yesterday"
    assert ago(datetime(2026, 11, 21, 12, tzinfo=UTC), NOW, VIENNA) == "4 days ago"
    assert ago(datetime(2026, 11, 26, 12, tzinfo=UTC), NOW, VIENNA) == "tomorrow"
    assert ago(datetime(2026, 11, 30, 12, tzinfo=UTC), NOW, VIENNA) == "in 5 days"
