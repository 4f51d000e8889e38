"""One vessel's two files as bytes: all that a warm cache needs, so nothing here knows what an entry is."""

import stat
from pathlib import Path
from typing import NamedTuple

from fermtui.daybook.fields import NAME
from fermtui.daybook.files import UnreadableFile, blake2b, read_regular
from fermtui.daybook.places import DAYBOOK, HEAD, PAST, VESSELS, Cellar, inside
from fermtui.daybook.problem import Problem
from fermtui.daybook.toml_file import FILE_MOST

DAYBOOK_MOST = 8 * 1024 * 1024  # bytes: some 80,000 entries


class VesselBytes(NamedTuple):
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


def vessel_folder(cellar: Cellar, name: str, place: str = VESSELS) -> Path:
    """The folder of a vessel. Raises Unreadable when the name is none, or when the folder lies outside the cellar."""
    if not NAME.match(name) or place not in (VESSELS, PAST):
        raise UnreadableFile("a vessel's folder is named with letters a to z, digits, hyphens and underscores")
    folder = cellar.path / place / name
    try:
        mode = folder.lstat().st_mode
    except OSError:
        raise UnreadableFile(f"there is no vessel {name}") from None
    if stat.S_ISLNK(mode):
        if not inside(cellar, folder):
            raise UnreadableFile("this is a symbolic link that leaves the cellar; move the folder itself here")
    elif not stat.S_ISDIR(mode):
        raise UnreadableFile("this is a file where a vessel's folder should be")
    return folder


def vessel_bytes(cellar: Cellar, name: str, place: str = VESSELS) -> VesselBytes:
    """Read both files. What cannot be read is a problem; never raises for what is on the disk."""
    where = f"{place}/{name}"
    try:
        folder = vessel_folder(cellar, name, place)
    except UnreadableFile as fault:
        return VesselBytes(name, place, None, b"", (Problem("vessel", where, None, (str(fault),)),))
    problems: list[Problem] = []
    head: bytes | None = None
    daybook = b""
    try:
        head = read_regular(folder / HEAD, FILE_MOST)
    except FileNotFoundError:
        problems.append(Problem("no_head", f"{where}/{HEAD}"))
    except UnreadableFile as fault:
        problems.append(Problem("head", f"{where}/{HEAD}", None, (str(fault),)))
    try:
        daybook = read_regular(folder / DAYBOOK, DAYBOOK_MOST)
    except FileNotFoundError:
        pass  # nothing was done to it yet
    except UnreadableFile as fault:
        problems.append(Problem("daybook", f"{where}/{DAYBOOK}", None, (str(fault),)))
    return VesselBytes(name, place, head, daybook, tuple(problems))
