"""One vessel's two files: as bytes (cheap, for the cache) and as records."""

from __future__ import annotations

import os
import stat
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import blake2b
from pathlib import Path

from fermtui.daybook.cellar import DAYBOOK, HEAD, PAST, VESSELS, Cellar
from fermtui.daybook.fields import NAME, Unfit
from fermtui.daybook.files import Unreadable, read_regular
from fermtui.daybook.head import Head, head_from
from fermtui.daybook.lines import read_lines
from fermtui.daybook.problem import Problem
from fermtui.daybook.records import Entry
from fermtui.daybook.strikes import live
from fermtui.daybook.tomlfile import FILE_MOST, Malformed, line_of_field, parse_toml

DAYBOOK_MOST = 8 * 1024 * 1024  # bytes: some 80,000 entries


@dataclass(frozen=True, slots=True)
class VesselBytes:
    """A vessel's files unparsed. `place` is vessels or past; `head` is None when it is missing or unreadable."""

    name: str
    place: str
    head: bytes | None
    daybook: bytes
    problems: tuple[Problem, ...]

    @property
    def digest(self) -> str:
        """A name for exactly these bytes."""
        head = b"" if self.head is None else b"+" + self.head
        return blake2b(len(head).to_bytes(8) + head + self.daybook, digest_size=16).hexdigest()


@dataclass(frozen=True, slots=True)
class VesselFile:
    """A vessel as it is written down.

    `entries` are all good entries in their order, strikes and struck ones among them; `live` those that stand;
    `struck` the key of each struck entry with the key of its strike. `problems` hold everything wrong with the two
    files, strikes included. `head` is None when there is none that can be read.
    """

    name: str
    place: str
    head: Head | None
    entries: tuple[Entry, ...]
    live: tuple[Entry, ...]
    struck: Mapping[str, str]
    problems: tuple[Problem, ...]
    digest: str


def vessel_folder(cellar: Cellar, name: str, place: str = VESSELS) -> Path:
    """The folder of a vessel. Raises Unreadable when the name is none, or when the folder lies outside the cellar."""
    if not NAME.match(name) or place not in (VESSELS, PAST):
        raise Unreadable("a vessel's folder is named with letters a to z, digits, hyphens and underscores")
    folder = cellar.path / place / name
    try:
        mode = folder.lstat().st_mode
    except OSError:
        raise Unreadable(f"there is no vessel {name}") from None
    if stat.S_ISLNK(mode):
        inside = os.path.realpath(cellar.path) + os.sep
        if not os.path.realpath(folder).startswith(inside):
            raise Unreadable("this is a symbolic link that leaves the cellar; move the folder itself here")
    elif not stat.S_ISDIR(mode):
        raise Unreadable("this is a file where a vessel's folder should be")
    return folder


def vessel_bytes(cellar: Cellar, name: str, place: str = VESSELS) -> VesselBytes:
    """Read both files. What cannot be read is a problem; never raises for what is on the disk."""
    where = f"{place}/{name}"
    try:
        folder = vessel_folder(cellar, name, place)
    except Unreadable as fault:
        return VesselBytes(name, place, None, b"", (Problem(where, None, str(fault)),))
    problems: list[Problem] = []
    head: bytes | None = None
    daybook = b""
    try:
        head = read_regular(folder / HEAD, FILE_MOST)
    except FileNotFoundError:
        missing = 'the file is missing; it needs one line, as in name = "Damson"'
        problems.append(Problem(f"{where}/{HEAD}", None, missing))
    except Unreadable as fault:
        problems.append(Problem(f"{where}/{HEAD}", None, str(fault)))
    try:
        daybook = read_regular(folder / DAYBOOK, DAYBOOK_MOST)
    except FileNotFoundError:
        pass  # nothing was done to it yet
    except Unreadable as fault:
        problems.append(Problem(f"{where}/{DAYBOOK}", None, str(fault)))
    return VesselBytes(name, place, head, daybook, tuple(problems))


def parse_vessel(files: VesselBytes) -> VesselFile:
    """The records of a vessel's files; everything wrong becomes a problem."""
    where = f"{files.place}/{files.name}"
    head, head_problems = read_head(files.head, f"{where}/{HEAD}")
    entries, line_problems = read_lines(files.daybook, f"{where}/{DAYBOOK}")
    standing, struck, strike_problems = live(entries, f"{where}/{DAYBOOK}", files.daybook)
    problems = files.problems + head_problems + line_problems + strike_problems
    return VesselFile(files.name, files.place, head, entries, standing, struck, problems, files.digest)


def read_vessel(cellar: Cellar, name: str, place: str = VESSELS) -> VesselFile:
    """Read and parse one vessel; never raises for what is on the disk."""
    return parse_vessel(vessel_bytes(cellar, name, place))


def read_head(data: bytes | None, path: str) -> tuple[Head | None, tuple[Problem, ...]]:
    """The head in these bytes, or a problem with the line of the field at fault. None stays None."""
    if data is None:
        return None, ()
    try:
        return head_from(parse_toml(data)), ()
    except Malformed as fault:
        return None, (Problem(path, fault.line, str(fault)),)
    except Unfit as fault:
        return None, (Problem(path, line_of_field(data, str(fault).split()[0]), str(fault)),)
