"""What was bottled and what was put away: bottles left, drink-by, scores; tastings; batches side by side."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen

from fermtui.acts import vessel_file
from fermtui.daybook.cellar import PAST, past_names
from fermtui.daybook.records import Taste
from fermtui.putting import put_away, take_back
from fermtui.refused import Refused
from fermtui.reports.compare import batch_of, comparison
from fermtui.reports.lots import bottle_rows, bottles_left
from fermtui.reports.page import text_lines
from fermtui.tui.widgets.cells import Line, Words, fit
from fermtui.tui.widgets.listing import Listing
from fermtui.tui.widgets.rows import Item, Rows
from fermtui.tui.words import wrapped
from fermtui.units import show_number
from fermtui.view import VesselView
from fermtui.wording.plain import plain

if TYPE_CHECKING:
    from fermtui.tui.doing import Doing

LETTERS = "ABCDEFGH"


class PastScreen(ModalScreen[None]):
    """Bottled vessels first, then those put away, the newest on top."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q", "back", "back"),
        Binding("o", "open_bottle", "open a bottle"),
        Binding("t", "taste", "taste"),
        Binding("m,space", "mark", "mark"),
        Binding("c", "compare", "side by side"),
        Binding("p", "put", "put away, bring back"),
        Binding("u", "undo", "undo"),
    ]
    AUTO_FOCUS = "#lots"

    def __init__(self, doing: Doing) -> None:
        super().__init__()
        self.doing = doing
        self.seen: dict[str, VesselView] = {}
        self.away: frozenset[str] = frozenset()
        self.marked: list[str] = []
        self.moved: tuple[str, bool] | None = None

    def compose(self) -> ComposeResult:
        yield Words([[("  bottles and past", "strong"), ("   what was bottled, and what was put away", "quiet")]],
                    id="head")  # fmt: skip
        yield Rows("vessel", ascii_only=self.doing.house.ascii_only, id="lots")
        yield Words(id="lot")
        yield Words(id="message")
        yield Words(id="keys")

    def on_mount(self) -> None:
        keys = {"o": "open", "t": "taste", "m": "mark", "c": "side by side", "p": "put away or back", "u": "undo"}
        line: Line = [run for key, says in keys.items() for run in ((f" {key}", "key"), (f" {says} ", "quiet"))]
        self.query_one("#keys", Words).show([[*line, (" Esc", "key"), (" back", "quiet")]])
        self.draw()

    def draw(self) -> None:
        """Read what was bottled and put away as it stands now."""
        house = self.doing.house
        self.seen = {one.vessel: one for one in house.view.vessels if one.facts.lots}
        self.away = frozenset(past_names(house.watched.cellar)) - set(house.watched.names())
        for name in self.away:
            self.seen[name] = house.watched.see(house.watched.keep_one(name, PAST), house.view.now)
        ordered = sorted(self.seen.values(), key=_when, reverse=True)
        self.query_one("#lots", Rows).show(tuple(Item(one.vessel, self._row(one)) for one in ordered))
        self._detail()

    def _row(self, one: VesselView) -> Line:
        units = self.doing.house.view.settings.units
        strength = "" if one.abv_percent is None else f"{show_number(one.abv_percent, 1, units)} %"
        left = bottles_left(one.facts)
        place = "put away" if one.vessel in self.away else f"{left} left"
        mark = f"{LETTERS[self.marked.index(one.vessel)]} " if one.vessel in self.marked else "  "
        scores = ", ".join(f"{score:g}" for score in self._scores(one)[-3:])
        return [
            (mark, "accent"), (fit(plain(one.name, 40), 22), "ink"), (fit(strength, 8), "quiet"),
            (fit(place, 12), "quiet" if one.vessel in self.away or not left else "ink"),
            (f"scored {scores} of 20" if scores else "", "quiet"),
        ]  # fmt: skip

    def _scores(self, one: VesselView) -> list[float]:
        file = vessel_file(self.doing.house.watched, one.vessel)
        return [entry.score for entry in file.live if isinstance(entry, Taste) and entry.score is not None]

    def _chosen(self) -> VesselView | None:
        return self.seen.get(self.query_one("#lots", Rows).chosen or "")

    def _detail(self) -> None:
        one, settings = self._chosen(), self.doing.house.view.settings
        if one is None:
            self.query_one("#lot", Words).show([[("  nothing has been bottled yet", "quiet")]])
            return
        lines: list[Line] = []
        for lot, says in bottle_rows(one, settings):
            role = "warn" if "BURST" in says else "ink"
            lines += wrapped(f"{lot}: {says}", role, self.app.size.width, 3)
        file = vessel_file(self.doing.house.watched, one.vessel)
        for entry in [entry for entry in file.live if isinstance(entry, Taste)][-3:]:
            said = ", ".join(part for part in (entry.look, entry.smell, entry.taste, entry.text) if part)
            day = f"{entry.at.astimezone(settings.zone):%d %b %Y}"
            lines += wrapped(f"{day}  {plain(said, 200)}", "quiet", self.app.size.width, 2)
        self.query_one("#lot", Words).show(lines)

    def on_listing_moved(self, event: Listing.Moved) -> None:
        event.stop()
        self._detail()

    def on_listing_opened(self, event: Listing.Opened) -> None:
        event.stop()
        one = self._chosen()
        if one is not None and one.vessel not in self.away:
            self.doing.app.open_vessel(one.vessel)

    def _at_work(self, what: str) -> str | None:
        one = self._chosen()
        if one is None:
            return None
        if one.vessel in self.away:
            self.doing.app.say(f"{plain(one.name, 40)} has been put away: p brings it back, then {what}", "warn")
            return None
        return one.vessel

    def action_open_bottle(self) -> None:
        vessel = self._at_work("open a bottle")
        if vessel:
            self.doing.open_bottle(vessel)

    def action_taste(self) -> None:
        vessel = self._at_work("taste")
        if vessel:
            self.doing.form(vessel, "taste")

    def action_mark(self) -> None:
        one = self._chosen()
        if one is None:
            return
        if one.vessel in self.marked:
            self.marked.remove(one.vessel)
        elif len(self.marked) < len(LETTERS):
            self.marked.append(one.vessel)
        self.draw()

    def action_compare(self) -> None:
        if len(self.marked) < 2:
            self.doing.app.say("mark two vessels or more with m, then c puts them side by side", "warn")
            return
        from fermtui.tui.screens.beside import Beside

        house = self.doing.house
        zone = house.view.settings.zone
        batches = [
            batch_of(letter, self.seen[name], vessel_file(house.watched, name), zone)
            for letter, name in zip(LETTERS, self.marked, strict=False)
            if name in self.seen
        ]
        self.app.push_screen(Beside(text_lines(f"{len(batches)} batches", comparison(batches, house.view.settings))))

    def action_put(self) -> None:
        one = self._chosen()
        if one is None:
            return
        house = self.doing.house
        back = one.vessel in self.away
        try:
            place = take_back(house.watched, one.vessel) if back else put_away(house.watched, one.vessel)
        except Refused as why:
            self.doing.app.say(str(why).replace("--anyway", "`fermtui put-away --anyway`"), "warn")
            return
        self.moved = (place, back)
        house.renew()
        self.draw()
        self.doing.app.say(f"{plain(one.name, 40)} {'brought back' if back else 'put away'}   (u takes it back)")

    def action_undo(self) -> None:
        if self.moved is None:
            self.doing.undo()
            self.draw()
            return
        (name, back), self.moved = self.moved, None
        house = self.doing.house
        try:
            if back:
                put_away(house.watched, name, anyway=True)
            else:
                take_back(house.watched, name)
        except Refused as why:
            self.doing.app.say(str(why), "warn")
            return
        house.renew()
        self.draw()
        self.doing.app.say(f"taken back: {name} {'put away again' if back else 'stands at work again'}")

    def on_screen_resume(self) -> None:
        self.draw()

    def action_back(self) -> None:
        self.dismiss(None)


def _when(one: VesselView) -> tuple[float, str]:
    at = one.facts.lots[-1].at if one.facts.lots else one.facts.last_at
    return (at.timestamp() if at is not None else 0.0, one.vessel)
