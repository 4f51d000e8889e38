"""One line to type into, at the foot of the screen. The reading line and the lines for reasons stand on it."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input

from fermtui.tui.widgets.cells import Line, PaintedText
from fermtui.wording.plain import plain

RULE, ASCII_RULE = "⠤", "-"


class LineScreen(ModalScreen[bool]):
    """Asks for one line. The typed text stays until it has been written or Escape is pressed.

    A subclass says what it understood (`understood`) and what Enter does (`enter`, true when it is written).
    """

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "leave")]
    MOST = 400
    ROOM = 2
    """lines for what was understood"""

    def __init__(self, title: str, example: str, *, ascii_only: bool) -> None:
        super().__init__()
        self.heading, self.example, self.rule = plain(title, 120), example, ASCII_RULE if ascii_only else RULE

    def compose(self) -> ComposeResult:
        with Vertical(id="foot"):
            yield PaintedText(id="foot-title")
            yield Input(placeholder=self.example, max_length=self.MOST, compact=True, id="foot-input")
            yield PaintedText(id="foot-says")

    def on_mount(self) -> None:
        self.says().styles.height = self.ROOM
        self.query_one("#foot-title", PaintedText).show([self._title()])
        self._understand("")

    def _title(self) -> Line:
        room = max(0, self.app.size.width - len(self.heading) - 38)
        return [
            (self.rule * 2 + " ", "accent"), (self.heading, "strong"), (" " + self.rule * room + " ", "accent"),
            ("Enter", "key"), (" writes it   ", "quiet"), ("Esc", "key"), (" leaves it", "quiet"),
        ]  # fmt: skip

    def says(self) -> PaintedText:
        """The lines under the input."""
        return self.query_one("#foot-says", PaintedText)

    def understood(self, text: str) -> list[Line]:
        """What the text means so far, as lines to show."""
        raise NotImplementedError

    def enter(self, text: str) -> bool | list[Line]:
        """Write it: True when it is written, else the lines that say why not."""
        raise NotImplementedError

    def _understand(self, text: str) -> None:
        self.says().show(self.understood(text))

    def on_input_changed(self, event: Input.Changed) -> None:
        self._understand(event.value)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        outcome = self.enter(event.value)
        if outcome is True:
            self.dismiss(True)  # noqa: FBT003
        elif outcome is not False:
            self.says().show(outcome)

    def action_leave(self) -> None:
        self.dismiss(False)  # noqa: FBT003
