"""Where schedules come from: the cellar's own first, then the ones that come with the program."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

from fermtui.daybook.fields import NAME
from fermtui.daybook.files import UnreadableFile, read_regular
from fermtui.daybook.problem import Problem
from fermtui.daybook.toml_file import FILE_MOST
from fermtui.schedule.parser import LIBRARY, Result, library_file, schedule_from

DEFAULT = "two-doses"  # for a head that names no schedule


@lru_cache(maxsize=1)
def library_names() -> tuple[str, ...]:
    """The schedules that come with the program, by name."""
    return tuple(sorted(path.stem for path in LIBRARY.glob("*.toml")))


def own_names(schedules_dir: Path | None) -> tuple[str, ...]:
    """The cellar's own schedules, by name; files with other names are left alone."""
    if schedules_dir is None:
        return ()
    try:
        return tuple(sorted(path.stem for path in schedules_dir.glob("*.toml") if NAME.match(path.stem)))
    except OSError:
        return ()


def schedule_bytes(name: str, schedules_dir: Path | None) -> bytes | None:
    """The bytes of a schedule as they stand now, for a cache key; None where there is none or it cannot be read."""
    try:
        return _found(name, schedules_dir)[0]
    except (UnreadableFile, OSError):
        return None


def load(name: str, schedules_dir: Path | None, examine: Callable[[bytes, str], Result] = schedule_from) -> Result:
    """A schedule by its name: schedules/NAME.toml of the cellar, else the library's.

    `examine` makes a schedule of the bytes of a file and the path that problems shall name.
    """
    try:
        data, path = _found(name, schedules_dir)
    except FileNotFoundError:
        known = ", ".join((*own_names(schedules_dir), *library_names()))
        reason = f"there is no such schedule; the ones that can be chosen are {known}"
        return None, (Problem("schedule", f"schedules/{name}.toml", None, (reason,)),)
    except (UnreadableFile, OSError) as fault:
        return None, (Problem("schedule", f"schedules/{name}.toml", None, (str(fault),)),)
    return examine(data, path)


def _found(name: str, schedules_dir: Path | None) -> tuple[bytes, str]:
    if not NAME.match(name):
        raise UnreadableFile("a schedule is named with letters a to z, digits, hyphens and underscores")
    if schedules_dir is not None:
        try:
            return read_regular(schedules_dir / f"{name}.toml", FILE_MOST), f"schedules/{name}.toml"
        except FileNotFoundError:
            pass  # not one of the cellar's own
    return library_file(name), f"library/{name}.toml"
