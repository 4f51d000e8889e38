"""Disposable facts, keyed by content: deleting the file changes nothing but speed. Never pickle, never time stamps."""

from __future__ import annotations

import contextlib
import json
import os
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

from fermtui.daybook.files import UnreadableFile, blake2b, read_regular
from fermtui.daybook.places import Cellar

FILE_MOST = 64 * 1024 * 1024  # bytes
KEEP = 20_000  # values; those used longest ago go first


def content_key(*parts: bytes) -> str:
    """A key that is the same only for the same parts in the same order."""
    total = blake2b(digest_size=20)
    for part in parts:
        total.update(len(part).to_bytes(8))
        total.update(part)
    return total.hexdigest()


def cache_path(cellar: Cellar) -> Path:
    """The cellar's file in FERMTUI_CACHE, or in the place for caches on this system."""
    given = os.environ.get("FERMTUI_CACHE")
    if given:
        folder = Path(given).expanduser()
    else:
        import platformdirs

        folder = platformdirs.user_cache_path("fermtui")
    return folder / f"{content_key(os.fsencode(cellar.path))[:16]}.json"


class Cache:
    """Values that JSON can hold, by content key. A file that is damaged or missing is an empty cache.

    They are kept as text and read when they are asked for: a start pays only for what it needs, in time and in memory.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._values = _load(path)
        self._changed = False

    def get(self, key: str) -> Any:
        """The value, or None. Whoever asks checks its shape: the file may have been edited."""
        stored = self._values.pop(key, None)
        if stored is None:
            return None
        self._values[key] = stored  # the end of the dict is what was used last
        try:
            return json.loads(stored) if isinstance(stored, bytes) else stored()
        except (ValueError, RecursionError):
            return None

    def put(self, key: str, value: Any) -> None:
        """Keep a value until `save`."""
        self._keep(key, _text(value))

    def put_later(self, key: str, make: Callable[[], Any]) -> None:
        """Keep what `make` gives, asked for only when it is wanted or saved: the first picture need not wait for it."""
        self._keep(key, make)

    def _keep(self, key: str, stored: bytes | Callable[[], Any]) -> None:
        self._values.pop(key, None)
        self._values[key] = stored
        self._changed = True

    def save(self) -> bool:
        """Write the file in one rename when something was put; False when that is not possible, which harms nothing."""
        if not self._changed:
            return True
        for key in list(self._values)[:-KEEP]:
            self._values.pop(key, None)
        self._changed = False  # before the copy: what another thread puts from here on is kept for the next save
        made = self._path.with_name(f"{self._path.name}.{os.urandom(6).hex()}")
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            lines = b"".join(
                b"%s %s\n" % (key.encode(), self._text_of(key, stored)) for key, stored in self._values.copy().items()
            )
            made.write_bytes(_first_line(lines) + lines)
            made.replace(self._path)
        except OSError:
            self._changed = True
            with contextlib.suppress(OSError):
                made.unlink()
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
