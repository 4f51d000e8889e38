"""What every screen over another one has in common: how it goes, and its line of keys."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual.screen import ModalScreen

from fermtui.tui.widgets.keyline import key_runs
from fermtui.tui.widgets.lines import Line
from fermtui.tui.widgets.painted_lines import PaintedText

if TYPE_CHECKING:
    from fermtui.tui.app import Fermtui

RULE, ASCII_RULE = "⠤", "-"


class Modal(ModalScreen[None]):
    """A page, a list or a form over another screen. It goes by `back` or `leave`; a subclass names its keys."""

    @property
    def fermtui(self) -> Fermtui:
        """The app, by its own type."""
        return cast("Fermtui", self.app)

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


def head(heading: str, note: str) -> PaintedText:
    """The first line of a page."""
    return PaintedText([[(f"  {heading}", "strong"), (f"   {note}", "quiet")]], id="head")
