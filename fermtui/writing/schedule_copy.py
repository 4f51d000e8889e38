"""A schedule copied into the cellar, to be edited there; and the copy taken back while nobody has touched it."""

from __future__ import annotations

from pathlib import Path

from fermtui.cellar.store import CellarStore
from fermtui.daybook.append import locked
from fermtui.daybook.fields import NAME
from fermtui.daybook.files import NotWritten, confirm, why_not, write_new
from fermtui.daybook.places import SCHEDULES, real_place
from fermtui.schedule.library import load, own_names, schedule_bytes
from fermtui.schedule.steps import Schedule
from fermtui.wording.plain import plain
from fermtui.wording.problems import problem_text
from fermtui.writing.refused import Refused


def loaded(store: CellarStore, name: str) -> Schedule:
    """The schedule of that name, the cellar's own before the library's. Raises Refused with its first mistake."""
    schedule, problems = load(name, store.cellar.path / SCHEDULES)
    if schedule is None:
        raise Refused(
            plain(problem_text(problems[0]), 400) if problems else f"there is no schedule {plain(name, 60)!r}"
        )
    return schedule


def copy_schedule(store: CellarStore, name: str, new: str) -> Path:
    """Write a copy under another name into the cellar's own schedules; its path. Raises Refused, NotWritten."""
    folder = store.cellar.path / SCHEDULES
    if not NAME.match(new):
        raise Refused("a schedule is named with letters a to z, digits, hyphens and underscores")
    data = schedule_bytes(name, folder)
    if data is None:
        raise Refused(f"schedule {plain(name, 60)!r} cannot be read")
    target = folder / f"{new}.toml"
    if new.lower() in {own.lower() for own in own_names(folder)}:
        raise Refused(f"there is a schedule {SCHEDULES}/{new}.toml already: give the copy another name")
    try:
        with locked(store.cellar):
            real_place(store.cellar, SCHEDULES)
            folder.mkdir(exist_ok=True)
            write_new(target, data)
            confirm(f"{SCHEDULES}/{new}.toml was written", folder)
    except FileExistsError:
        raise Refused(f"there is a file {SCHEDULES}/{new}.toml already: give the copy another name") from None
    except NotWritten:
        raise
    except OSError as fault:
        raise Refused(f"{SCHEDULES}/{new}.toml was not written: {why_not(fault)}") from None
    return target


def take_copy_back(store: CellarStore, name: str, new: str) -> None:
    """Remove a copy that still says what its original says. Raises Refused when it was edited or is in use."""
    folder = store.cellar.path / SCHEDULES
    target = folder / f"{new}.toml"
    user = next((loaded.name for loaded in store.vessels.values() if loaded.head.schedule == new), None)
    if user is not None:
        raise Refused(f"vessel {plain(user, 40)} goes by schedule {new} already, so it stays")
    try:
        real_place(store.cellar, SCHEDULES)
        if target.read_bytes() != schedule_bytes(name, folder):
            raise Refused(f"{SCHEDULES}/{new}.toml has been edited since, so it stays: remove the file by hand")
        target.unlink()
    except NotWritten as fault:
        raise Refused(str(fault)) from None
    except OSError as fault:
        raise Refused(f"{SCHEDULES}/{new}.toml was not removed: {why_not(fault)}") from None
