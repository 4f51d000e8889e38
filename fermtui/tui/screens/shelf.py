"""The home screen: what is due above, every vessel on one common time line below."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType

from fermtui.tui.actions import LIST, SHELF, bindings
from fermtui.tui.screens.cellar_screen import CellarScreen
from fermtui.tui.widgets.duelist import DueList, DueRow
from fermtui.tui.widgets.headline import headline
from fermtui.tui.widgets.keyline import KeyLine
from fermtui.tui.widgets.listing import Listing
from fermtui.tui.widgets.painted_lines import PaintedText
from fermtui.tui.widgets.timeline import Timeline

AROUND = 8
"""lines that are neither the due list nor the time line, blank ones among them"""
AROUND_DENSE = 4
"""the same where rows would else be hidden: the head, two lines of detail, the keys"""


class Shelf(CellarScreen):
    """`draw` shows the session's view; the cursors stay on what they were on."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(SHELF)
    AUTO_FOCUS = "#due"
    problems = 0
    folded = False
    """whether every vessel is one row, in place of both lists"""
    counts: tuple[int, int, int, int] = (0, 0, 0, 0)
    """late, due, this week, to check"""
    drawn = False
    """whether the cellar as it is now was drawn: the kept first picture may be of other days"""

    def compose(self) -> ComposeResult:
        ascii_only = self.fermtui.ascii_only
        yield PaintedText(id="head")
        yield DueList(ascii_only=ascii_only, id="due")
        yield PaintedText(id="detail")
        yield Timeline(ascii_only=ascii_only, id="line")
        yield PaintedText(id="message", classes="-empty")
        yield KeyLine(SHELF, id="keys")

    @property
    def due(self) -> DueList:
        """The list above."""
        return self.query_one("#due", DueList)

    @property
    def line(self) -> Timeline:
        """The time line below."""
        return self.query_one("#line", Timeline)

    def on_mount(self) -> None:
        self.draw()

    def on_screen_resume(self) -> None:
        self.draw()

    def on_resize(self, event: events.Resize) -> None:
        self._share(event.size.height)
        self._head()
        self._detail()

    def on_key(self, event: events.Key) -> None:
        self.fermtui.say_where(event.key, SHELF, LIST)

    def draw(self) -> None:
        """Show the view as it is now, or the kept first picture while there is no view yet."""
        first = self.fermtui.first
        if first is not None:
            self.due.show(first.due, first.calm)
            self._count(first.due)
            self.line.show(first.rows, first.today)
            self.problems = first.problems
        else:
            from fermtui.tui import row_builders  # brings the engine: not needed for the first picture

            view, chosen = self.fermtui.session.view, self.due.chosen
            rows = row_builders.due_rows(view)
            self._count(rows)
            self.due.show(row_builders.vessel_rows(view) if self.folded else rows, row_builders.calm_words(view))
            self.line.show(row_builders.shelf_rows(view), view.now.date())
            self.problems = len(view.all_problems)
            if chosen is not None and self.drawn:
                self._stay_with(chosen.vessel)
            self.drawn = True
        self._share(self.app.size.height)
        self._head()
        self._follow(self.focused)
        self._detail()

    def _stay_with(self, vessel: str) -> None:
        """The vessel had its last listed task ticked: its row on the time line is where the maker is now."""
        if self.focused is self.due and not self.due.has(vessel) and self.fermtui.session.vessel(vessel) is not None:
            self.line.choose(vessel)
            self.set_focus(self.line)

    def _count(self, rows: Sequence[DueRow]) -> None:
        states = [row.state for row in rows]
        self.counts = (states.count("late"), states.count("due"), states.count("coming"), states.count("trouble"))

    def _head(self) -> None:
        if self.line.today is None:
            return
        late, due, coming, check = self.counts
        first = self.fermtui.first
        known = first is None or first.due_known
        forecasting = first is None and self.fermtui.session.forecasting
        width, place = self.app.size.width, self.fermtui.place
        line = headline(
            self.line.today, late, due, coming, self.problems, width, place,
            check=check, known=known, forecasting=forecasting,
        )  # fmt: skip
        self.query_one("#head", PaintedText).show([line])

    def _share(self, height: int) -> None:
        """Divide the height: each list what it needs where both fit, else the due list at most half.

        Where rows would be hidden no line is left blank; where every vessel is one row, these have all the height.
        """
        wanted, vessels = max(1, len(self.due.rows)), 0 if self.folded else len(self.line.rows) + 1
        dense = wanted + vessels > height - AROUND
        self.set_class(dense, "-dense")
        free = height - (AROUND_DENSE if dense else AROUND)
        self.line.display = not self.folded
        if self.folded:
            self.due.styles.height = free
            return
        most = wanted if wanted + vessels <= free else max(free // 2, free - vessels)
        self.due.styles.height = max(2, min(wanted, most))

    def _detail(self) -> None:
        if self.fermtui.first is not None:
            return
        from fermtui.tui.row_builders import task_lines, vessel_lines  # not needed for the first picture

        view, width = self.fermtui.session.view, self.size.width
        if self.focused is self.line or not self.due.rows:
            seen = self.fermtui.session.vessel(self.line.chosen)
            lines = vessel_lines(view, seen, width) if seen else []
        else:
            chosen = self.due.chosen
            lines = task_lines(view, chosen.vessel, chosen.task, width) if chosen else []
            seen = self.fermtui.session.vessel(chosen.vessel) if chosen else None
            if seen is not None and (not lines or (len(lines) == 1 and self.has_class("-dense"))):
                lines = [*lines, *vessel_lines(view, seen, width)]
        self.query_one("#detail", PaintedText).show(lines)

    def _follow(self, moved: object) -> None:
        """The cursor of the other list goes to the same vessel, so that the eye finds it."""
        if moved is self.due and self.due.chosen:
            self.line.choose(self.due.chosen.vessel)

    def on_listing_moved(self, event: Listing.Moved) -> None:
        self._follow(event.listing)
        self._detail()

    def on_descendant_focus(self) -> None:
        self._follow(self.focused)
        self._detail()

    def on_listing_opened(self, event: Listing.Opened) -> None:
        event.stop()
        self.commands.open(*self.target())

    def target(self) -> tuple[str | None, str | None]:
        """On the time line the task is the vessel's first that is due."""
        if self.focused is self.line or not self.due.rows:
            vessel = self.line.chosen
            return vessel, next((row.task for row in self.due.rows if row.task and row.vessel == vessel), None)
        row = self.due.chosen
        return (row.vessel, row.task or None) if row else (None, None)

    def action_fold(self) -> None:
        self.folded = not self.folded
        if self.folded:
            self.set_focus(self.due)
        self.draw()

    def action_find(self) -> None:
        self.commands.find(self.go_to)

    def go_to(self, vessel: str) -> None:
        """The cursors onto a vessel: on its first task, or on the time line where it asks for nothing."""
        self.line.choose(vessel)
        rows = [row.vessel for row in self.due.rows]
        if vessel in rows:
            self.set_focus(self.due)
            self.due.go(rows.index(vessel))
        else:
            self.set_focus(self.line)
        self._detail()

    def action_swap(self) -> None:
        if self.folded:
            self.fermtui.say(f"every vessel is one row; {self.fermtui.key('fold')} shows the time line again", "quiet")
            return
        self.set_focus(self.due if self.focused is self.line else self.line)

    def action_earlier(self) -> None:
        self.line.pan(-4)

    def action_later(self) -> None:
        self.line.pan(4)

    def action_today(self) -> None:
        if not self.line.shift:
            self.fermtui.say("the time line stands at today already", "quiet")
        self.line.pan(None)

    def action_closer(self) -> None:
        if not self.line.zoom(1):
            self.fermtui.say("the time line shows as few days as it can: one in each cell", "quiet")

    def action_wider(self) -> None:
        if not self.line.zoom(-1):
            self.fermtui.say("the time line shows as many days as it can", "quiet")

    def action_start(self) -> None:
        from fermtui.tui.screens.new_vessel_screen import StartScreen  # not needed for the first picture

        self.app.push_screen(StartScreen(), self.fermtui.vessel_started)
