"""The times of a table as programs and people write them: ISO 8601, 15.4.2026, 4/15/2026, epoch seconds."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta, tzinfo

from fermtui import clock
from fermtui.clock import NotATime

_DOTTED = re.compile(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})\b(.*)\Z")
_SLASHED = re.compile(r"(\d{1,2})[/-](\d{1,2})[/-](\d{4}|\d{2})\b(.*)\Z")
_ONLY_DAY = re.compile(r"\d{4}-\d{2}-\d{2}\Z")
_CLOCK = re.compile(r"\s*[T,]?\s*(\d{1,2}):(\d{2})(?::(\d{2})(?:\.\d+)?)?\s*([ap]\.?m\.?)?\s*\Z", re.IGNORECASE)
_EPOCH = re.compile(r"(\d{9,10}|\d{12,13})(?:\.\d+)?\Z")
_SERIAL = re.compile(r"(\d{5})\.(\d+)\Z")
_SERIAL_DAY_ONE = date(1899, 12, 30)
"""Day 0 of the serial numbers of spreadsheets, as ECMA-376 part 1, 18.17.4.1 counts them from 1900-03-01 on."""


def read_time(text: str, hour: str, zone: tzinfo, dates: str) -> tuple[datetime, bool]:
    """The instant of a row, and whether only its day is known (then it is noon). `dates`: iso, day-first, month-first.

    A time without an offset is of `zone`. Epoch seconds and milliseconds, and the day numbers of spreadsheets with
    their fraction, are understood. Raises NotATime.
    """
    if not text:
        raise NotATime("there is no date in this row")
    if _EPOCH.match(text):
        return _from_epoch(text, zone), False
    serial = _SERIAL.match(text)
    if serial:
        days, part = int(serial[1]), float(f"0.{serial[2]}")
        at = datetime.combine(_SERIAL_DAY_ONE + timedelta(days=days), datetime.min.time())
        return clock.read_when((at + timedelta(seconds=round(86_400 * part))).isoformat(), zone), False
    text = _iso(text, dates)
    if hour and _ONLY_DAY.match(text):
        text = f"{text} {hour}"
    if text.endswith((" UTC", " GMT")):
        text = f"{text[:-4]}Z"
    day, rest = text[:10], text[10:]
    clock_time = _CLOCK.match(rest)
    if clock_time:
        text = f"{day}T{_hour(int(clock_time[1]), clock_time[4])}:{clock_time[2]}:{clock_time[3] or '00'}"
    return clock.read_when(text, zone), bool(_ONLY_DAY.match(text))


def _iso(text: str, dates: str) -> str:
    """The same with its day as 2026-04-15."""
    dotted = _DOTTED.match(text)
    if dotted:
        return f"{dotted[3]}-{int(dotted[2]):02d}-{int(dotted[1]):02d}{dotted[4]}"
    slashed = _SLASHED.match(text)
    if slashed is None:
        return re.sub(r"^(\d{4})/(\d{2})/(\d{2})", r"\1-\2-\3", text)
    if dates == "iso":
        raise NotATime(
            f"{text[:30]!r} may be day or month first: say --dates day-first or month-first, or write 2026-03-18"
        )
    day, month = (slashed[1], slashed[2]) if dates == "day-first" else (slashed[2], slashed[1])
    year = slashed[3] if len(slashed[3]) == 4 else f"20{slashed[3]}"
    return f"{year}-{int(month):02d}-{int(day):02d}{slashed[4]}"


def _hour(hour: int, half: str | None) -> str:
    if half and 1 <= hour <= 12:
        hour = hour % 12 + (12 if half.lower().startswith("p") else 0)
    return f"{hour:02d}"


def _from_epoch(text: str, zone: tzinfo) -> datetime:
    seconds = float(text)
    if seconds > 1e11:
        seconds /= 1000.0
    return datetime.fromtimestamp(round(seconds), UTC).astimezone(zone)
