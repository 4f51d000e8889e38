"""What the coming tasks use up, less what is in stock: the list for the shop."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from fermtui.reports.needs import needs
from fermtui.reports.needs_text import Kind, needs_lines
from fermtui.tui.actions import NEEDS, bindings
from fermtui.tui.screens.base import Modal, head
from fermtui.tui.widgets.keyline import KeyLine
from fermtui.tui.widgets.lines import Line, wrapped
from fermtui.tui.widgets.painted_lines import PaintedText

if TYPE_CHECKING:
    from fermtui.tui.session import Session

SPANS = (7, 14, 30, 60, 90, 180, 365)
USUAL = 30
TITLE = "what to buy"
NOTE = "for the tasks to come"


class NeedsScreen(Modal):
    """Plus and minus change the span."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(NEEDS)

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session, self.days = session, USUAL

    def compose(self) -> ComposeResult:
        yield head(TITLE, NOTE)
        yield PaintedText(id="needs")
        yield KeyLine(NEEDS, id="keys")

    def on_mount(self) -> None:
        self.draw()

    def draw(self) -> None:
        """Reckon the list again, for this span."""
        wanted = needs(self.session.store.cellar, self.session.view, timedelta(days=self.days))
        text = needs_lines(wanted, self.session.view, self.days)
        self.query_one("#needs", PaintedText).show(lambda width, _: page_lines(text, width))

    def action_needs(self) -> None:
        self.action_back()

    def action_span(self, step: int) -> None:
        at = SPANS.index(self.days) + step
        beyond = not 0 <= at < len(SPANS)
        end = "a year is the longest span" if step > 0 else "a week is the shortest span"
        note = ("   " + end, "warn") if beyond else ("   " + NOTE, "quiet")
        self.query_one("#head", PaintedText).show([[(f"  {TITLE}", "strong"), note]])
        if not beyond:
            self.days = SPANS[at]
            self.draw()


def page_lines(text: list[tuple[Kind, str]], width: int) -> list[Line]:
    """The page: the rows as they are, long sentences broken."""
    lines: list[Line] = []
    for kind, row in text:
        if kind == "gap":
            lines.append([])
        elif kind == "sentence":
            lines += wrapped(row, "quiet", width, 4)
        else:
            lines.append([("  " + row, "title" if kind == "title" else "text")])
    return lines
