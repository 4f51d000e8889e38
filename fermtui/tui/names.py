"""A name with its folder beside it, and the column for them."""

from __future__ import annotations

from fermtui.tui.widgets.lines import Line, fit

LEAST = 5
"""cells that are left of a name beside its folder"""


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
    left = min(len(name), max(min(LEAST, len(name)), cells - len(tag) - 1))
    room = max(0, cells - left - 1)
    short = tag if len(tag) <= room else ".." + tag[len(tag) - max(0, room - 2) :]
    return [(fit(name, left) + " ", role), (fit(short, room), "quiet")]
