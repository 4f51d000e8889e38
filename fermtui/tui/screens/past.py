"""What was bottled and what was put away: bottles left, drink-by, scores; tastings; batches side by side."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from time import monotonic
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from fermtui.cellar.store import VesselView
from fermtui.replay.stage import bottles_left
from fermtui.reports.compare import batch_of, comparison
from fermtui.reports.curves import LETTERS
from fermtui.reports.document import text_lines
from fermtui.reports.lots import bottle_rows
from fermtui.tui.actions import PAST, bindings
from fermtui.tui.batches import Batches
from fermtui.tui.screens.base import Modal, head
from fermtui.tui.screens.text_page import TextPage
from fermtui.tui.widgets.keyline import KeyLine
from fermtui.tui.widgets.lines import Line, fit, wrapped
from fermtui.tui.widgets.listing import Listing
from fermtui.tui.widgets.painted_lines import PaintedText
from fermtui.tui.widgets.rows import ListItem, Rows
from fermtui.units import show_number
from fermtui.wording.fields import as_written
from fermtui.wording.plain import plain

if TYPE_CHECKING:
    from fermtui.tui.act_commands import ActCommands

MOMENT_S = 0.04


class Lots(Rows):
    """Rows that are put together when they come into the window: a line may need a daybook read."""

    def __init__(self, row: Callable[[str], Line], *, ascii_only: bool, id: str) -> None:  # noqa: A002
        super().__init__("vessel", ascii_only=ascii_only, id=id)
        self.row = row

    def runs_of(self, index: int) -> Line:
        return self.row(self.items[index].key)


class PastScreen(Modal):
    """What was bottled last stands on top, at work and put away alike."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(PAST)
    AUTO_FOCUS = "#lots"

    def __init__(self, commands: ActCommands) -> None:
        super().__init__()
        self.commands = commands
        self.batches = Batches(commands.session)
        self.marked: list[str] = []

    def compose(self) -> ComposeResult:
        yield head("bottles and past", "what was bottled, and what was put away")
        yield Lots(self._row, ascii_only=self.commands.session.ascii_only, id="lots")
        yield PaintedText(id="lot")
        yield PaintedText(id="message")
        yield KeyLine(PAST, id="keys")

    def on_mount(self) -> None:
        self.draw()

    def draw(self) -> None:
        """Show what was bottled and put away as it stands now; what takes long to read follows."""
        self.batches.renew()
        self.batches.read_on(_for_a_moment())
        self._list()
        if self.batches.unread:
            self.run_worker(self._read_on(), exclusive=True)

    async def _read_on(self) -> None:
        while self.batches.unread:
            self.batches.read_on(_for_a_moment())
            self._list()
            await asyncio.sleep(0.002)
        await asyncio.to_thread(self.commands.session.store.save)

    def _list(self) -> None:
        lots = self.query_one("#lots", Lots)
        lots.show(tuple(ListItem(name, ()) for name in self.batches.names()))
        lots.repaint()
        self._detail()

    def _row(self, name: str) -> Line:
        one, units = self.batches.seen(name), self.commands.session.view.settings.units
        if one is None:
            return [(name, "quiet")]
        strength = "" if one.abv_percent is None else f"{show_number(one.abv_percent, 1, units)} %"
        left, away = bottles_left(one.facts), name in self.batches.away
        mark = f"{LETTERS[self.marked.index(name)]} " if name in self.marked else "  "
        tasted = self.batches.tastings(name)[-3:]
        scores = ", ".join(as_written(taste.score, units) for taste in tasted if taste.score is not None)
        return [
            (mark, "accent"), (fit(plain(one.name, 40), 22), "text"), (fit(strength, 8), "quiet"),
            (fit("put away" if away else f"{left} left", 12), "quiet" if away or not left else "text"),
            (f"scored {scores} of 20" if scores else "", "quiet"),
        ]  # fmt: skip

    def _chosen(self) -> VesselView | None:
        return self.batches.seen(self.query_one("#lots", Lots).chosen)

    def _detail(self) -> None:
        one, settings = self._chosen(), self.commands.session.view.settings
        if one is None:
            self.query_one("#lot", PaintedText).show([[("  nothing has been bottled yet", "quiet")]])
            return
        lines: list[Line] = []
        for lot, says in bottle_rows(one, settings):
            role = "warn" if "BURST" in says else "text"
            lines += wrapped(f"{lot}: {says}", role, self.app.size.width, 3)
        for entry in self.batches.tastings(one.vessel)[-3:]:
            said = ", ".join(part for part in (entry.look, entry.smell, entry.taste, entry.text) if part)
            day = f"{entry.at.astimezone(settings.zone):%d %b %Y}"
            score = "" if entry.score is None else f", {as_written(entry.score, settings.units)} of 20"
            lines += wrapped(f"{day}{score}: {plain(said, 200)}", "quiet", self.app.size.width, 2)
        self.query_one("#lot", PaintedText).show(lines)

    def on_listing_moved(self, event: Listing.Moved) -> None:
        event.stop()
        self._detail()

    def on_listing_opened(self, event: Listing.Opened) -> None:
        event.stop()
        vessel = self._at_work("open it")
        if vessel:
            self.fermtui.open_vessel(vessel)

    def _pointed_at(self) -> VesselView | None:
        """What the cursor is on; else it is said why nothing happens."""
        one = self._chosen()
        if one is None:
            self.fermtui.say("nothing has been bottled yet, and nothing put away", "warn")
        return one

    def _at_work(self, what: str) -> str | None:
        one = self._pointed_at()
        if one is None:
            return None
        if one.vessel in self.batches.away:
            key = self.fermtui.key("put_away")
            self.fermtui.say(f"{plain(one.name, 40)} has been put away: {key} brings it back, then {what}", "warn")
            return None
        return one.vessel

    def action_bottle(self) -> None:
        vessel = self._at_work("open a bottle")
        if vessel:
            self.commands.open_bottle(vessel)

    def action_taste(self) -> None:
        vessel = self._at_work("taste")
        if vessel:
            self.commands.form(vessel, "taste")

    def action_mark(self) -> None:
        one = self._pointed_at()
        if one is None:
            return
        if one.vessel in self.marked:
            self.marked.remove(one.vessel)
        elif len(self.marked) < len(LETTERS):
            self.marked.append(one.vessel)
        else:
            key = self.fermtui.key("mark")
            self.fermtui.say(f"no more than that fit side by side; {key} on a marked one takes its mark off", "warn")
        self.draw()

    def action_compare(self) -> None:
        if len(self.marked) < 2:
            key, more = self.fermtui.key, "another" if self.marked else "a vessel, and another"
            self.fermtui.say(f"{key('mark')} marks {more}; then {key('compare')} puts them side by side", "warn")
            return
        session = self.commands.session
        zone = session.view.settings.zone
        batches = [
            batch_of(letter, one, self.batches.file(name), zone)
            for letter, name in zip(LETTERS, self.marked, strict=False)
            if (one := self.batches.seen(name)) is not None
        ]
        text = text_lines("", comparison(batches, session.view.settings))[3:]  # the page has its own title
        lines: list[Line] = [[("  " + row, "text" if row.startswith(" ") else "title")] for row in text]
        names = ", ".join(plain(batch.name, 24) for batch in batches)
        self.app.push_screen(TextPage("side by side", names, lambda _: lines))

    def action_put_away(self) -> None:
        one = self._pointed_at()
        if one is None:
            return
        if one.vessel in self.batches.away:
            self.commands.bring_back(one.vessel, one.name)
        else:
            self.commands.put_away(one.vessel)
        self.draw()

    def action_undo(self) -> None:
        self.commands.undo()
        self.draw()

    def on_screen_resume(self) -> None:
        self.draw()


def _for_a_moment() -> Callable[[], bool]:
    """True for so long that a key pressed meanwhile does not seem lost."""
    until = monotonic() + MOMENT_S
    return lambda: monotonic() < until
