"""The first picture: the shelf as it was drawn last, so that something true stands there before the engine is loaded.

It is a cache in the user's cache folder, for exactly these files (a hash of their bytes) and this day; on another day
the rows of the vessels are still true, and what is due is left open for the tenth of a second until it is known.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Mapping
from contextlib import suppress
from datetime import date, datetime, timedelta
from hashlib import blake2b
from pathlib import Path
from typing import Any, NamedTuple

from fermtui import __version__
from fermtui.cellar.cache import cache_path
from fermtui.daybook.files import UnreadableFile, read_regular
from fermtui.daybook.places import DAYBOOK, HEAD, SCHEDULES, SETTINGS, VESSELS, Cellar, vessel_names
from fermtui.tui.widgets.duelist import DueRow
from fermtui.tui.widgets.timeline import VesselRow
from fermtui.tui.widgets.track import Mark
from fermtui.wording.plain import plain

LOOKING = "Looking what is due today .."
READING = "Reading the daybooks .."
MANY = 30
"""vessels whose heads are read for their names before the first paint; of more the folders are shown"""
MOST = 16 * 1024 * 1024
DAY_S = 86_400
KEEP = 4
"""pictures: opening with another --on must not cost the usual one"""


class First(NamedTuple):
    """What the shelf needs to be drawn once. `due` is empty and `calm` says so where the picture is of another day."""

    today: date
    rows: tuple[VesselRow, ...]
    due: tuple[DueRow, ...]
    calm: str
    problems: int
    theme: str | None
    ascii_only: bool
    mouse: bool
    keys: Mapping[str, str]

    @property
    def due_known(self) -> bool:
        """Whether an empty list of what is due means that nothing is."""
        return bool(self.due) or self.calm not in (LOOKING, READING)


def read_first(cellar: Cellar, now: datetime, on: str | None) -> First | None:
    """The picture of these very files, or None. A damaged or missing cache is none."""
    try:
        kept = _load(cellar).get(_key(cellar, on))
        return _first(kept, 0 if on else int((now.timestamp() - kept["from"]) // DAY_S)) if kept else None
    except (OSError, ValueError, KeyError, TypeError, UnreadableFile, RecursionError):
        return None


def bare_first(cellar: Cellar, now: datetime) -> First | None:
    """Without a kept picture: the vessels by their names, and a word that their daybooks are being read."""
    names = vessel_names(cellar)
    if not names:
        return None
    from fermtui.daybook.settings import settings_of  # a kept picture needs no settings
    from fermtui.wording.vessels import folder_tags

    settings = settings_of(cellar)[0]
    look, today = settings.look, now.astimezone(settings.zone).date()
    called = {name: _called(cellar, name) for name in names} if len(names) <= MANY else {}
    folders = folder_tags(called)
    rows = tuple(VesselRow(name, called.get(name, name), "", tag=folders.get(name, "")) for name in names)
    return First(today, rows, (), READING, 0, look.theme, look.ascii, look.mouse, settings.keys)


def _called(cellar: Cellar, name: str) -> str:
    """What a vessel's head calls it; its folder where that cannot be read."""
    from fermtui.daybook.toml_file import Malformed, parse_toml  # a kept picture needs no names

    try:
        found = parse_toml(read_regular(cellar.path / VESSELS / name / HEAD, MOST)).get("name")
    except (OSError, UnreadableFile, Malformed):
        return name
    return plain(found, 40) if isinstance(found, str) and found.strip() else name


def _first(kept: Mapping[str, Any], days_on: int) -> First:
    today = date.fromisoformat(kept["today"])
    rows = tuple(_row(row, keep_due=days_on == 0) for row in kept["rows"])
    due = tuple(DueRow(*row) for row in kept["due"]) if days_on == 0 else ()
    calm = kept["calm"] if days_on == 0 else LOOKING
    shown = today + timedelta(days=days_on)
    return First(
        shown, rows, due, calm, kept["problems"], kept["theme"], kept["ascii"],
        kept["mouse"], kept["keys"],
    )  # fmt: skip


def _row(row: list[Any], *, keep_due: bool) -> VesselRow:
    shown = VesselRow(*row)
    return shown._replace(marks=tuple(_mark([*mark]) for mark in shown.marks if keep_due or mark[1] != "due"))


def _mark(mark: list[Any]) -> Mark:
    day, kind, earliest, latest = mark
    return Mark(date.fromisoformat(day), kind, _day(earliest), _day(latest))


def _day(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)


def keep_first(cellar: Cellar, first: First, day_began: datetime, on: str | None) -> None:
    """Keep the picture for the next start. What cannot be written is left out: nothing but speed is lost."""
    with suppress(OSError, UnreadableFile, ValueError):
        kept = {
            "from": day_began.timestamp(),
            "today": first.today.isoformat(),
            "rows": first.rows,
            "due": first.due,
            "calm": first.calm,
            "problems": first.problems,
            "theme": first.theme,
            "ascii": first.ascii_only,
            "mouse": first.mouse,
            "keys": dict(first.keys),
        }
        try:
            pictures = _load(cellar)
        except (OSError, ValueError, RecursionError):
            pictures = {}
        key = _key(cellar, on)
        pictures.pop(key, None)
        pictures = {**dict(list(pictures.items())[-KEEP + 1 :]), key: kept}
        path = _path(cellar)
        path.parent.mkdir(parents=True, exist_ok=True)
        made = path.with_name(f"{path.name}.{os.urandom(6).hex()}")
        made.write_text(json.dumps(pictures, default=date.isoformat, separators=(",", ":")), "utf-8")
        made.replace(path)


def _load(cellar: Cellar) -> dict[str, Any]:
    """The pictures by their key, the last one made last. Raises OSError, ValueError, RecursionError."""
    found = json.loads(_path(cellar).read_text("utf-8"))
    return found if isinstance(found, dict) else {}


def _path(cellar: Cellar) -> Path:
    return cache_path(cellar).with_suffix(".shelf.json")


def _key(cellar: Cellar, on: str | None) -> str:
    """A name for everything that the picture hangs on."""
    total = blake2b(f"{__version__} {on}".encode(), digest_size=16)
    for path in _files(cellar):
        with suppress(FileNotFoundError):
            data = read_regular(path, MOST)
            total.update(f"{path} {len(data)} ".encode(errors="surrogateescape"))
            total.update(data)
    return total.hexdigest()


def _files(cellar: Cellar) -> Iterable[Path]:
    yield cellar.path / SETTINGS
    yield from sorted((cellar.path / SCHEDULES).glob("*.toml"))
    for name in vessel_names(cellar):
        yield cellar.path / VESSELS / name / HEAD
        yield cellar.path / VESSELS / name / DAYBOOK
