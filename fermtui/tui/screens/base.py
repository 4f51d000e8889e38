"""What screens have in common: how a page or form over another screen goes, and its first line."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult
from textual.screen import ModalScreen, Screen

from fermtui.tui.widgets.keyline import key_runs
from fermtui.tui.widgets.lines import Line
from fermtui.tui.widgets.painted_lines import PaintedText

if TYPE_CHECKING:
    from fermtui.tui.cellar_app import CellarApp

RULE, ASCII_RULE = "⠤", "-"


class Modal(ModalScreen[None]):
    """A page, a list or a form over another screen. It goes by `back` or `leave`; a subclass names its keys."""

    @property
    def fermtui(self) -> CellarApp:
        """The app, by its own type."""
        return cast("CellarApp", self.app)

    def action_back(self) -> None:
        self.dismiss(None)

    def action_leave(self) -> None:
        self.dismiss(None)

    def foot_title(self, heading: str, place: str) -> Line:
        """The line over a form at the foot of the window: its heading, a rule, its keys."""
        keys = key_runs(place, self.fermtui.changed_keys)
        rule = ASCII_RULE if self.fermtui.ascii_only else RULE
        room = max(0, self.app.size.width - len(heading) - sum(len(text) for text, _ in keys) - 7)
        return [(rule * 2 + " ", "accent"), (heading, "strong"), (" " + rule * room + " ", "accent"), *keys]


class TooSmall(Screen[None]):
    """Stands there while the window is too small; it goes by itself when the window grows."""

    def __init__(self, width: int, height: int) -> None:
        super().__init__(id="too-small")
        self.least = f"{width} x {height}"

    def compose(self) -> ComposeResult:
        yield PaintedText(id="small")

    def on_resize(self) -> None:
        quit_key = cast("CellarApp", self.app).key("quit")
        has = f"{self.app.size.width} x {self.app.size.height}"
        lines = [
            f"This window has {has} cells.",
            f"The cellar needs {self.least}.",
            f"Make it larger, or {quit_key} to quit.",
        ]
        self.query_one("#small", PaintedText).show([[(" " + line, "text")] for line in lines])


def head(heading: str, note: str) -> PaintedText:
    """The first line of a page."""
    return PaintedText([[(f"  {heading}", "strong"), (f"   {note}", "quiet")]], id="head")
