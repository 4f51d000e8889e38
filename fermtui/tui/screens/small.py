"""What stands there when the window is too small; it goes by itself when the window grows."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.screen import Screen

from fermtui.tui.widgets.painted_lines import PaintedText


class TooSmall(Screen[None]):
    """One clear sentence."""

    def __init__(self, width: int, height: int) -> None:
        super().__init__(id="too-small")
        self.least = f"{width} x {height}"

    def compose(self) -> ComposeResult:
        yield PaintedText(id="small")

    def on_resize(self) -> None:
        has = f"{self.app.size.width} x {self.app.size.height}"
        lines = [f"This window has {has} cells.", f"The cellar needs {self.least}.", "Make it larger, or q to quit."]
        self.query_one("#small", PaintedText).show([[(" " + line, "text")] for line in lines])
