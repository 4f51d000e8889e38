"""The common time line of the shelf as character cells: pure, no Textual.

Every vessel is one row; today is one line through all of them. Past is a solid track, what comes a sparse one; the next
date that is only foreseen lies in a thick stretch from its earliest to its latest day.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Literal, NamedTuple

from fermtui.reports.runs import Run
from fermtui.wording.dates import MONTHS

MarkKind = Literal["done", "foreseen", "coming", "due", "late"]

RANK: dict[str, int] = {"done": 0, "foreseen": 1, "coming": 2, "due": 3, "late": 4}
SIGN = {"done": "▪", "foreseen": "◦", "coming": "▫", "due": "◉", "late": "!"}
ASCII_SIGN = {"done": "*", "foreseen": "?", "coming": "+", "due": "@", "late": "!"}
ROLE = {"done": "quiet", "foreseen": "text", "coming": "text", "due": "due", "late": "late"}
SCALES = (1, 2, 3, 5, 7, 14, 30)
"""days in one cell"""
CROWDED = 10
"""days in one cell, from where on not every month has room for its name anyhow"""


class Mark(NamedTuple):
    """A step on the row: where it was done, or when it is likely; a foreseen one has an earliest and a latest day."""

    day: date
    kind: MarkKind
    earliest: date | None = None
    latest: date | None = None


class Stretch(NamedTuple):
    """The days that a time line shows, `days` in each of its cells."""

    first: date
    days: int
    cells: int

    def cell(self, day: date) -> int:
        """The cell of a day; outside 0..cells-1 when it is not shown."""
        return (day - self.first).days // self.days

    def day(self, cell: int) -> date:
        """The first day of a cell."""
        return self.first + timedelta(days=cell * self.days)


def stretch(today: date, cells: int, *, days: int | None = None, shift: int = 0) -> Stretch:
    """Today stands at a third; `shift` moves the picture by cells. Without `days` about ten weeks are shown."""
    scale = days or next((scale for scale in SCALES if cells * scale >= 66), SCALES[-1])
    return Stretch(today - timedelta(days=(cells // 3 - shift) * scale), scale, cells)


def head_cells(span: Stretch, today: date, *, ascii_only: bool = False) -> list[Run]:
    """Month names where a month begins, January with its year where there is room, and the today line."""
    cells: list[Run] = [(" ", "axis")] * span.cells
    now = span.cell(today)
    taken = {now} if 0 <= now < span.cells else set()
    for month, cell, following in sorted(_months(span), key=lambda one: one[0].month != 1):  # the year tells most
        found = _place(month, cell, following, now, span, taken)
        if found is None:
            continue
        start, label = found
        for offset, sign in enumerate(label):
            cells[start + offset] = (sign, "axis")
        taken |= set(range(start - 1, start + len(label) + 1))
    if 0 <= now < span.cells:
        cells[now] = today_cell(ascii_only=ascii_only)
    return cells


def _months(span: Stretch) -> list[tuple[date, int, int]]:
    """First day, first cell in the picture, and first cell of the month after it, for each month that is shown."""
    months = []
    month = span.first.replace(day=1)
    while span.cell(month) < span.cells:
        after = date(month.year + month.month // 12, month.month % 12 + 1, 1)
        months.append((month, max(0, span.cell(month)), span.cell(after)))
        month = after
    return months


def _place(month: date, cell: int, following: int, now: int, span: Stretch, taken: set[int]) -> tuple[int, str] | None:
    """Where a month is named, and how: as fully as it can be without a neighbour losing its name."""
    name = MONTHS[month.month - 1]
    texts = [f"{name} {month.year}", f"{name} '{month:%y}", name] if month.month == 1 else [name]
    begun = month < span.first  # the name would else say that it begins here
    for text in texts:
        most = span.cells if following >= span.cells else following - 1
        if span.days >= CROWDED or (text == name and not begun):
            most = span.cells
        for start in (cell, now + 1):
            after = start + len(text)
            within = cell <= start < max(following, cell + 1) and after <= most
            if within and taken.isdisjoint(range(start, after)):
                return start, text
    return None


def today_cell(*, ascii_only: bool) -> Run:
    """The sign of the line through all rows."""
    return ("|" if ascii_only else "⡇"), "today"


def window_cell(*, ascii_only: bool) -> Run:
    """The sign of the days between the earliest and the latest; no reading in a plot ever looks like it."""
    return ("=" if ascii_only else "⠭"), "band"


def row_cells(marks: Sequence[Mark], span: Stretch, today: date, *, ascii_only: bool = False) -> list[Run]:
    """One vessel's row: track, windows, marks; arrows where more lies outside."""
    cells: list[Run] = [(" ", "grid")] * span.cells
    now = span.cell(today)
    if marks:
        first = min(mark.day for mark in marks)
        last = max(mark.latest or mark.day for mark in marks)
        for cell in range(max(0, span.cell(first)), min(span.cells - 1, span.cell(max(last, today))) + 1):
            cells[cell] = _track(past=cell < now, ascii_only=ascii_only)
    foreseen = min((mark for mark in marks if mark.kind == "foreseen"), key=lambda mark: mark.day, default=None)
    if foreseen is not None and foreseen.earliest and foreseen.latest:  # all of them would run into one another
        from_cell, to_cell = span.cell(foreseen.earliest), span.cell(foreseen.latest)
        for cell in range(max(now + 1, from_cell, 0), min(span.cells - 1, to_cell) + 1):
            cells[cell] = window_cell(ascii_only=ascii_only)
    if 0 <= now < span.cells:
        cells[now] = today_cell(ascii_only=ascii_only)
    strength: dict[int, int] = {}
    for mark in marks:
        cell = span.cell(mark.day)
        hidden = cell == now and mark.kind == "done"  # the today line is worth more than what is over
        if 0 <= cell < span.cells and RANK[mark.kind] >= strength.get(cell, -1) and not hidden:
            strength[cell] = RANK[mark.kind]
            cells[cell] = ((ASCII_SIGN if ascii_only else SIGN)[mark.kind], ROLE[mark.kind])
    return _outside(cells, marks, span, ascii_only=ascii_only)


def _track(*, past: bool, ascii_only: bool) -> Run:
    if ascii_only:
        return ("-", "grid") if past else (".", "grid")
    return ("⠒", "grid") if past else ("⠂", "grid")


def _outside(cells: list[Run], marks: Sequence[Mark], span: Stretch, *, ascii_only: bool) -> list[Run]:
    before = [mark for mark in marks if span.cell(mark.day) < 0]
    after = [mark for mark in marks if span.cell(mark.day) >= span.cells]
    left, right = ("<", ">") if ascii_only else ("‹", "›")
    if before:
        cells[0] = (left, "late" if any(mark.kind == "late" for mark in before) else "quiet")
    if after:
        cells[-1] = (right, "quiet")
    return cells


def spent_bar(percent: float | None, cells: int, *, ascii_only: bool = False) -> list[Run]:
    """Sugar spent as a bar: full braille cells, a half one, a thin track for what is left. Unknown is empty."""
    if percent is None:
        return [(" " * cells, "quiet")]
    halves = round(max(0.0, min(100.0, percent)) / 100 * cells * 2)
    if percent < 100 and halves == cells * 2:
        halves -= 1
    full, half = divmod(halves, 2)
    rest = cells - full - half
    if ascii_only:
        return [("#" * full + "=" * half, "text"), ("." * rest, "grid")]
    return [("⠿" * full + "⠇" * half, "text"), ("⠒" * rest, "grid")]
