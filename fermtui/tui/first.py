"""The first picture: the shelf as it was drawn last, so that something true stands there before the engine is loaded.

It is there because the engine is slow to load: on the sample cellar the first text comes at 1.30 times an empty app
with it and at 2.15 times without (same run, warm cache). It is kept in a file of its own, for exactly these files, this
code and this day; on another day the rows of the vessels are still true, and what is due is left open for the tenth of
a second until it is known.
"""

import os
from collections.abc import Iterable, Mapping
from contextlib import suppress
from datetime import date, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import NamedTuple

from fermtui.cellar.cache import Cache, cache_path
from fermtui.cellar.json_records import from_json, to_json
from fermtui.daybook.files import UnreadableFile, read_regular
from fermtui.daybook.places import DAYBOOK, HEAD, SCHEDULES, SETTINGS, VESSELS, Cellar, vessel_names
from fermtui.tui.widgets.duelist import DueRow
from fermtui.tui.widgets.timeline import VesselRow
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
    """What the shelf needs to be drawn once. `due` is empty and `calm` says so where the picture is of another day.

    `ascii_only` as it is kept is the maker's setting; that of the terminal is asked at each start.
    """

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


class Picture(NamedTuple):
    """A picture as it is kept: `began` is the instant at which its day began, in seconds."""

    began: float
    first: First


def read_first(cellar: Cellar, now: datetime, on: str | None) -> First | None:
    """The picture of these very files, or None. A damaged or missing cache is none."""
    picture: Picture | None = _cache(cellar).get("shelf", *_parts(cellar, on), read=partial(from_json, Picture))
    if picture is None:
        return None
    first, days_on = picture.first, 0 if on else int((now.timestamp() - picture.began) // DAY_S)
    first = first._replace(ascii_only=first.ascii_only or plain_terminal())
    if days_on == 0:
        return first
    rows = tuple(row._replace(marks=tuple(mark for mark in row.marks if mark.kind != "due")) for row in first.rows)
    return first._replace(today=first.today + timedelta(days=days_on), rows=rows, due=(), calm=LOOKING)


def plain_terminal() -> bool:
    """Whether this terminal has no braille."""
    return os.environ.get("TERM") == "linux"


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
    return First(today, rows, (), READING, 0, look.theme, look.ascii or plain_terminal(), look.mouse, settings.keys)


def _called(cellar: Cellar, name: str) -> str:
    """What a vessel's head calls it; its folder where that cannot be read."""
    from fermtui.daybook.toml_file import Malformed, parse_toml  # a kept picture needs no names

    try:
        found = parse_toml(read_regular(cellar.path / VESSELS / name / HEAD, MOST)).get("name")
    except (OSError, UnreadableFile, Malformed):
        return name
    return plain(found, 40) if isinstance(found, str) and found.strip() else name


def keep_first(cellar: Cellar, first: First, day_began: datetime, on: str | None) -> None:
    """Keep the picture for the next start. What cannot be written is left out: nothing but speed is lost."""
    cache = _cache(cellar)
    cache.put("shelf", to_json(Picture(day_began.timestamp(), first)), *_parts(cellar, on))
    cache.save()


def _cache(cellar: Cellar) -> Cache:
    return Cache(cache_path(cellar).with_suffix(".shelf.json"), KEEP)


def _parts(cellar: Cellar, on: str | None) -> list[bytes | str]:
    """Everything that the picture hangs on beside the code."""
    parts: list[bytes | str] = [str(on)]
    for path in _files(cellar):
        with suppress(OSError, UnreadableFile):
            parts += [os.fspath(path), read_regular(path, MOST)]
    return parts


def _files(cellar: Cellar) -> Iterable[Path]:
    yield cellar.path / SETTINGS
    yield from sorted((cellar.path / SCHEDULES).glob("*.toml"))
    for name in vessel_names(cellar):
        yield cellar.path / VESSELS / name / HEAD
        yield cellar.path / VESSELS / name / DAYBOOK
