"""The sample cellar: where it lies, and a copy of it whose story happens now instead of then."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from functools import partial
from pathlib import Path

from fermtui.daybook.files import write_new
from fermtui.daybook.places import DAYBOOK, SETTINGS
from fermtui.daybook.settings import read_settings

STORY_DAY = date(2026, 3, 18)
"""The day that the sample cellar was written for."""
_KEY = re.compile(r"\b(\d{8}T\d{6})(\d{3}-[0-9a-z]{6})\b")
_VALUE = r"(?<==)(\s*)"
_INSTANT = re.compile(_VALUE + r"(\d{4}-\d{2}-\d{2}[Tt ]\d{2}:\d{2}:\d{2})(\.\d+)?([Zz]|[+-]\d{2}:\d{2})")
_DAY = re.compile(_VALUE + r"(\d{4}-\d{2}-\d{2})(?![\dTt:-]| \d)")


def sample_path() -> Path:
    """The folder of the sample cellar: inside the installed package, or beside it in a checkout.

    Raises FileNotFoundError.
    """
    package = Path(__file__).resolve().parents[1]
    for folder in (package / "sample_cellar", package.parent / "sample_cellar"):
        if (folder / SETTINGS).is_file():
            return folder
    raise FileNotFoundError(f"the sample cellar is missing: it belongs into {package / 'sample_cellar'}")


def sample_zone(source: Path) -> tzinfo:
    """The time zone that a cellar names: the present day there is the one that its story is moved to."""
    return read_settings((source / SETTINGS).read_bytes())[0].zone


def new_copy(today: date, target: Path | None = None) -> Path:
    """A copy whose story day is `today`, at `target` or in a new folder for temporary files; where it lies."""
    import tempfile

    place = Path(tempfile.mkdtemp(prefix="fermtui-demo-")) / "cellar" if target is None else target
    copy_shifted(sample_path(), place, today)
    return place


def copy_shifted(source: Path, target: Path, today: date) -> None:
    """Copy a cellar so that what happened on STORY_DAY happens on `today`, at the same time by the clock on the wall.

    In TOML files every date and instant that is a value moves, in daybooks the keys too; all other bytes stay. Raises
    FileExistsError where a file of that name is there already, OSError where the copy cannot be written.
    """
    days, zone = today - STORY_DAY, sample_zone(source)
    for path in sorted(source.rglob("*")):
        copy = target / path.relative_to(source)
        if path.is_dir():
            copy.mkdir(parents=True, exist_ok=True)
            continue
        data = path.read_bytes()
        if path.suffix == ".toml":
            text = data.decode()
            data = shifted(text, days, zone, keys=path.name == DAYBOOK).encode()
        copy.parent.mkdir(parents=True, exist_ok=True)
        write_new(copy, data, durable=False)


def shifted(text: str, days: timedelta, zone: tzinfo, *, keys: bool) -> str:
    """The text with its dates, instants and (with `keys`) the time stamps of keys so many days on.

    The hands of the clock in `zone` stay where they are, so an evening reading stays one when the clocks are changed
    in between.
    """
    text = _INSTANT.sub(partial(_instant, days=days, zone=zone), text)
    text = _DAY.sub(lambda found: found[1] + (date.fromisoformat(found[2]) + days).isoformat(), text)
    return _KEY.sub(partial(_key, days=days, zone=zone), text) if keys else text


def _instant(found: re.Match[str], days: timedelta, zone: tzinfo) -> str:
    space, clock, fraction, offset = found[1], found[2], found[3] or "", found[4]
    at = _moved(datetime.fromisoformat(clock.upper() + offset.upper()), days, zone)
    text = at.isoformat(sep=clock[10])
    return f"{space}{text[:19]}{fraction}{text[19:]}"


def _key(found: re.Match[str], days: timedelta, zone: tzinfo) -> str:
    try:
        written = datetime.strptime(found[1], "%Y%m%dT%H%M%S").replace(tzinfo=UTC)
    except ValueError:  # a key made by hand may hold a minute 75: it says no time, so it has none to move
        return found[0]
    return f"{_moved(written, days, zone).astimezone(UTC):%Y%m%dT%H%M%S}{found[2]}"


def _moved(at: datetime, days: timedelta, zone: tzinfo) -> datetime:
    wall = at.astimezone(zone)
    return datetime.combine(wall.date() + days, time(wall.hour, wall.minute, wall.second), zone)
