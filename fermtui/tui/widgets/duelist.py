"""The shelf's upper half: what is late, due, and coming within a week."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NamedTuple

from fermtui.reports.runs import Run
from fermtui.tui.widgets.lines import CURSOR, Line, fit, name_column, name_runs
from fermtui.tui.widgets.listing import Listing, more

State = Literal["trouble", "late", "due", "coming", "calm"]
STANDS = 6
"""cells for a gravity, or for a word in its place"""
ROLE: dict[str, str] = {"trouble": "warn", "late": "late", "due": "due", "coming": "quiet", "calm": "quiet"}


class DueRow(NamedTuple):
    """One task as the list shows it, or what stands against a vessel (`task` is empty): words are ready to show."""

    vessel: str
    task: str
    state: State
    when: str
    """CHECK, LATE, due, or a day"""
    name: str
    do: str
    amount: str = ""
    since: str = ""
    why: str = ""
    tag: str = ""
    """the folder, where another vessel has the same name"""
    stands: str = ""
    """how the vessel stands, where a row is all that is shown of it"""


class DueList(Listing):
    """Tasks, most pressing first. Quiet where nothing is due."""

    def __init__(self, *, ascii_only: bool = False, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self.ascii_only = ascii_only
        self.rows: tuple[DueRow, ...] = ()
        self.calm = ""

    def show(self, rows: tuple[DueRow, ...], calm: str) -> None:
        """Draw other rows; `calm` is what stands there when there are none.

        The cursor stays on its task, and once that one is over or no longer as pressing, on the next of the same
        vessel: what is typed next must not go to another daybook. Where the vessel has none left it stays in its place.
        """
        if (rows, calm) == (self.rows, self.calm):
            return
        held, was_at = self.chosen, self.cursor
        self.rows, self.calm = rows, calm
        if held is not None:
            own = [index for index, row in enumerate(rows) if row.vessel == held.vessel]
            same = [at for at in own if (rows[at].task, rows[at].state) == (held.task, held.state)]
            pressing = [at for at in own if rows[at].state != "coming"]
            below = [at for at in pressing or own if at >= was_at]
            self.cursor = next(iter([*same, *below, *pressing, *own]), was_at)
        self.repaint()

    def has(self, vessel: str) -> bool:
        """Whether a task of that vessel is listed."""
        return any(row.vessel == vessel for row in self.rows)

    @property
    def chosen(self) -> DueRow | None:
        """The task under the cursor."""
        return self.rows[self.cursor] if self.cursor < len(self.rows) else None

    def count(self) -> int:
        return len(self.rows)

    def paint(self, width: int, height: int) -> list[Line]:
        if not self.rows:
            return [[("  " + self.calm, "quiet")]]
        wide = widths(width, self.rows)
        shown = self.window(height)
        lines: list[Line] = [self._row(self.rows[i], wide, under_cursor=i == self.cursor) for i in shown]
        if len(shown) < len(self.rows):
            lines.append([(f"  {more(shown, len(self.rows))}", "quiet")])
        return lines

    def _row(self, row: DueRow, wide: tuple[int, int, int, int], *, under_cursor: bool) -> Line:
        when, name, do, rest = wide
        sign = (">" if self.ascii_only else "▸") if under_cursor else " "
        loud = row.state not in ("coming", "calm")
        runs = [
            (sign + " ", CURSOR if under_cursor else "text"),
            (fit(row.when, when) + "  ", ROLE[row.state]),
            *name_runs(row.name, row.tag, name, "text" if loud else "quiet"),
        ]
        if row.stands:
            whole = do + 2 + rest - STANDS - 2
            says: Run = (fit(row.do, whole), "text" if loud else "quiet")
            return [*runs, ("  " + fit(row.stands, STANDS) + "  ", "quiet"), says]
        runs += [
            ("  " + fit(row.do, do) + "  ", "text" if loud else "quiet"),
        ]
        return [*runs, *_ending(row, rest)]


def _ending(row: DueRow, cells: int) -> Line:
    """Amount, since when, and why: the reason only where it has room for more than its first words."""
    runs: list[Run] = []
    for text, role in ((row.amount, "text" if row.state == "coming" else "strong"), (row.since, "quiet")):
        if text and (len(text) <= cells or not runs):
            runs.append((fit(text, min(len(text), max(0, cells))) + "   ", role))
            cells -= len(text) + 3
    if len(row.why) <= cells or cells >= 28 or (not runs and cells >= 16):
        runs.append((fit(row.why, cells).rstrip(), "quiet"))
    return runs


def widths(width: int, rows: Sequence[DueRow]) -> tuple[int, int, int, int]:
    """Columns: when, name, task, and what is left for amount and reason."""
    when = max(len(row.when) for row in rows)
    name = name_column(width, [(row.name, row.tag) for row in rows], 18 if width >= 100 else 13)
    do = min(max(len(row.do) for row in rows), 30 if width >= 100 else 23 if width >= 76 else 18)
    return when, name, do, max(0, width - 2 - when - 2 - name - 2 - do - 2 - 1)
