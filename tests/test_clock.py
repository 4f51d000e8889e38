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
        ("2026-12-24", date(2026, 12, 24)), ("24.12.2026", date(2026, 12, 24)), ("in 3 days", date(2026, 3, 21)),
        # 18 March 2026 is a Wednesday: a day to come is the next one.
        ("friday", date(2026, 3, 20)), ("Wed", date(2026, 3, 25)), ("next tue", date(2026, 3, 24)),
    ],
)  # fmt: skip
def test_day(text: str, day: date) -> None:
    assert clock.read_day(text, date(2026, 3, 18)) == day


@pytest.mark.parametrize("text", ["", "-3", "+", "+9999w", "2026-02-29", "2400-01-01", "3 days ago at noon", "mo"])
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


NOW = datetime(2026, 3, 18, 20, 15, tzinfo=BERLIN)  # a Wednesday


@pytest.mark.parametrize(
    ("text", "iso"),
    [
        ("yesterday", "2026-03-17T20:15:00+01:00"), ("yesterday 18:30", "2026-03-17T18:30:00+01:00"),
        ("18:30", "2026-03-18T18:30:00+01:00"), ("at 7:05", "2026-03-18T07:05:00+01:00"),
        ("tuesday", "2026-03-17T20:15:00+01:00"), ("Tue 18:30", "2026-03-17T18:30:00+01:00"),
        ("wednesday", "2026-03-18T20:15:00+01:00"), ("last wed", "2026-03-11T20:15:00+01:00"),
        ("last thursday 9:00", "2026-03-12T09:00:00+01:00"), ("3 days ago", "2026-03-15T20:15:00+01:00"),
        ("a week ago", "2026-03-11T20:15:00+01:00"), ("5 hours ago", "2026-03-18T15:15:00+01:00"),
        ("31.12.2025", "2025-12-31T12:00:00+01:00"), ("31.12.2025 18:30", "2025-12-31T18:30:00+01:00"),
        ("2026-03-16 18:30", "2026-03-16T18:30:00+01:00"), ("2026-03-16", "2026-03-16T12:00:00+01:00"),
    ],
)  # fmt: skip
def test_what_people_say_when_they_mean_a_time(text: str, iso: str) -> None:
    assert clock.read_when(text, BERLIN, NOW).isoformat() == iso


@pytest.mark.parametrize("text", ["soon", "3 moons ago", "31.13.2025", "last", "tuesday 25:00", "the tuesday", ""])
def test_what_is_no_time_says_how_one_is_written(text: str) -> None:
    with pytest.raises(NotATime, match="tuesday or 3 days ago, and the hour behind it, as in tuesday 18:30"):
        clock.read_when(text, BERLIN, NOW)


def test_hours_ago_are_hours_also_where_the_clock_jumps() -> None:
    # 29 March 2026, Berlin: two o'clock is three o'clock.
    after = datetime(2026, 3, 29, 4, 0, tzinfo=BERLIN)
    assert clock.read_when("2 hours ago", BERLIN, after).isoformat() == "2026-03-29T01:00:00+01:00"


@given(st.text(max_size=30))
def test_any_text_said_now_is_a_time_or_refused(text: str) -> None:
    try:
        assert 1970 <= clock.read_when(text, BERLIN, NOW).year <= 2200
    except NotATime as refused:
        assert "\n" not in str(refused)  # noqa: PT017 - one of the two it is
