"""What is the matter with a vessel: the acts that help, one a row, and below them the check list of its own record."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from fermtui.schedule.task import Task
from fermtui.tui.actions import ENTRY_LIST, bindings
from fermtui.tui.screens.base import Modal, head
from fermtui.tui.vessel_parts import check_lines
from fermtui.tui.widgets.keyline import KeyLine
from fermtui.tui.widgets.lines import fit
from fermtui.tui.widgets.listing import Listing
from fermtui.tui.widgets.rows import ListItem, Rows
from fermtui.wording.dates import short_window
from fermtui.wording.kinds import to_do
from fermtui.wording.plain import plain
from fermtui.wording.tasks import state_text

if TYPE_CHECKING:
    from collections.abc import Callable

    from fermtui.cellar.store import VesselView
    from fermtui.tui.session import Session

WHEN = 14
MARGIN = 4
"""Cells beside the text: the list's own sign and the edge."""


def acts_of(view: VesselView) -> list[Task]:
    """The acts against the trouble of a vessel; the look is this page itself, so it stands there only by itself."""
    acts = [task for task in view.tasks if task.trouble is not None]
    return [task for task in acts if task.do != "chore" or task.what != "look at it" or len(acts) == 1]


class TroubleScreen(Modal):
    """Enter does the act under the cursor; the lines below are there to be read."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(ENTRY_LIST)
    AUTO_FOCUS = "#acts"

    def __init__(self, session: Session, view: VesselView, chosen: Callable[[str], None]) -> None:
        """`chosen` is called with the key of the act, once the page is gone."""
        super().__init__()
        self.session, self.view, self.chosen = session, view, chosen

    def compose(self) -> ComposeResult:
        yield head(plain(self.view.name, 40), "what to look at")
        yield Rows("what to do", ascii_only=self.session.ascii_only, id="acts")
        yield KeyLine(ENTRY_LIST, id="keys")

    def on_mount(self) -> None:
        self._fill()

    def on_resize(self) -> None:
        self._fill()

    def _fill(self) -> None:
        acts = acts_of(self.view)
        first = next((task for task in acts if task.is_open), None)
        lines = check_lines(self.view, self.session.view.settings, self.app.size.width - MARGIN)
        rows = self.query_one("#acts", Rows)
        rows.show((
            *(ListItem(task.key, self._act(task, first=task is first)) for task in acts),
            *(ListItem("", line) for line in lines),
        ))  # fmt: skip
        rows.choose(None if first is None else first.key)

    def _act(self, task: Task, *, first: bool) -> list[tuple[str, str]]:
        view = self.session.view
        when, role = state_text(task), "quiet"
        if task.is_open:
            role = "due" if first and task.state != "coming" else "text"
            when = "now" if first else "at any time" if task.do == "end" else "then"
            when = short_window(task.window, view.now, view.settings.zone) if task.state == "coming" else when
        return [(fit(when, WHEN) + " ", "quiet"), (to_do(task.do, task.what), role)]

    def on_listing_moved(self, event: Listing.Moved) -> None:
        event.stop()

    def on_listing_opened(self, event: Listing.Opened) -> None:
        event.stop()
        key = self.query_one("#acts", Rows).chosen
        task = self.view.task(key) if key else None
        if task is None or not task.is_open:
            return
        self.dismiss(None)
        self.chosen(task.key)
