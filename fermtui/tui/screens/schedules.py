"""The schedules: which there are, their steps in words, and a copy to edit."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from fermtui.daybook.files import NotWritten
from fermtui.daybook.places import SCHEDULES
from fermtui.reports.schedule_text import step_row
from fermtui.schedule.library import library_names, own_names
from fermtui.schedule.steps import Schedule
from fermtui.tui.actions import SCHEDULE_LIST, bindings
from fermtui.tui.outside import edit_schedule
from fermtui.tui.screens.base import Modal, head
from fermtui.tui.screens.line import LineScreen
from fermtui.tui.screens.text_page import TextPage
from fermtui.tui.widgets.keyline import KeyLine
from fermtui.tui.widgets.lines import Line, fit, wrapped
from fermtui.tui.widgets.listing import Listing
from fermtui.tui.widgets.painted_lines import PaintedText
from fermtui.tui.widgets.rows import ListItem, Rows
from fermtui.units import METRIC, Units
from fermtui.wording.plain import plain
from fermtui.wording.said import in_units
from fermtui.writing.refused import Refused
from fermtui.writing.schedule_copy import copy_schedule, loaded, take_copy_back

if TYPE_CHECKING:
    from fermtui.tui.session import Session

KEY = 14


class Schedules(Modal):
    """The cellar's own first. Enter shows the steps, c makes a copy, u takes the copy back."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(SCHEDULE_LIST)
    AUTO_FOCUS = "#schedules"

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.copied: list[tuple[str, str]] = []

    def compose(self) -> ComposeResult:
        yield head("schedules", "what to do, and when it becomes due")
        yield Rows("schedule", ascii_only=self.session.ascii_only, id="schedules")
        yield PaintedText(id="lot")
        yield PaintedText(id="message")
        yield KeyLine(SCHEDULE_LIST, id="keys")

    def on_mount(self) -> None:
        self.draw()

    def draw(self) -> None:
        """Look again which schedules there are."""
        own = own_names(self.session.store.cellar.path / SCHEDULES)
        names = dict.fromkeys((*own, *library_names()))
        rows = tuple(ListItem(name, self._row(name, own=name in own)) for name in names)
        self.query_one("#schedules", Rows).show(rows)
        self._detail()

    def _row(self, name: str, *, own: bool) -> Line:
        try:
            title = plain(loaded(self.session.store, name).title, 60)
        except Refused:
            title = "has mistakes"
        return [(fit(name, 28), "text"), ("yours, " if own else "", "text"), (title, "quiet")]

    def on_listing_moved(self, event: Listing.Moved) -> None:
        event.stop()
        self._detail()

    def _detail(self) -> None:
        name = self.query_one("#schedules", Rows).chosen
        if name is None:
            return
        try:
            schedule = loaded(self.session.store, name)
        except Refused as why:
            words, role = str(why), "warn"
        else:
            words, role = plain(schedule.about or schedule.title, 400), "quiet"
        self.query_one("#lot", PaintedText).show(lambda width, height: wrapped(words, role, width, height))

    def on_listing_opened(self, event: Listing.Opened) -> None:
        event.stop()
        name = self.query_one("#schedules", Rows).chosen or ""
        try:
            schedule = loaded(self.session.store, name)
        except Refused:
            return  # its mistake stands below the list
        units = self.session.view.settings.units
        page = TextPage(name, plain(schedule.title, 50), lambda width: schedule_lines(schedule, width, units))
        self.app.push_screen(page)

    def action_copy(self) -> None:
        name = self.query_one("#schedules", Rows).chosen
        if name is not None:
            self.app.push_screen(CopyLine(self, name))

    def action_edit(self) -> None:
        name = self.query_one("#schedules", Rows).chosen
        if name is not None:
            edit_schedule(self.fermtui, name)

    def copy(self, name: str, new: str) -> None:
        """Make the copy and say where it stands. Raises Refused, NotWritten."""
        target = copy_schedule(self.session.store, name, new)
        self.copied.append((name, new))
        self.draw()
        self.query_one("#schedules", Rows).choose(new)
        self._detail()
        undo = self.fermtui.key("undo")
        self._say(
            f"{SCHEDULES}/{target.name} is yours to edit; `fermtui check` explains mistakes ({undo} takes it back)"
        )

    def action_undo(self) -> None:
        if not self.copied:
            self._say("nothing was copied in this session", "warn")
            return
        name, new = self.copied.pop()
        try:
            take_copy_back(self.session.store, name, new)
        except Refused as why:
            self._say(str(why), "warn")
            return
        self.draw()
        self._say(f"taken back: the copy {new}")

    def _say(self, text: str, role: str = "accent") -> None:
        self.query_one("#message", PaintedText).show([[("  " + text, role)]])


class CopyLine(LineScreen):
    """Under which name the copy is kept."""

    ROOM = 2

    def __init__(self, schedules: Schedules, name: str) -> None:
        super().__init__(f"a copy of {name}", f"my-{name}")
        self.schedules, self.name_of = schedules, name

    def understood(self, text: str) -> list[Line]:
        return [[(f"  goes to {SCHEDULES}/{plain(text.strip() or f'my-{self.name_of}', 40)}.toml", "quiet")]]

    def enter(self, text: str) -> list[Line] | None:
        try:
            self.schedules.copy(self.name_of, text.strip() or f"my-{self.name_of}")
        except (Refused, NotWritten) as why:
            return wrapped(str(why), "warn", self.app.size.width)
        return None


def schedule_lines(schedule: Schedule, width: int, units: Units = METRIC) -> list[Line]:
    """The steps in order: what is to be done, for which meads, when, and what is said then."""
    lines: list[Line] = wrapped(in_units(plain(schedule.about or "", 400), units), "quiet", width, 6)
    for step in schedule.steps:
        key, act, only, due = step_row(step, schedule, units)
        lines += [[], [(f"  {fit(key, KEY)}", "title"), (act, "strong"), (f"   {only}" if only else "", "accent")]]
        lines += wrapped(plain(due, 400), "text", width, 6, indent=" " * (KEY + 2))
        lines += wrapped(in_units(plain(step.say or "", 400), units), "quiet", width, 6, indent=" " * (KEY + 2))
    return lines
