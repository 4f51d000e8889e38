"""The program is ended by a signal: the terminal is given back, and what was typed and not written is kept."""

from __future__ import annotations

import asyncio
import os
import signal
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from fermtui.daybook.files import UnreadableFile, read_regular, write_whole
from fermtui.wording.plain import plain

if TYPE_CHECKING:
    from textual.screen import Screen

    from fermtui.daybook.places import Cellar

SIGNALS = ("SIGTERM", "SIGHUP", "SIGQUIT", "SIGINT")
TYPED_MOST = 16 * 1024  # bytes
SHOWN_MOST = 200  # characters


def end_by_signals(end: Callable[[int], None]) -> None:
    """Have `end` called for the first such signal, between two steps of the loop; the second one ends at once."""
    loop = asyncio.get_running_loop()
    numbers = [number for name in SIGNALS if (number := getattr(signal, name, None)) is not None]

    def ended(number: int) -> None:
        for each in numbers:
            loop.remove_signal_handler(each)
        end(number)

    for number in numbers:
        try:
            loop.add_signal_handler(number, ended, number)
        except (NotImplementedError, RuntimeError, ValueError):  # Windows; or this is no main thread
            return


def typed_on(screens: Iterable[Screen[object]]) -> list[str]:
    """What stands in the fields of open forms and lines, a line each."""
    from textual.widgets import Input

    lines: list[str] = []
    for screen in screens:
        filled = [(field.id or "", field.value) for field in screen.query(Input) if field.value.strip()]
        if not filled:
            continue
        view = getattr(screen, "view", None)
        about = [getattr(view, "name", ""), getattr(screen, "heading", "")]
        lines.append(", ".join(plain(word, 80) for word in about if word) or "typed")
        lines += [f"  {name.removeprefix('field-')} = {plain(value, 400)}" for name, value in filled]
    return lines


def keep_typed(cellar: Cellar, lines: list[str]) -> Path | None:
    """Write what was typed into the cache folder, where the next start tells of it; None where that cannot be."""
    path = _path(cellar)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, ("\n".join(lines) + "\n").encode("utf-8", "replace"))
    except OSError:
        return None
    return path


def told_once(cellar: Cellar) -> str:
    """A sentence of what was typed when the program was ended last, or nothing. It is told once; its file stays."""
    path = _path(cellar)
    try:
        text = read_regular(path, TYPED_MOST).decode("utf-8", "replace")
        seen = path.with_suffix(".seen.txt")
        os.replace(path, seen)
    except (OSError, UnreadableFile):
        return ""
    words = "; ".join(line.strip() for line in text.splitlines() if line.strip())
    return f"not written when fermtui was ended: {plain(words, SHOWN_MOST)} (it stands in {plain(seen, 200)})"


def _path(cellar: Cellar) -> Path:
    from fermtui.cellar.cache import cache_path

    return cache_path(cellar).with_suffix(".typed.txt")
