"""The program is ended by a signal: the terminal is given back, and what was typed and not written is kept."""

from __future__ import annotations

import asyncio
import os
import signal
import time
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING, Any

from fermtui.daybook.files import UnreadableFile, read_regular, write_whole
from fermtui.wording.plain import plain

if TYPE_CHECKING:
    from textual.screen import Screen

    from fermtui.daybook.places import Cellar

SIGNALS = ("SIGTERM", "SIGHUP", "SIGQUIT", "SIGINT")
PATIENCE_S = 3.0
LEAVE = b"\x1b[?1000l\x1b[?1003l\x1b[?1006l\x1b[?2004l\x1b[?1049l\x1b[?25h"
"""no mouse, no bracketed paste, the screen of before, and a cursor"""
TYPED_MOST = 16 * 1024  # bytes
SHOWN_MOST = 200  # characters


def end_by_signals(end: Callable[[int], None]) -> None:
    """Have `end` called for the first such signal, between two steps of the loop; the second one ends at once.

    Where the program has not left then within PATIENCE_S (a terminal that is gone takes nothing), it is ended for good.
    """
    loop = asyncio.get_running_loop()
    numbers = [number for name in SIGNALS if (number := getattr(signal, name, None)) is not None]
    mode = _terminal_mode()

    def ended(number: int, _frame: object) -> None:
        for each in numbers:
            signal.signal(each, signal.SIG_DFL)
        Thread(target=_end_for_good, args=(number, mode), daemon=True).start()
        loop.call_soon_threadsafe(end, number)

    with suppress(ValueError):  # this is no main thread
        for number in numbers:
            signal.signal(number, ended)


def _end_for_good(number: int, mode: list[Any] | None) -> None:
    time.sleep(PATIENCE_S)
    with suppress(OSError):
        if mode is not None:
            import termios

            with suppress(termios.error):
                termios.tcsetattr(0, termios.TCSANOW, mode)
        os.write(1, LEAVE)
    os._exit(128 + number)


def _terminal_mode() -> list[Any] | None:
    try:
        import termios
    except ImportError:  # Windows
        return None
    try:
        return termios.tcgetattr(0)
    except (OSError, termios.error):  # no terminal
        return None


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
