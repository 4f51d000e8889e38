"""A bottle is opened: which lot, and drunk, given away or burst. One key each."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen

from fermtui.replay.stage import bottles_left
from fermtui.reports.lots import lot_name
from fermtui.tui.widgets.cells import Line, PaintedText
from fermtui.tui.words import wrapped, written_words
from fermtui.wording.cautions import BURST
from fermtui.wording.plain import plain
from fermtui.writing import entries as acts

if TYPE_CHECKING:
    from fermtui.cellar.store import VesselView
    from fermtui.daybook.lines import Scalar
    from fermtui.replay.facts import Lot
    from fermtui.tui.act_commands import ActCommands


class OpenBottle(ModalScreen[bool]):
    """d drunk, g given, b burst; up and down choose the lot where there are several."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("d,enter", "opened('drunk')", "drunk"),
        Binding("g", "opened('given')", "given"),
        Binding("b", "opened('burst')", "burst"),
        Binding("down,j", "other(1)", "next lot"),
        Binding("up,k", "other(-1)", "lot before"),
        Binding("escape,q", "leave", "leave"),
    ]

    def __init__(self, commands: ActCommands, seen: VesselView) -> None:
        super().__init__()
        self.commands, self.seen, self.at = commands, seen, 0
        self.lots: list[Lot] = [lot for lot in seen.facts.lots if lot.bottles > lot.opened]

    def compose(self) -> ComposeResult:
        with Vertical(id="foot"):
            yield PaintedText(id="foot-title")
            yield PaintedText(id="foot-says")

    def on_mount(self) -> None:
        self._show()

    def _show(self) -> None:
        zone = self.commands.session.view.settings.zone
        keys: Line = [
            ("  d", "key"), (" drunk   ", "quiet"), ("g", "key"), (" given   ", "quiet"), ("b", "key"),
            (" burst   ", "quiet"), ("Esc", "key"), (" leaves it", "quiet"),
        ]  # fmt: skip
        lines: list[Line] = [[(f"  {plain(self.seen.name, 40)}: a bottle is opened", "strong")]]
        for at, lot in enumerate(self.lots):
            sign = "▸" if not self.commands.session.ascii_only else ">"
            here = f"{sign if at == self.at and len(self.lots) > 1 else ' '} "
            text = f"{lot_name(self.seen, lot, zone)}, {lot.size_ml:g} mL, {lot.bottles - lot.opened} left"
            lines.append([(here, "accent"), (text, "ink")])
        says = self.query_one("#foot-says", PaintedText)
        says.styles.height = len(lines)
        says.show([*lines[1:], keys])
        self.query_one("#foot-title", PaintedText).show(lines[:1])

    def action_other(self, step: int) -> None:
        self.at = (self.at + step) % len(self.lots)
        self._show()

    def action_opened(self, why: str) -> None:
        session, now = self.commands.session, self.commands.session.clock()
        lot = self.lots[self.at]
        fields: dict[str, Scalar | None] = {"count": 1, "size_ml": lot.size_ml, "why": why}
        try:
            done = acts.write(session.store, self.seen.vessel, "open", fields, at=now, now=now)
        except acts.Refused as refused:
            says = self.query_one("#foot-says", PaintedText)
            says.styles.height = 4
            says.show(wrapped(str(refused), "warn", self.app.size.width, 4))
            return
        self.dismiss(True)  # noqa: FBT003
        self.commands.was_written(done, written_words(done, session.view))
        if why == "burst":
            self.commands.app.say(BURST, "warn")
        elif (seen := session.vessel(self.seen.vessel)) is not None and not bottles_left(seen.facts):
            self.commands.app.say("that was the last one: v, then p, puts the vessel away (u takes this back)")

    def action_leave(self) -> None:
        self.dismiss(False)  # noqa: FBT003
