"""The shelf's lower half: every vessel one row, with its state beside its stretch of the common time line."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from fermtui.reports.runs import Run, joined
from fermtui.tui.widgets.lines import CURSOR, Line, fit, name_column, name_runs
from fermtui.tui.widgets.listing import Listing, more
from fermtui.tui.widgets.track import SCALES, Mark, head_cells, row_cells, spent_bar, stretch

SHORTER = {"not started": "no start"}
"""What is said where the column is too narrow: a word that was cut says nothing."""


class VesselRow(NamedTuple):
    """One vessel as the shelf shows it: words are ready to show."""

    key: str
    name: str
    stage: str
    trouble: str = ""
    gravity: str = ""
    abv: str = ""
    spent_percent: float | None = None
    marks: tuple[Mark, ...] = ()
    damaged: bool = False
    """something in its files cannot be read"""
    gravity_unit: str = "SG"
    tag: str = ""
    """the folder, where another vessel has the same name"""
    finish: str = ""
    """its likely day while it ferments, or that it has stopped"""


class Columns(NamedTuple):
    """Widths of the columns; 0 leaves one out. Least needed goes first: the bar, strength, gravity, the finish."""

    name: int
    stage: int
    gravity: int
    abv: int
    spent: int
    finish: int
    track: int


FINISH = 7
"""cells of `~30 Mar`"""
TRACK, LEAST_TRACK = 24, 16
"""cells of the track for which the bar and the strength go, and for which the gravity and the finish go"""


def columns(width: int, rows: Sequence[VesselRow]) -> Columns:
    """Column widths for a width: the track keeps its cells as long as anything else can be dropped."""
    named = [(row.name, row.tag) for row in rows]
    name = name_column(width, named, 18 if width >= 100 else 13 if width >= 72 else 12, least=6)
    stage = 20 if width >= 110 else 11
    gravity, abv, spent = 5, 5, 10 if width >= 100 else 6
    finish = FINISH if any(row.finish for row in rows) else 0

    def left() -> int:
        shown = (gravity and gravity + 1) + (abv and abv + 1) + (spent and spent + 2) + (finish and finish + 1)
        return width - 2 - name - 1 - stage - 1 - shown

    if left() < TRACK:
        spent = 0
    if left() < TRACK:
        abv = 0
    if left() < LEAST_TRACK:
        gravity = 0
    if left() < LEAST_TRACK:
        finish = 0
    return Columns(name, stage, gravity, abv, spent, finish, max(8, left()))


class Timeline(Listing):
    """All vessels. `show` takes new data; the cursor stays on the same vessel."""

    HEAD = 1

    def __init__(self, *, ascii_only: bool = False, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self.ascii_only = ascii_only
        self.rows: tuple[VesselRow, ...] = ()
        self.today: date | None = None
        self.days: int | None = None
        self.shift = 0
        self._scale = SCALES[0]

    def show(self, rows: tuple[VesselRow, ...], today: date) -> None:
        """Draw other rows."""
        if rows == self.rows and today == self.today:
            return
        chosen = self.chosen
        self.rows, self.today = rows, today
        self.choose(chosen)
        self.repaint()

    @property
    def chosen(self) -> str | None:
        """The vessel under the cursor."""
        return self.rows[self.cursor].key if self.cursor < len(self.rows) else None

    def choose(self, key: str | None) -> None:
        """Put the cursor on a vessel, if it is there."""
        for index, row in enumerate(self.rows):
            if row.key == key and index != self.cursor:
                self.cursor = index
                self.repaint()

    def count(self) -> int:
        return len(self.rows)

    def paint(self, width: int, height: int) -> list[Line]:
        if self.today is None or height < 2:
            return []
        wide = columns(width, self.rows)
        span = stretch(self.today, wide.track, days=self.days, shift=self.shift)
        self._scale = span.days
        lines: list[Line] = [self._head(wide) + joined(head_cells(span, self.today, ascii_only=self.ascii_only))]
        shown = self.window(height)
        for index in shown:
            row = self.rows[index]
            track = joined(row_cells(row.marks, span, self.today, ascii_only=self.ascii_only))
            lines.append(self._state(row, wide, under_cursor=index == self.cursor) + track)
        if len(shown) < len(self.rows):
            lines.append([(f"  {more(shown, len(self.rows))}", "quiet")])
        return lines

    def _head(self, wide: Columns) -> list[Run]:
        text = "  " + fit("vessel", wide.name) + " " + fit("stage", wide.stage) + " "
        text += fit(self.rows[0].gravity_unit if self.rows else "SG", 6) if wide.gravity else ""
        text += "% vol " if wide.abv else ""
        text += fit("sugar spent" if wide.spent >= 10 else "spent", wide.spent + 2) if wide.spent else ""
        text += fit("finish", wide.finish + 1) if wide.finish else ""
        return [(text, "title")]

    def _state(self, row: VesselRow, wide: Columns, *, under_cursor: bool) -> list[Run]:
        sign = (">" if self.ascii_only else "▸") if under_cursor else " "
        runs: list[Run] = [(sign + " ", CURSOR if under_cursor else "text")]
        runs += name_runs(row.name, row.tag, wide.name, "text")
        runs.append(("?", "warn") if row.damaged else (" ", "text"))
        runs += stage_runs(row, wide.stage)
        runs.append((" ", "text"))
        if wide.gravity:
            runs.append((fit(row.gravity, 5) + " ", "text"))
        if wide.abv:
            runs.append((row.abv.rjust(5)[:5] + " ", "text"))
        if wide.spent:
            runs += [*spent_bar(row.spent_percent, wide.spent, ascii_only=self.ascii_only), ("  ", "text")]
        if wide.finish:
            runs.append((row.finish.rjust(wide.finish)[: wide.finish] + " ", "quiet"))
        return runs

    def zoom(self, step: int) -> bool:
        """Other scale: +1 shows fewer days in a cell, -1 more; False where there is none."""
        index = SCALES.index(self._scale) - step
        if self.today is None or not 0 <= index < len(SCALES):
            return False
        self.days = self._scale = SCALES[index]
        self.repaint()
        return True

    def pan(self, cells: int | None) -> None:
        """Move the stretch by cells; None goes back to today."""
        self.shift = 0 if cells is None else self.shift + cells
        self.repaint()


def stage_runs(row: VesselRow, cells: int) -> list[Run]:
    """The stage, quiet; trouble stands beside it where there is room, else in its place, loud."""
    if not row.trouble:
        return [(fit(row.stage, cells), "quiet")]
    if cells >= len(row.stage) + len(row.trouble) + 2:
        return [(row.stage + " ", "quiet"), (fit(row.trouble + "!", cells - len(row.stage) - 1), "warn")]
    loud = f"{row.trouble}!" if len(row.trouble) < cells else f"{SHORTER.get(row.trouble, row.trouble)}!"
    return [(fit(loud, cells), "warn")]
