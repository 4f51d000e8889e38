"""One line to type into, at the foot of the screen. The reading line and the lines for reasons stand on it."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.widgets import Input

from fermtui.tui.actions import LINE, bindings
from fermtui.tui.screens.base import Modal
from fermtui.tui.widgets.lines import Line
from fermtui.tui.widgets.painted_lines import PaintedText
from fermtui.wording.plain import plain


class LineScreen(Modal):
    """Asks for one line. The typed text stays until it has been written or Escape is pressed.

    A subclass says what it understood (`understood`) and what Enter does (`enter`).
    """

    BINDINGS: ClassVar[list[BindingType]] = bindings(LINE)
    MOST = 400
    ROOM = 2
    """lines for what was understood"""

    def __init__(self, title: str, example: str) -> None:
        super().__init__()
        self.heading, self.example = plain(title, 120), example

    def compose(self) -> ComposeResult:
        with Vertical(id="foot"):
            yield PaintedText(id="foot-title")
            yield Input(placeholder=self.example, max_length=self.MOST, compact=True, id="foot-input")
            yield PaintedText(id="foot-says")

    def on_mount(self) -> None:
        self.says().styles.height = self.ROOM
        self.query_one("#foot-title", PaintedText).show([self.foot_title(self.heading, LINE)])
        self._understand("")

    def says(self) -> PaintedText:
        """The lines under the input."""
        return self.query_one("#foot-says", PaintedText)

    def understood(self, text: str) -> list[Line]:
        """What the text means so far, as lines to show."""
        raise NotImplementedError

    def enter(self, text: str) -> list[Line] | None:
        """Write it: None when it is written, else the lines that say why not."""
        raise NotImplementedError

    def _understand(self, text: str) -> None:
        self.says().show(self.understood(text))

    def on_input_changed(self, event: Input.Changed) -> None:
        self._understand(event.value)

    def on_input_submitted(self) -> None:
        self.action_write()

    def action_write(self) -> None:
        refused = self.enter(self.query_one("#foot-input", Input).value)
        if refused is None:
            self.dismiss(None)
        else:
            self.says().show(refused)
