"""A bottle is opened: which lot, and drunk, given away or burst. One key each."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical

from fermtui.replay.stage import bottles_left
from fermtui.reports.entry_text import written_line
from fermtui.reports.lots import lot_name
from fermtui.tui.actions import BOTTLE, bindings
from fermtui.tui.screens.base import Modal
from fermtui.tui.widgets.keyline import key_runs
from fermtui.tui.widgets.lines import Line, wrapped
from fermtui.tui.widgets.painted_lines import PaintedText
from fermtui.wording.cautions import BURST
from fermtui.wording.plain import plain
from fermtui.writing import door
from fermtui.writing.refused import Refused

if TYPE_CHECKING:
    from fermtui.cellar.store import VesselView
    from fermtui.daybook.lines import Scalar
    from fermtui.replay.facts import Lot
    from fermtui.tui.session import Session


class OpenBottle(Modal):
    """Up and down choose the lot where there are several."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(BOTTLE)

    def __init__(self, session: Session, view: VesselView) -> None:
        super().__init__()
        self.session, self.view, self.at = session, view, 0
        self.lots: list[Lot] = [lot for lot in view.facts.lots if lot.bottles > lot.opened]

    def compose(self) -> ComposeResult:
        with Vertical(id="foot"):
            yield PaintedText(id="foot-title")
            yield PaintedText(id="foot-says")

    def on_mount(self) -> None:
        self._show()

    def _show(self) -> None:
        zone = self.session.view.settings.zone
        keys: Line = [("  ", "quiet"), *key_runs(BOTTLE, self.fermtui.changed_keys)]
        lines: list[Line] = [[(f"  {plain(self.view.name, 40)}: a bottle is opened", "strong")]]
        for at, lot in enumerate(self.lots):
            sign = "▸" if not self.session.ascii_only else ">"
            here = f"{sign if at == self.at and len(self.lots) > 1 else ' '} "
            text = f"{lot_name(self.view, lot, zone)}, {lot.size_ml:g} mL, {lot.bottles - lot.opened} left"
            lines.append([(here, "accent"), (text, "text")])
        says = self.query_one("#foot-says", PaintedText)
        says.styles.height = len(lines)
        says.show([*lines[1:], keys])
        self.query_one("#foot-title", PaintedText).show(lines[:1])

    def action_down(self) -> None:
        self._go(1)

    def action_up(self) -> None:
        self._go(-1)

    def _go(self, step: int) -> None:
        self.at = (self.at + step) % len(self.lots)
        self._show()

    def action_opened(self, why: str) -> None:
        session, now = self.session, self.session.clock()
        lot = self.lots[self.at]
        fields: dict[str, Scalar | None] = {"count": 1, "size_ml": lot.size_ml, "why": why}
        try:
            done = door.write(session.store, self.view.vessel, "open", fields, at=now, now=now)
        except Refused as refused:
            says = self.query_one("#foot-says", PaintedText)
            says.styles.height = 4
            says.show(wrapped(str(refused), "warn", self.app.size.width, 4))
            return
        self.dismiss(None)
        self.fermtui.was_written(done, written_line(done, session.view))
        if why == "burst":
            self.fermtui.say(BURST, "warn")
            return
        key = self.fermtui.key
        if (view := session.vessel(self.view.vessel)) is not None and not bottles_left(view.facts):
            self.fermtui.say(f"that was the last one: {key('past')}, then {key('put_away')}, puts the vessel away "
                                  f"({key('undo')} takes this back)")  # fmt: skip
