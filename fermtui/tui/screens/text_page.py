"""One page of text that scrolls: batches side by side, a check list, a schedule, how a sum was reckoned."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll

from fermtui.tui.actions import PAGE, bindings
from fermtui.tui.screens.base import Modal, head
from fermtui.tui.widgets.keyline import KeyLine
from fermtui.tui.widgets.lines import Line
from fermtui.tui.widgets.painted_lines import PaintedText

BAR = 3
"""cells for the scroll bar and a gap beside it"""


class Sheet(VerticalScroll, inherit_bindings=False):
    """The part that scrolls; its keys are the page's, so that all of them work alike."""


class TextPage(Modal):
    """`lines_for` gives the lines for a width; the key that opened the page goes back too."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(PAGE)
    AUTO_FOCUS = "#sheet"

    def __init__(self, heading: str, note: str, lines_for: Callable[[int], list[Line]]) -> None:
        super().__init__()
        self.heading, self.note, self.lines_for = heading, note, lines_for

    def compose(self) -> ComposeResult:
        yield head(self.heading, self.note)
        with Sheet(id="sheet"):
            yield PaintedText(id="text")
        yield KeyLine(PAGE, id="keys")

    @property
    def _sheet(self) -> Sheet:
        return self.query_one("#sheet", Sheet)

    def on_mount(self) -> None:
        self._fill()

    def on_resize(self) -> None:
        self._fill()

    def _fill(self) -> None:
        lines = self.lines_for(self.app.size.width - BAR)
        words = self.query_one("#text", PaintedText)
        words.styles.height = len(lines)
        words.show(lines)

    def action_how(self) -> None:
        self.action_back()

    def action_down(self) -> None:
        self._scroll(1)

    def action_up(self) -> None:
        self._scroll(-1)

    def action_page_down(self) -> None:
        self._scroll(max(1, self._sheet.size.height - 1))

    def action_page_up(self) -> None:
        self._scroll(-max(1, self._sheet.size.height - 1))

    def _scroll(self, rows: int) -> None:
        self._sheet.scroll_relative(y=rows, animate=False)

    def action_first(self) -> None:
        self._sheet.scroll_home(animate=False)

    def action_last(self) -> None:
        self._sheet.scroll_end(animate=False)
