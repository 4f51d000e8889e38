"""Where a report goes: into the file that was named, or to standard output, byte for byte."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from time import monotonic

from fermtui.daybook.files import NotWritten, expanded, why_not, write_whole
from fermtui.wording.plain import plain

BAR = 24
COLUMN = re.compile(r"  +(?=\S)|^(?=\S)")
"""Where a column begins: behind two blanks at least."""


@contextmanager
def telling(done: str) -> Iterator[None]:
    """Only tell within it what was done: output that fails (a full disk, a closed pipe) does not undo it, so a script
    must not do it again. `done` is the sentence that stands in its place, on stderr.
    """
    try:
        yield
        sys.stdout.flush()
    except BrokenPipeError:
        close_output()
    except OSError as fault:
        close_output()
        _say(f"{done}; it could not be told in full: {why_not(fault)}")
    except KeyboardInterrupt:
        _say(done)
        raise


def print_lines(lines: Iterable[str]) -> None:
    """Print the lines; on a terminal a long one goes on under its last column, in a pipe each stays one line."""
    if not sys.stdout.isatty():
        print("\n".join(lines))
        return
    try:
        columns = os.get_terminal_size(sys.stdout.fileno()).columns or 80
    except OSError:
        columns = 80
    print("\n".join(part for line in lines for part in hanging(line, columns)))


def hanging(line: str, columns: int) -> list[str]:
    """The line in parts of at most so many columns, broken between words, the last column under itself."""
    if len(line) <= columns:
        return [line]
    from textwrap import wrap  # in a pipe nothing is wrapped

    begins = max((found.end() for found in COLUMN.finditer(line) if found.end() <= columns * 3 // 5), default=0)
    parts = wrap(line[begins:], max(20, columns - begins)) or [""]
    return [line[:begins] + parts[0], *(" " * begins + part for part in parts[1:])]


def progress(name: str, things: str, after_s: float = 0.0) -> Callable[[int, int], None] | None:
    """What draws a bar on a terminal's stderr: how many of so many are done, from `after_s` on, and wipes it when all
    are. None where nobody looks.
    """
    if not sys.stderr.isatty():
        return None
    begun, drawn = monotonic(), 0

    def tell(done: int, of: int) -> None:
        nonlocal drawn
        if done >= of:
            text, drawn = " " * drawn + "\r", 0
        elif monotonic() - begun >= after_s:
            text = f"{name} [{'#' * (BAR * done // of):<{BAR}}] {done:,} of {of:,} {things}"
            drawn = len(text)
        else:
            return
        print(f"\r{text}", end="", file=sys.stderr, flush=True)

    return tell


def close_output() -> None:
    """Let nothing more be written: what is still to come would be tried again at exit, and complain there."""
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except (OSError, ValueError):  # it has no descriptor, as in a test
        return


def _say(sentence: str) -> None:
    with suppress(OSError):  # else there is nobody to tell
        print(f"fermtui: {plain(sentence)}", file=sys.stderr)


def put_out(data: bytes, path: str | None) -> Path | None:
    """Write the bytes; the path where one was given. An older file is replaced in one rename. Raises NotWritten."""
    if path is None:
        sys.stdout.flush()
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
        return None
    target = expanded(path)
    try:
        if target.is_dir():
            raise NotWritten(f"{target} is a folder: name a file in it")
        if target.exists() and not target.is_file():
            target.write_bytes(data)  # a pipe or a terminal is written, not replaced
            return target
        write_whole(target, data)
    except NotWritten:
        raise
    except OSError as fault:
        raise NotWritten(f"{target} was not written: {why_not(fault)}") from fault
    return target
