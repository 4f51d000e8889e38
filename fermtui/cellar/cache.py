"""The one store of what was computed before. Deleting its files changes nothing but speed. Never pickle.

A value is found again by its kind, the parts that it was made from, and the code that made it.
"""

from __future__ import annotations

import contextlib
import functools
import json
import os
import sys
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, TypeVar

from fermtui import __version__
from fermtui.daybook.files import UnreadableFile, blake2b, expanded, read_regular, write_whole
from fermtui.daybook.places import Cellar

FILE_MOST = 64 * 1024 * 1024  # bytes
KEEP = 20_000  # values; those used longest ago go first
INT_DIGITS_MOST = 16  # a longer number is none of ours, and may be too large for a sum
COMPUTING = ("must", "daybook", "replay", "forecast", "schedule", "cellar")
"""the rooms whose code and tables decide what is stored"""
_MISFITS = (ValueError, TypeError, LookupError, ArithmeticError, AttributeError, RecursionError)
T = TypeVar("T")


def content_key(*parts: bytes | str) -> str:
    """A name that is the same only for the same parts in the same order."""
    total = blake2b(digest_size=20)
    for part in parts:
        data = part.encode("utf-8", "surrogateescape") if isinstance(part, str) else part
        total.update(len(data).to_bytes(8))
        total.update(data)
    return total.hexdigest()


@functools.cache
def code_stamp() -> str:
    """A name for the installed code that computes what is stored: version, and size and times of its files.

    It takes half a millisecond, once a start. The time of the last change counts beside the time of writing, which an
    installer may set to a fixed one. Out of an archive the archive stands for its files.
    """
    package = Path(__file__).resolve().parent.parent
    try:
        files = sorted(_code_files(package))
    except OSError:
        archive = next((path for path in package.parents if path.is_file()), package)
        with contextlib.suppress(OSError):
            return content_key(__version__, sys.version, str(archive), _looks(archive.stat()))
        return content_key(__version__, sys.version)
    return content_key(__version__, sys.version, *(f"{path} {looks}" for path, looks in files))


def _code_files(package: Path) -> Iterator[tuple[str, str]]:
    folders = [os.fspath(package), *(os.fspath(package / room) for room in COMPUTING)]
    while folders:
        folder = folders.pop()
        with os.scandir(folder) as entries:
            for entry in entries:
                if entry.name.endswith((".py", ".csv", ".toml")):
                    yield entry.path, _looks(entry.stat())
                elif folder != os.fspath(package) and entry.name != "__pycache__" and entry.is_dir():
                    folders.append(entry.path)


def _looks(stat: os.stat_result) -> str:
    return f"{stat.st_size} {stat.st_mtime_ns} {stat.st_ctime_ns}"


def cache_path(cellar: Cellar) -> Path:
    """The cellar's file in FERMTUI_CACHE, or in the place for caches on this system."""
    given = os.environ.get("FERMTUI_CACHE")
    if given:
        folder = expanded(given)
    else:
        import platformdirs

        folder = platformdirs.user_cache_path("fermtui")
    return folder / f"{content_key(os.fsencode(cellar.path))[:16]}.json"


class Cache:
    """Values that JSON can hold. A file that is damaged or missing is an empty cache.

    They are kept as text and read when they are asked for: a start pays only for what it needs, in time and in memory.
    """

    def __init__(self, path: Path, most: int = KEEP) -> None:
        """`most` values are kept."""
        self._path, self._most = path, most
        self._values = _load(path)
        self._changed = False

    def get(self, kind: str, *parts: bytes | str, read: Callable[[Any], T | None]) -> T | None:
        """What `read` makes of the stored value. None where nothing is stored, or where `read` gives None or raises
        since the value has another shape than its kind: the file may have been edited.
        """
        key = content_key(code_stamp(), kind, *parts)
        stored = self._values.pop(key, None)
        if stored is None:
            return None
        self._values[key] = stored  # the end of the dict is what was used last
        try:
            return read(json.loads(stored, parse_int=_whole) if isinstance(stored, bytes) else stored())
        except _MISFITS:
            return None

    def put(self, kind: str, value: object, *parts: bytes | str) -> None:
        """Keep a value until `save`; or a function that makes it, which is called when it is wanted or saved."""
        key = content_key(code_stamp(), kind, *parts)
        self._values.pop(key, None)
        self._values[key] = value if callable(value) else _text(value)
        self._changed = True

    def save(self) -> bool:
        """Write the file in one rename when something was put; False when that is not possible, which harms nothing."""
        if not self._changed:
            return True
        for key in list(self._values)[: -self._most]:
            self._values.pop(key, None)
        self._changed = False  # before the copy: what another thread puts from here on is kept for the next save
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            lines = b"".join(
                b"%s %s\n" % (key.encode(), self._text_of(key, stored)) for key, stored in self._values.copy().items()
            )
            # The checksum tells what a power cut leaves, so that no command waits for the disk.
            write_whole(self._path, _first_line(lines) + lines, durable=False)
        except OSError:
            self._changed = True
            return False
        return True

    def _text_of(self, key: str, stored: bytes | Callable[[], Any]) -> bytes:
        if isinstance(stored, bytes):
            return stored
        text = _text(stored())
        if self._values.get(key) is stored:  # and not what another thread has put there meanwhile
            self._values[key] = text
        return text


def _text(value: object) -> bytes:
    return json.dumps(value, separators=(",", ":")).encode()


def _whole(digits: str) -> int:
    if len(digits) > INT_DIGITS_MOST:
        raise ValueError("a number that is too long")
    return int(digits)


def _first_line(lines: bytes) -> bytes:
    return b"%08x\n" % zlib.crc32(lines)


def _load(path: Path) -> dict[str, bytes | Callable[[], Any]]:
    """The values; none where a single byte is not as it was written, for a twisted number would show on the screen."""
    try:
        data = read_regular(path, FILE_MOST)
    except (OSError, UnreadableFile):
        return {}
    first, _, lines = data.partition(b"\n")
    if first + b"\n" != _first_line(lines):
        return {}
    pairs = (line.split(b" ", 1) for line in lines.split(b"\n") if line)
    return {key.decode(): text for key, text in pairs}
