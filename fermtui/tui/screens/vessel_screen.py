"""One vessel: the plot, the facts with their uncertainty, the steps with their dates and reasons, the daybook."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal

from fermtui.cellar.agenda import by_time
from fermtui.reports.plot_scale import Zoom
from fermtui.reports.vessel_plot import plot_data
from fermtui.tui import vessel_parts as pages
from fermtui.tui.actions import BY_ID, LIST, VESSEL, bindings, key_of
from fermtui.tui.screens.cellar_screen import CellarScreen
from fermtui.tui.widgets.keyline import KeyLine
from fermtui.tui.widgets.listing import Listing
from fermtui.tui.widgets.painted_lines import PaintedText
from fermtui.tui.widgets.plot import Plot
from fermtui.tui.widgets.rows import Rows

if TYPE_CHECKING:
    from collections.abc import Callable

    from fermtui.tui.act_commands import ActCommands

ZOOMS: tuple[Zoom, ...] = ("all", "recent", "coming")
ZOOM_WORDS = {"all": "all of it", "recent": "the last two weeks", "coming": "what comes"}
URGENT = {"late": 0, "due": 1, "coming": 2, "waiting": 3}


class VesselScreen(CellarScreen):
    """`draw` shows the session's view of this vessel."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(VESSEL)
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (72, "-middle"), (110, "-wide")]  # noqa: RUF012 (the toolkit declares it)
    VERTICAL_BREAKPOINTS = [(0, "-small"), (24, "-middling"), (32, "-tall")]  # noqa: RUF012
    AUTO_FOCUS = "#steps"

    def __init__(self, commands: Callable[[], ActCommands], vessel: str, task: str | None = None) -> None:
        super().__init__(commands)
        self.vessel = vessel
        self.first_task = task
        self.zoomed: Zoom = "all"

    def compose(self) -> ComposeResult:
        ascii_only = self.fermtui.session.ascii_only
        yield PaintedText(id="head")
        with Horizontal(id="upper"):
            yield Plot(ascii_only=ascii_only, id="plot")
            yield PaintedText(id="facts")
        with Horizontal(id="lower"):
            yield Rows("steps", ascii_only=ascii_only, id="steps")
            yield Rows("daybook", ascii_only=ascii_only, id="book")
        yield PaintedText(id="detail")
        yield PaintedText(id="message")
        yield KeyLine(VESSEL, id="keys")

    @property
    def steps(self) -> Rows:
        """The list to the left."""
        return self.query_one("#steps", Rows)

    @property
    def book(self) -> Rows:
        """The list to the right."""
        return self.query_one("#book", Rows)

    def target(self) -> tuple[str | None, str | None]:
        return self.vessel, self.steps.chosen

    def on_mount(self) -> None:
        self.draw()
        self._to_first_step()

    def _to_first_step(self) -> None:
        vessel = self.fermtui.session.vessel(self.vessel)
        ordered = by_time(vessel.tasks) if vessel else []
        open_steps = sorted((URGENT[t.state], n, t.key) for n, t in enumerate(ordered) if t.is_open)
        self.steps.choose(self.first_task or (open_steps[0][2] if open_steps else None), lead=1)
        self._detail()

    def on_resize(self) -> None:
        self.draw()

    def on_screen_resume(self) -> None:
        self.draw()

    def on_key(self, event: events.Key) -> None:
        self.fermtui.say_where(event.key, VESSEL, LIST)

    def draw(self) -> None:
        """Show the vessel as it stands now; leave when it has gone."""
        session = self.fermtui.session
        vessel = session.vessel(self.vessel)
        if vessel is None:
            if self.is_current:
                self.dismiss(None)
            return
        band = session.band(vessel)
        vessel = session.vessel(self.vessel) or vessel  # without its forecast, where the band could not be reckoned
        units, zone, ascii_only = session.view.settings.units, session.view.settings.zone, session.ascii_only
        file = session.file(self.vessel)
        self.query_one("#head", PaintedText).show([pages.head_line(vessel, self.size.width)])
        now = session.view.now
        data = plot_data(vessel, file, now, zone, self.zoomed, units, band_rows=band)
        self.query_one("#plot", Plot).show(data)
        check_key = key_of("check", self.fermtui.changed_keys)
        self.query_one("#facts", PaintedText).show(
            lambda width, height: pages.fact_lines(
                vessel, units, width, height, ascii_only=ascii_only, check_key=check_key
            )
        )
        self.steps.show(pages.step_items(vessel, now, ascii_only=ascii_only))
        self.book.show(pages.book_items(file, zone, units))
        self._detail()

    def _detail(self) -> None:
        session = self.fermtui.session
        vessel = session.vessel(self.vessel)
        if vessel is None:
            return
        units, width = session.view.settings.units, self.size.width
        if self.focused is self.book:
            lines = pages.book_line(
                session.file(self.vessel), self.book.chosen, session.view.settings.zone, units, width
            )
        else:
            lines = pages.step_line(vessel, self.steps.chosen, session.view, width)
        self.query_one("#detail", PaintedText).show(lines)

    def on_listing_moved(self, event: Listing.Moved) -> None:
        event.stop()
        self._detail()

    def on_listing_opened(self, event: Listing.Opened) -> None:
        event.stop()
        acts = ("strike",) if self.focused is self.book else ("tick", "postpone", "skip")
        self.fermtui.say(", ".join(f"{self.fermtui.key(name)} {BY_ID[name].label}" for name in acts), "quiet")

    def on_descendant_focus(self) -> None:
        self._detail()

    def action_back(self) -> None:
        self.dismiss(None)

    def action_swap(self) -> None:
        self.set_focus(self.steps if self.focused is self.book else self.book)

    def action_zoom(self) -> None:
        self.zoomed = ZOOMS[(ZOOMS.index(self.zoomed) + 1) % len(ZOOMS)]
        self.draw()
        self.fermtui.say(f"plot: {ZOOM_WORDS[self.zoomed]}", "quiet")

    def action_sources(self) -> None:
        vessel = self.fermtui.session.vessel(self.vessel)
        if vessel is not None:
            from fermtui.tui.screens.sources import Sources  # opened now and then

            self.app.push_screen(Sources(self.fermtui.session, vessel))

    def action_earlier(self) -> None:
        self._other(-1)

    def action_later(self) -> None:
        self._other(1)

    def _other(self, step: int) -> None:
        """The vessel before or after this one."""
        names = [vessel.vessel for vessel in self.fermtui.session.view.vessels]
        if self.vessel not in names or len(names) < 2:
            self.fermtui.say("there is no other vessel at work", "warn")
            return
        self._go_to(names[(names.index(self.vessel) + step) % len(names)])

    def _go_to(self, vessel: str) -> None:
        """Show that vessel in place of this one."""
        self.vessel = vessel
        self.first_task = None
        self.steps.cursor = self.book.cursor = 0
        self.draw()
        self._to_first_step()

    def action_find(self) -> None:
        self.commands.find(self._go_to)

    def action_undo(self) -> None:
        self.commands.undo(self.vessel)

    def action_redo(self) -> None:
        line = self.book.chosen if self.focused is self.book else None
        if line is None or not self.commands.lift(self.vessel, line):
            self.commands.redo(self.vessel)

    def action_strike(self) -> None:
        if self.focused is self.book and self.book.chosen:
            self.commands.strike(self.vessel, self.book.chosen)
        else:
            self.fermtui.say(f"go to the daybook first ({self.fermtui.key('swap')}), onto the line to strike", "warn")

    def action_edit(self) -> None:
        self.commands.edit(self.vessel, self._line())

    def action_yank(self) -> None:
        self.commands.yank(self.vessel, self._line())

    def _line(self) -> str | None:
        """The key of the line of the daybook under the cursor, where the daybook is the list that is walked."""
        return self.book.chosen if self.focused is self.book else None
