"""An instant and a zone -> a day, also on the nights when the clocks are changed."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fermtui import clock
from fermtui.clock import NotATime

BERLIN = ZoneInfo("Europe/Berlin")
CAIRO = ZoneInfo("Africa/Cairo")
ZONES = [BERLIN, CAIRO, ZoneInfo("America/Havana"), ZoneInfo("Pacific/Auckland"), ZoneInfo("Asia/Kolkata")]


def test_a_day_is_a_day_of_the_zone() -> None:
    late = datetime(2026, 3, 18, 23, 30, tzinfo=UTC)
    assert clock.day_of(late, UTC) == date(2026, 3, 18)
    assert clock.day_of(late, BERLIN) == date(2026, 3, 19)


# In Cairo the clocks go forward at midnight: 24 April 2026 begins at one o'clock.
@given(st.dates(date(1980, 1, 1), date(2100, 1, 1)), st.sampled_from(ZONES))
def test_a_day_begins_on_itself_and_the_instant_before_is_the_day_before(day: date, zone: ZoneInfo) -> None:
    first = clock.start_of(day, zone).astimezone(UTC)
    assert clock.day_of(first, zone) == day
    assert clock.day_of(first - timedelta(seconds=1), zone) == day - timedelta(days=1)


def test_a_day_with_a_change_of_the_clocks_is_an_hour_shorter_or_longer() -> None:
    def hours(day: date) -> float:
        ends = [clock.start_of(d, BERLIN).astimezone(UTC) for d in (day, day + timedelta(days=1))]
        return (ends[1] - ends[0]).total_seconds() / 3600

    assert hours(date(2026, 3, 29)) == 23
    assert hours(date(2026, 10, 25)) == 25


@pytest.mark.parametrize(
    ("text", "iso"),
    [
        ("2026-03-18", "2026-03-18T12:00:00+01:00"),
        (" 2026-07-01 ", "2026-07-01T12:00:00+02:00"),
        ("2026-03-18T20:15:00+02:00", "2026-03-18T20:15:00+02:00"),
        ("2026-03-18T20:15:00Z", "2026-03-18T20:15:00+00:00"),
        ("2026-03-18 20:15", "2026-03-18T20:15:00+01:00"),
        ("2024-02-29", "2024-02-29T12:00:00+01:00"),
    ],
)
def test_when(text: str, iso: str) -> None:
    assert clock.read_when(text, BERLIN).isoformat() == iso


@pytest.mark.parametrize("text", ["", "soon", "2026-02-30", "9999-12-31T23:59:59-14:00", "1066-10-14", "20:15", "18/3"])
def test_no_time(text: str) -> None:
    with pytest.raises(NotATime):
        clock.read_when(text, BERLIN)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("today", date(2026, 3, 18)), ("Tomorrow", date(2026, 3, 19)), ("yesterday", date(2026, 3, 17)),
        ("+3", date(2026, 3, 21)), ("+3d", date(2026, 3, 21)), ("+2w", date(2026, 4, 1)),
        ("2026-12-24", date(2026, 12, 24)),
    ],
)  # fmt: skip
def test_day(text: str, day: date) -> None:
    assert clock.read_day(text, date(2026, 3, 18)) == day


@pytest.mark.parametrize("text", ["", "-3", "+", "+9999w", "2026-02-29", "2400-01-01", "monday"])
def test_no_day(text: str) -> None:
    with pytest.raises(NotATime):
        clock.read_day(text, date(2026, 3, 18))


@given(st.text(max_size=30))
def test_any_text_is_a_time_or_refused(text: str) -> None:
    for when in (True, False):
        try:
            found = clock.read_when(text, BERLIN) if when else clock.read_day(text, date(2026, 3, 18))
        except NotATime as refused:
            assert "\n" not in str(refused)  # noqa: PT017 - whichever of the two it is
            continue
        assert 1970 <= found.year <= 2200
