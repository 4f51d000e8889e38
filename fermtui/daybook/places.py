"""The cellar: one folder with settings, schedules and vessels, and the names in it."""

import contextlib
import os
import re
import unicodedata
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from fermtui.daybook.fields import NAME
from fermtui.daybook.files import NotWritten, confirm, expanded, why_not, write_new
from fermtui.daybook.problem import Problem

SETTINGS = "cellar.toml"
SCHEDULES = "schedules"
VESSELS = "vessels"
PAST = "past"
HEAD = "vessel.toml"
DAYBOOK = "daybook.toml"
GIT_ATTRIBUTES = "daybook.toml text eol=lf merge=union\n"
SLUG_MOST = 40
_WINDOWS_DEVICES = r"(con|prn|aux|nul|com[0-9]|lpt[0-9])\Z"
_LETTERS = str.maketrans({"ß": "ss", "æ": "ae", "Æ": "ae", "ø": "o", "Ø": "o", "ł": "l", "Ł": "l", "đ": "d", "þ": "th"})


class NoCellar(Exception):
    """There is no cellar at this place; the text is one sentence."""


class Cellar(NamedTuple):
    """An opened cellar: the absolute path of its folder. Everything else is read when it is asked for."""

    path: Path


def default_path() -> Path:
    """FERMTUI_CELLAR, or the place for a person's data on this system."""
    given = os.environ.get("FERMTUI_CELLAR")
    if given:
        return expanded(given)
    import platformdirs

    return platformdirs.user_data_path("fermtui") / "cellar"


def open_cellar(path: Path | str | None = None) -> Cellar:
    """The cellar at `path`, or at the default place. Raises NoCellar when no cellar stands there; writes nothing."""
    folder = expanded(path) if path else default_path()
    folder = Path(os.path.abspath(folder))
    if not folder.is_dir():
        raise NoCellar(f"there is no cellar at {folder}")
    if not any((folder / name).exists() for name in (SETTINGS, VESSELS)):
        raise NoCellar(f"{folder} is no cellar: it holds neither {SETTINGS} nor {VESSELS}")
    return Cellar(folder)


def create(path: Path | str, settings_text: str) -> Cellar:
    """A new cellar with `settings_text` as its cellar.toml.

    Other files that are there stay as they are. Raises NotWritten when there is a cellar already or no right to write.
    """
    folder = Path(os.path.abspath(expanded(path)))
    if (folder / SETTINGS).exists():
        raise NotWritten(f"there is a cellar at {folder} already")
    made: list[Path] = []
    try:
        for one in (folder, *(folder / name for name in (VESSELS, PAST, SCHEDULES))):
            if not one.is_dir():
                one.mkdir(parents=True)
                made.append(one)
        for name in (VESSELS, PAST, SCHEDULES):
            real_place(Cellar(folder), name)
        if not (folder / ".gitattributes").exists():
            write_new(folder / ".gitattributes", GIT_ATTRIBUTES.encode())
            made.append(folder / ".gitattributes")
        write_new(folder / SETTINGS, settings_text.encode())
    except OSError as fault:  # NotWritten among them
        for one in reversed(made):  # without its settings it must not pass for a cellar
            with contextlib.suppress(OSError):
                one.rmdir() if one.is_dir() else one.unlink()
        raise NotWritten(f"no cellar was made at {folder}: {why_not(fault)}") from fault
    confirm(f"a cellar was made at {folder}", folder)
    return Cellar(folder)


def inside(cellar: Cellar, path: Path) -> bool:
    """Whether a path, with every link in it followed, lies in the cellar and in no folder whose name begins with a dot
    (such as git's own).
    """
    root, real = os.path.realpath(cellar.path), os.path.realpath(path)
    parts = real.removeprefix(root).split(os.sep)[1:]
    return real.startswith(root + os.sep) and not any(part.startswith(".") for part in parts)


def real_place(cellar: Cellar, place: str) -> Path:
    """The folder of a place, for a write or a move. Raises NotWritten where it is a link that leads elsewhere."""
    folder = cellar.path / place
    if not inside(cellar, folder):
        raise NotWritten(
            f"nothing was written: {place} is a link that leaves the cellar, to {os.path.realpath(folder)}; "
            f"remove the link, and move that folder itself here if it is yours"
        )
    return folder


def vessel_names(cellar: Cellar) -> tuple[str, ...]:
    """The folder names of the vessels at work, sorted."""
    return tuple(name for name in _folders(cellar, VESSELS) if NAME.match(name))


def past_names(cellar: Cellar) -> tuple[str, ...]:
    """The folder names of the vessels put away, sorted."""
    return tuple(name for name in _folders(cellar, PAST) if NAME.match(name))


def misnamed(cellar: Cellar) -> tuple[Problem, ...]:
    """A problem for each folder that no vessel can have as its name."""
    return tuple(
        Problem("folder_name", f"{place}/{name}")
        for place in (VESSELS, PAST)
        for name in _folders(cellar, place)
        if not NAME.match(name)
    )


def _folders(cellar: Cellar, place: str) -> list[str]:
    try:
        with os.scandir(cellar.path / place) as found:
            return sorted(one.name for one in found if one.name[0] != "." and (one.is_dir() or one.is_symlink()))
    except OSError:  # not there, or not readable: then it has no vessels
        return []


def slug(name: str, taken: Iterable[str] = ()) -> str:
    """A folder name for a vessel called `name` ('Früh & süß' -> 'fruh-suss') that is none of `taken` in any case."""
    plain = unicodedata.normalize("NFKD", name.translate(_LETTERS)).encode("ascii", "ignore").decode().lower()
    base = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:SLUG_MOST].strip("-") or "vessel"
    if re.match(_WINDOWS_DEVICES, base):
        base = f"{base}-1"
    used = {other.lower() for other in taken}
    candidate, number = base, 2
    while candidate in used:
        candidate, number = f"{base}-{number}", number + 1
    return candidate
