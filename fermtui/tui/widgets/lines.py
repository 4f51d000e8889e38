"""Lines of (text, role) runs, cut and wrapped to a width. No Textual."""

from __future__ import annotations

import re
from collections.abc import Sequence

from rich.cells import cell_len, set_cell_size

from fermtui.reports.runs import Run

Line = Sequence[Run]
CURSOR = "+"
"""A line whose first run has this role (and any text) is the line under the cursor."""
LEAST_NAME = 5
"""cells that are left of a name beside its folder"""
SENTENCE = re.compile(r"(?<=[.!?:;]) +(?=[A-Z])")


def fit(text: str, cells: int) -> str:
    """Text cut or padded to a count of cells; a cut is marked by two dots, which every terminal has."""
    if cell_len(text.rstrip(" ")) <= cells:
        return set_cell_size(text, cells)
    return set_cell_size(text, max(0, cells - 2)) + ".."[: max(0, cells)]


def wrapped(text: str, role: str, width: int, lines: int = 2, indent: str = "  ") -> list[Line]:
    """A sentence broken at blanks into at most `lines` lines; two dots say that more was cut."""
    if not text:
        return []
    rows, row = list[str](), ""
    for word in text.split():
        if row and len(row) + 1 + len(word) > width - len(indent):
            rows.append(row)
            row = word
        else:
            row = f"{row} {word}" if row else word
    rows.append(row)
    if len(rows) > lines:
        rows = [*rows[: lines - 1], f"{rows[lines - 1][: width - len(indent) - 3]} .."]
    return [[(indent + row, role)] for row in rows]


def whole_sentences(text: str, role: str, width: int, lines: int, indent: str = "  ") -> list[Line]:
    """As many whole sentences as fit into `lines`: half a caution is none. Only the first may be cut."""
    kept = ""
    for sentence in SENTENCE.split(text):
        longer = f"{kept} {sentence}".strip()
        if kept and len(wrapped(longer, role, width, 99, indent)) > lines:
            break
        kept = longer
    return wrapped(kept, role, width, lines, indent) if lines > 0 else []


def cells_of(name: str, tag: str) -> int:
    """How many cells a name takes with its folder."""
    return len(name) + (len(tag) + 1 if tag else 0)


def name_column(width: int, named: list[tuple[str, str]], most: int, *, least: int = 0) -> int:
    """Cells of a column of names and folders: folders get half as much again as names alone."""
    more = (most // 2 if width >= 72 else 4) if any(tag for _, tag in named) else 0
    return max(least, min(max((cells_of(*one) for one in named), default=6), most + more))


def name_runs(name: str, tag: str, cells: int, role: str) -> Line:
    """A name, and its folder dim beside it; where both have no room the name is cut first, for the folder tells more.

    A folder that is still too long keeps its end: `plum` and `plum-2` begin alike.
    """
    if not tag:
        return [(fit(name, cells), role)]
    left = min(len(name), max(min(LEAST_NAME, len(name)), cells - len(tag) - 1))
    room = max(0, cells - left - 1)
    short = tag if len(tag) <= room else ".." + tag[len(tag) - max(0, room - 2) :]
    return [(fit(name, left) + " ", role), (fit(short, room), "quiet")]
