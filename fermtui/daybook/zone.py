"""The time zone of a cellar: the one that it names, else the one of this computer."""

from __future__ import annotations

import contextlib
import os
import time
from datetime import UTC, datetime, timedelta, tzinfo
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class NoZone(ValueError):
    """A name that is no time zone; the message is one sentence."""


class SystemZone(tzinfo):
    """The rules of this computer where they have no name (Windows); asks the C library, never the clock."""

    def utcoffset(self, when: datetime | None) -> timedelta:
        if when is None:
            return timedelta(0)
        wall = when.replace(tzinfo=None)
        parts = (wall.year, wall.month, wall.day, wall.hour, wall.minute, wall.second, 0, 0, -1)
        try:
            return self._offset(time.mktime(parts))
        except (OverflowError, OSError, ValueError):  # a year that the C library does not know
            return timedelta(0)

    def dst(self, when: datetime | None) -> timedelta | None:  # noqa: ARG002 - the interface of tzinfo
        return None

    def tzname(self, when: datetime | None) -> str:  # noqa: ARG002 - the interface of tzinfo
        return "local"

    def fromutc(self, when: datetime) -> datetime:
        seconds = (when.replace(tzinfo=UTC) - _EPOCH).total_seconds()
        try:
            return when + self._offset(seconds)
        except (OverflowError, OSError, ValueError):
            return when

    def _offset(self, seconds: float) -> timedelta:
        return timedelta(seconds=time.localtime(seconds).tm_gmtoff)


def named_zone(name: str) -> ZoneInfo:
    """The zone of that name, as in Europe/Vienna. Raises NoZone."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise NoZone(f"{name[:40]!r} is no time zone; write it like Europe/Vienna or UTC") from None


def system_zone() -> tuple[str, tzinfo]:
    """The name and the zone of this computer; the name is `local` where the system gives none."""
    for name in _system_names():
        try:
            return name, named_zone(name)
        except NoZone:
            continue
    return "local", SystemZone()


def _system_names() -> list[str]:
    given = os.environ.get("TZ", "").lstrip(":")
    if given:
        return [given.rpartition("zoneinfo/")[2]]
    found = [os.path.realpath("/etc/localtime").rpartition("zoneinfo/")[2]] if os.path.islink("/etc/localtime") else []
    with contextlib.suppress(OSError, UnicodeDecodeError):
        found.append(Path("/etc/timezone").read_text("ascii").strip())
    return [name.removeprefix("posix/") for name in found if name and not name.startswith("/")]
