"""One page of text that scrolls: batches side by side, a check list, a schedule, how a sum was reckoned."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import ModalScreen

from fermtui.tui.widgets.cells import Line, PaintedText

BAR = 3
"""cells for the scroll bar and a gap beside it"""


class Sheet(VerticalScroll, inherit_bindings=False):
    """The part that scrolls; its keys are the page's, so that all of them work alike."""


class TextPage(ModalScreen[None]):
    """`lines_for` gives the lines for a width; Esc, or the key that opened the page, goes back."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q,f2", "dismiss", "back"),
        Binding("j,down", "scroll(1)", "down"),
        Binding("k,up", "scroll(-1)", "up"),
        Binding("space,pagedown", "leaf(1)", "a page down"),
        Binding("pageup", "leaf(-1)", "a page up"),
        Binding("g,home", "top", "to the top"),
        Binding("G,end", "bottom", "to the end"),
    ]
    AUTO_FOCUS = "#sheet"

    def __init__(self, heading: str, note: str, lines_for: Callable[[int], list[Line]]) -> None:
        super().__init__()
        self.heading, self.note, self.lines_for = heading, note, lines_for

    def compose(self) -> ComposeResult:
        yield PaintedText([[(f"  {self.heading}", "strong"), (f"   {self.note}", "quiet")]], id="head")
        with Sheet(id="sheet"):
            yield PaintedText(id="text")
        yield PaintedText(
            [[(" Esc", "key"), (" back   ", "quiet"), ("j k", "key"), (" down and up", "quiet")]], id="keys"
        )

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

    def action_scroll(self, step: int) -> None:
        self._sheet.scroll_relative(y=step, animate=False)

    def action_leaf(self, step: int) -> None:
        self._sheet.scroll_relative(y=step * max(1, self._sheet.size.height - 1), animate=False)

    def action_top(self) -> None:
        self._sheet.scroll_home(animate=False)

    def action_bottom(self) -> None:
        self._sheet.scroll_end(animate=False)
