"""What stands there when there is no cellar yet: start one, or look at the demo."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from fermtui import clock
from fermtui.daybook.places import Cellar, create, open_cellar
from fermtui.daybook.settings import default_text
from fermtui.tui.actions import OFFER, bindings
from fermtui.tui.painted import Painted
from fermtui.tui.widgets.lines import Line, wrapped
from fermtui.tui.widgets.painted_lines import PaintedText
from fermtui.wording.plain import plain


class Offer(Painted[str]):
    """Gives `start`, `demo`, or nothing."""

    CSS_PATH = "styles/app.tcss"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = bindings(OFFER)

    def __init__(self, path: Path, why: str, theme: str | None) -> None:
        super().__init__()
        self.path, self.why = path, why
        self.dress(theme)

    def compose(self) -> ComposeResult:
        yield PaintedText(id="small")

    def on_resize(self) -> None:
        self.query_one("#small", PaintedText).show(offer_lines(self.path, self.why, self.size.width))

    async def action_back(self) -> None:
        self.exit(None)

    def action_choose(self, what: str) -> None:
        self.exit(what)


def offer_lines(path: Path, why: str, width: int) -> list[Line]:
    """The page."""
    sentence = plain(why, 300)
    return [
        [],
        *wrapped(sentence[:1].upper() + sentence[1:] + ".", "strong", width, 3),
        [],
        [("  s", "key"), ("   start an empty cellar there: one folder, plain text files", "text")],
        [("  d", "key"), ("   look at the demo: eight vessels over a year, in a folder of its own", "text")],
        [("  q", "key"), ("   leave", "text")],
        [],
        *wrapped(f"Another place: fermtui --cellar DIR, or FERMTUI_CELLAR. Nothing is written to {plain(path, 200)} "
                 "until you say so.", "quiet", width, 4),
    ]  # fmt: skip


def offered(path: Path, why: str, theme: str | None) -> tuple[Cellar, str] | None:
    """Ask, and do it: the cellar and what to call it in the head line, or None. Raises NotWritten."""
    choice = Offer(path, why, theme).run()
    if choice == "start":
        return create(path, default_text()), ""
    if choice != "demo":
        return None
    from fermtui.writing.sample import new_copy, sample_path, sample_zone  # only where there is no cellar yet

    today = clock.now(sample_zone(sample_path())).date()
    return open_cellar(new_copy(today)), "demo"
