"""An instant and a zone -> a day. The only file that asks the time, and only the two faces call `now`."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta, tzinfo

NOON = time(12)
HOW = "write 2026-03-18, 18.3.2026, yesterday, tuesday or 3 days ago, and the hour behind it, as in tuesday 18:30"
HOW_DAY = "write 2026-03-18, 18.3.2026, tomorrow, tuesday or +3"
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_WORDS = {"today": 0, "tomorrow": 1, "yesterday": -1}
# Text, compiled at its first use: most calls give no time in words.
_AGO = r"(\d{1,4}|an?|one) ?(hour|day|week)s? ago\Z"
_AHEAD = r"(?:\+|in )(\d{1,4}) ?(d|w|days?|weeks?)?\Z"
_DOTTED = r"(\d{1,2})\. ?(\d{1,2})\. ?(\d{4})\Z"
_HOUR = r"(?:\A|(?<=\s))(?:at )?([01]?\d|2[0-3]):([0-5]\d)\Z"
FIRST_YEAR, LAST_YEAR = 1970, 2200
AHEAD_YEARS_MOST = 10


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


def read_when(text: str, zone: tzinfo, now: datetime | None = None) -> datetime:
    """A date (its noon) or an RFC 3339 time; a time without offset is in this zone. Raises NotATime.

    With `now`, what people say as well: `yesterday`, `tuesday` (today, or the last one), `last tue`, `3 days ago`,
    `5 hours ago`, each at this hour or at the one behind it, as in `yesterday 18:30`.
    """
    given = text.strip()
    try:
        day_alone = re.fullmatch(r"\d{4}-\d{2}-\d{2}", given)
        at = datetime.combine(date.fromisoformat(given), NOON, zone) if day_alone else datetime.fromisoformat(given)
    except ValueError:
        said = said_at(given, zone, now)
        if said is None:
            how = f"{HOW}," if now is not None else "write 2026-03-18"
            raise NotATime(f"{text[:40]!r} is no time: {how} or 2026-03-18T20:15:00+01:00") from None
        at = said
    return _sane(at if at.tzinfo else at.replace(tzinfo=zone), text)


def said_at(text: str, zone: tzinfo, now: datetime | None) -> datetime | None:
    """The instant that people mean by it, or None. Without `now` only a date that needs none. Raises NotATime."""
    words = " ".join(text.lower().split())
    local = None if now is None else now.astimezone(zone)
    ago = re.match(_AGO, words)
    if local is not None and ago is not None and ago[2] == "hour":
        return (local.astimezone(UTC) - timedelta(hours=_count(ago[1]))).astimezone(zone)
    hour = re.search(_HOUR, words)
    rest = words[: hour.start()].strip(" ,") if hour else words
    if local is None and not re.match(_DOTTED, rest):
        return None
    today = date.min if local is None else local.date()
    day = today if hour and not rest else day_said(rest, today)
    if day is None:
        return None
    if hour:
        at = time(int(hour[1]), int(hour[2]))
    else:
        at = NOON if local is None or re.match(_DOTTED, rest) or rest[:4].isdigit() else local.time()
    return datetime.combine(day, at, zone)


def day_said(text: str, today: date, *, ahead: bool = False) -> date | None:
    """The day of `today`, `yesterday`, `tuesday`, `last tue`, `3 days ago`, `18.3.2026` or `2026-03-18`, or None.

    A weekday is today or the last one; with `ahead` the next one, and `+3`, `in 2 weeks` count on. Raises NotATime.
    """
    words = " ".join(text.lower().split())
    if words in _WORDS:
        return _shifted(today, _WORDS[words], text)
    ago = re.match(_AGO, words)
    if ago is not None and ago[2] != "hour":
        return _shifted(today, -_count(ago[1]) * (7 if ago[2] == "week" else 1), text)
    on = re.match(_AHEAD, words)
    if ahead and on is not None:
        return _shifted(today, int(on[1]) * (7 if (on[2] or "").startswith("w") else 1), text)
    dotted = re.match(_DOTTED, words)
    try:
        if dotted is not None:
            return date(int(dotted[3]), int(dotted[2]), int(dotted[1]))
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}", words):
            return date.fromisoformat(words)
    except ValueError:
        raise NotATime(f"{text[:40]!r} is no day of the calendar: {HOW_DAY if ahead else HOW}") from None
    return _weekday(words, today, ahead=ahead)


def _weekday(words: str, today: date, *, ahead: bool) -> date | None:
    name = words.removeprefix("next " if ahead else "last ").removeprefix("on ")
    found = next((at for at, day in enumerate(WEEKDAYS) if len(name) >= 3 and day.startswith(name)), None)
    if found is None:
        return None
    if ahead:
        return today + timedelta(days=(found - today.weekday() - 1) % 7 + 1)
    before = today - timedelta(days=1) if words.startswith("last ") else today
    return before - timedelta(days=(before.weekday() - found) % 7)


def _count(text: str) -> int:
    return int(text) if text.isdigit() else 1


def _shifted(day: date, days: int, text: str) -> date:
    try:
        found = day + timedelta(days=days)
    except OverflowError:
        raise NotATime(f"{text[:40]!r} lies outside the years {FIRST_YEAR} to {LAST_YEAR}") from None
    _within_years(found, text)
    return found


def _sane(at: datetime, text: str) -> datetime:
    _within_years(at, text)
    return at


def _within_years(day: date, text: str) -> None:
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise NotATime(f"{text[:40]!r} lies outside the years {FIRST_YEAR} to {LAST_YEAR}")


def read_day(text: str, today: date) -> date:
    """A day to come or past: a date, `today`, `tomorrow`, `tuesday` (the next one), `+3`, `+2w`, `in 3 days`.

    Raises NotATime.
    """
    day = day_said(text, today, ahead=True)
    if day is None:
        raise NotATime(f"{text[:40]!r} is no day: {HOW_DAY}")
    _within_years(day, text)
    return day


def within_reach(day: date, since: date, *, said: str, since_said: str = "today") -> None:
    """A day to which something is put off lies ahead, and within ten years: a slip of the pen hides a step for ever.

    `said` and `since_said` are the two days as the sentence names them. Raises NotATime.
    """
    if day <= since:
        raise NotATime(f"{said} is not later than {since_said}: write tomorrow, +3 or a date")
    if day.year - since.year > AHEAD_YEARS_MOST:
        raise NotATime(f"{said} is more than {AHEAD_YEARS_MOST} years away: give a nearer day")
