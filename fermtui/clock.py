"""An instant and a zone -> a day. The only file that asks the time, and only the two faces call `now`."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta, tzinfo

NOON = time(12)
FIRST_YEAR, LAST_YEAR = 1970, 2200


class NotATime(ValueError):
    """A date or time that cannot be read; the message is one sentence."""


def now(zone: tzinfo) -> datetime:
    """The present instant in this zone, to the second."""
    return datetime.now(zone).replace(microsecond=0)


def stamp() -> datetime:
    """The present instant in UTC to the microsecond, for the key of an entry."""
    return datetime.now(UTC)


def day_of(at: datetime, zone: tzinfo) -> date:
    """The calendar day of an instant in this zone."""
    return at.astimezone(zone).date()


def start_of(day: date, zone: tzinfo) -> datetime:
    """The first instant of a day in this zone."""
    return datetime.combine(day, time(0), zone)


def read_when(text: str, zone: tzinfo) -> datetime:
    """A date (its noon) or an RFC 3339 time; a time without offset is in this zone. Raises NotATime."""
    given = text.strip()
    try:
        day_alone = re.fullmatch(r"\d{4}-\d{2}-\d{2}", given)
        at = datetime.combine(date.fromisoformat(given), NOON, zone) if day_alone else datetime.fromisoformat(given)
    except ValueError:
        raise NotATime(
            f"{text[:40]!r} is no date: write 2026-03-18, or 2026-03-18T20:15:00+01:00"
        ) from None
    return _sane(at if at.tzinfo else at.replace(tzinfo=zone), text)


def _sane(at: datetime, text: str) -> datetime:
    _within_years(at, text)
    return at


def _within_years(day: date, text: str) -> None:
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise NotATime(f"{text[:40]!r} lies outside the years {FIRST_YEAR} to {LAST_YEAR}")


def read_day(text: str, today: date) -> date:
    """A date, `today`, `tomorrow`, `yesterday`, or `+3` (days from today; `+2w` weeks). Raises NotATime."""
    given = text.strip().lower()
    words = {"today": 0, "tomorrow": 1, "yesterday": -1}
    if given in words:
        return today + timedelta(days=words[given])
    ahead = re.fullmatch(r"\+(\d{1,4})([dw]?)", given)
    if ahead:
        day = today + timedelta(days=int(ahead[1]) * (7 if ahead[2] == "w" else 1))
    else:
        try:
            day = date.fromisoformat(given)
        except ValueError:
            raise NotATime(f"{text[:40]!r} is no day: write 2026-03-18, tomorrow or +3") from None
    _within_years(day, text)
    return day
