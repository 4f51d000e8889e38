"""Lines of (text, role) runs, cut and wrapped to a width. No Textual."""

from __future__ import annotations

import re
from collections.abc import Sequence

from rich.cells import cell_len, set_cell_size

from fermtui.reports.runs import Run

Line = Sequence[Run]
CURSOR = "+"
"""A line whose first run has this role (and any text) is the line under the cursor."""
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
