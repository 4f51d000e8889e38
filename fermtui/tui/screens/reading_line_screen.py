"""The reading line: while typing it shows what was understood and what follows; Enter writes it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fermtui.reports.entry_text import reading_meaning, written_line
from fermtui.tui.screens.line import LineScreen
from fermtui.tui.widgets.lines import Line, wrapped
from fermtui.units import Units, Unreadable, show_degrees, show_number
from fermtui.wording.plain import plain
from fermtui.writing.entries import kept_vessel, write_entry
from fermtui.writing.reading_check import InterpretedReading, interpret
from fermtui.writing.refused import GUARD, Refused

if TYPE_CHECKING:
    from fermtui.cellar.loaded import LoadedVessel
    from fermtui.daybook.lines import Scalar
    from fermtui.tui.session import Session

def example(units: Units) -> str:
    """How a reading may be typed, bare numbers in the maker's units."""
    gravity, acid = show_degrees(1.042, units), show_number(3.4, 1, units)
    temp, other = ("70", "21C") if units.temp == "F" else ("21", "70F")
    before = show_degrees(1.050, units)
    return f"{gravity} {temp}    1042 @ {other}    8,4bx    pH {acid}    yesterday {before}"


CONFIRMED = "looked at twice"


class ReadingLine(LineScreen):
    """One reading for one vessel. `task` is the step that it answers, if it was opened by ticking one."""

    ROOM = 4

    def __init__(self, session: Session, vessel: str, name: str, task: str | None) -> None:
        super().__init__(f"reading, {plain(name, 30)}", example(session.view.settings.units))
        self.session, self.vessel, self.step = session, vessel, task
        self.asked_again = ""
        self._last: tuple[str, LoadedVessel, InterpretedReading] | None = None

    def understood(self, text: str) -> list[Line]:
        self.asked_again = ""
        if not text.strip():
            return [[("  a gravity, and the temperature it was read at; pH, Brix and a time too", "quiet")]]
        try:
            reading = self._understand_it(text)
        except (Unreadable, Refused) as why:
            return wrapped(str(why), "quiet", self.app.size.width)
        width = self.app.size.width
        lines = wrapped(reading_meaning(reading, self.session.view.settings.units), "accent", width, 2)
        return [*lines, *(wrapped(reading.doubt, "warn", width, 2) if reading.doubt else [])]

    def _understand_it(self, text: str) -> InterpretedReading:
        """What the text means; replayed again only for another text, or when the vessel was read again meanwhile."""
        session = self.session
        loaded = kept_vessel(session.store, self.vessel)
        if self._last is None or self._last[0] != text or self._last[1] is not loaded:
            self._last = text, loaded, interpret(session.store, loaded, text, session.clock())
        return self._last[2]

    def enter(self, text: str) -> list[Line] | None:
        width, store = self.app.size.width, self.session.store
        try:
            if not kept_vessel(store, self.vessel).forecast_ready:
                store.make_forecasts([self.vessel])  # what was to be expected is a part of the doubt
            reading = self._understand_it(text)
        except (Unreadable, Refused) as why:
            return wrapped(str(why), "warn", width)
        if reading.doubt and self.asked_again != text:
            self.asked_again = text
            again: Line = [(f"  {self.fermtui.key('write')} once more writes it all the same", "strong")]
            return [*wrapped(reading.doubt, "warn", width, 2), again]
        session = self.session
        fields: dict[str, Scalar | None] = {**reading.fields, "task": self.step}
        override = CONFIRMED if reading.doubt else None
        try:
            done = write_entry(
                session.store, self.vessel, "read", fields, at=reading.at, now=session.clock(), override=override
            )
        except Refused as why:
            return wrapped(str(why), "warn" if why.code == GUARD else "late", width)
        self.fermtui.was_written(done, written_line(done, session.view))
        return None
