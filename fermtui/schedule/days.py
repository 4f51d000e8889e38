"""Dates and instants: days and months are counted on the calendar of a zone, hours exactly.

Everything is reckoned in UTC: between two times of one zone Python compares the hands of the clock, which an autumn
night turns back.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, tzinfo

# A clock outside these years is held at the nearer end, so that no sum of dates can overflow.
EARLIEST = datetime(1900, 1, 1, tzinfo=UTC)
FARTHEST = datetime(9000, 1, 1, tzinfo=UTC)


def in_utc(at: datetime) -> datetime:
    """The instant in UTC, held between the years 1900 and 9000."""
    if not 1900 < at.year < 8999:
        return EARLIEST if at.year < 5000 else FARTHEST
    return at.astimezone(UTC)


def start_of_day(day: date, zone: tzinfo) -> datetime:
    """The first instant of a day in this zone, in UTC; where midnight is left out, the first one after it."""
    return datetime(day.year, day.month, day.day, tzinfo=zone).astimezone(UTC)


def days_after(at: datetime, days: int, zone: tzinfo) -> datetime:
    """The start of the day that lies so many calendar days (negative too) from the day of `at`."""
    return start_of_day(in_utc(at).astimezone(zone).date() + timedelta(days=days), zone)


def months_after(at: datetime, months: int, zone: tzinfo) -> datetime:
    """The start of the same day so many months on; the last of the month where that day is missing there."""
    day = in_utc(at).astimezone(zone).date()
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    first, in_next = date(year, month + 1, 1), date(year + month // 11, (month + 1) % 12 + 1, 1)
    return start_of_day(first + timedelta(days=min(day.day, (in_next - first).days) - 1), zone)
