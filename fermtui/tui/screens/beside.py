"""Batches side by side: one page of text that scrolls."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import ModalScreen

from fermtui.tui.widgets.cells import Words


class Beside(ModalScreen[None]):
    """The text twin of `fermtui compare`, as a page."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q,c", "dismiss", "back"),
        Binding("j,down", "scroll(1)", "down"),
        Binding("k,up", "scroll(-1)", "up"),
    ]
    AUTO_FOCUS = "#beside"

    def __init__(self, text: list[str]) -> None:
        super().__init__()
        self.text = text

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="beside"):
            yield Words(
                [[("  " + line, "strong" if at == 0 else "ink")] for at, line in enumerate(self.text)], id="text"
            )
        yield Words([[(" Esc", "key"), (" back   ", "quiet"), ("j k", "key"), (" down and up", "quiet")]], id="keys")

    def on_mount(self) -> None:
        self.query_one("#text", Words).styles.height = len(self.text)

    def action_scroll(self, step: int) -> None:
        self.query_one("#beside", VerticalScroll).scroll_relative(y=step, animate=False)
