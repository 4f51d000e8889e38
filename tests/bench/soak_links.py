"""Turn the places of a cellar into links that lead elsewhere, and run every act that writes: nothing leaves the cellar.

python tests/bench/soak_links.py
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections import Counter
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from fermtui.cellar.cache import Cache
from fermtui.cellar.store import CellarStore
from fermtui.daybook.append import append
from fermtui.daybook.archive import bring_back, move_to_past
from fermtui.daybook.files import NotWritten
from fermtui.daybook.lines import line_of
from fermtui.daybook.new_vessel import start_vessel
from fermtui.daybook.places import Cellar, create
from fermtui.writing.refused import Refused
from fermtui.writing.schedule_copy import copy_schedule, take_copy_back

AT = datetime(2026, 3, 1, 18, 30, tzinfo=UTC)
NOTE = line_of("k9", "note", AT, {"text": "x"})


def _store(cellar: Cellar) -> CellarStore:
    return CellarStore(cellar, lambda: AT, Cache(cellar.path.parent / "cache.json"))


ACTS: dict[str, Callable[[Cellar], object]] = {
    "append": lambda cellar: append(cellar, "damson", NOTE),
    "put away": lambda cellar: move_to_past(cellar, "damson"),
    "bring back": lambda cellar: bring_back(cellar, "old"),
    "start": lambda cellar: start_vessel(cellar, "linden", {"name": "Linden"}),
    "copy a schedule": lambda cellar: copy_schedule(_store(cellar), "two-doses", "mine"),
    "take a copy back": lambda cellar: take_copy_back(_store(cellar), "two-doses", "two"),
}
PLACES = ("vessels", "past", "schedules", "vessels/damson", "past/old", "vessels/damson/daybook.toml", ".lock")
TARGETS = ("outside", "cellar/.git/inside", "dangling", ".")


def scene(folder: Path) -> Cellar:
    """A cellar with vessels, a schedule, a folder of git, and a folder beside it that nobody may touch."""
    cellar = create(folder / "cellar", "\n")
    for name in ("damson", "old"):
        start_vessel(cellar, name, {"name": name.title()})
    append(cellar, "damson", line_of("k1", "note", AT, {"text": "first"}))
    move_to_past(cellar, "old")
    copy_schedule(_store(cellar), "two-doses", "two")
    for outside in (folder / "outside", cellar.path / ".git/inside"):
        outside.mkdir(parents=True)
    return cellar


def put_link(cellar: Cellar, place: str, target: str) -> Path:
    """Move what stands at the place to where the link leads, and put the link there; where it leads."""
    folder, path = cellar.path.parent, cellar.path / place
    there = cellar.path if target == "." else folder / target
    if target not in (".", "dangling"):
        there = Path(os.path.normpath(there))
        there = there / place.replace("/", "-")
        shutil.move(path, there)
    elif path.is_dir():
        shutil.rmtree(path)
    else:
        path.unlink()
    path.symlink_to(there)
    return there


def state(folder: Path) -> dict[str, bytes]:
    """Every file below a folder."""
    files = [path for path in folder.rglob("*") if path.is_file() and not path.is_symlink()]
    return {os.fspath(path): path.read_bytes() for path in files}


def run(folder: Path, places: tuple[str, ...] = PLACES, targets: tuple[str, ...] = TARGETS) -> Counter[str]:
    """The figures. Raises AssertionError where an act wrote outside the cellar or into a folder of git."""
    figures: Counter[str] = Counter()
    for place in places:
        for target in targets:
            for act, do in ACTS.items():
                shutil.rmtree(folder / "now", ignore_errors=True)
                cellar = scene(folder / "now")
                put_link(cellar, place, target)
                outside = [folder / "now/outside", cellar.path / ".git"]
                before = [state(one) for one in outside]
                said = ""
                try:
                    do(cellar)
                except (NotWritten, Refused) as fault:
                    said = str(fault)
                figures["refused" if said else "done inside"] += 1
                assert "\n" not in said
                assert [state(one) for one in outside] == before, f"{act} with {place} -> {target}"
                assert not (folder / "now/dangling").exists(), f"{act} with {place} -> {target}"
    return figures


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        print(dict(run(Path(made))))
