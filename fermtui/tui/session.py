"""What the screens share: the cellar as last seen, the clock, and what was written in this session. No Textual."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING, NamedTuple

from fermtui.cellar.store import CellarStore, VesselView, View
from fermtui.daybook.append import missing_acknowledged
from fermtui.daybook.watch import Watch
from fermtui.wording.plain import plain
from fermtui.writing.entries import vessel_file

if TYPE_CHECKING:
    from fermtui.daybook.strikes import Act
    from fermtui.daybook.vessel_file import VesselFile
    from fermtui.forecast.forecast import BandRow

Clock = Callable[[], datetime]
NO_SUM = (ArithmeticError, ValueError, LookupError)
"""What sums over a person's readings can end in: a division by zero, an overflow, a root of less than nothing."""


class Move(NamedTuple):
    """A vessel that was started, put away or brought back in this session: undo takes that back too.

    `vessel` is its folder where it is now, `away` whether it was put away; `after` is what had been written last then.
    """

    vessel: str
    name: str
    away: bool
    after: Act | None = None


@dataclass(slots=True)
class Session:
    """One open cellar. `view` is what the screens show; `renew` makes it again."""

    store: CellarStore
    clock: Clock
    ascii_only: bool = False
    read_only: bool = False
    view: View = field(init=False)
    moved: list[Move] = field(default_factory=list)
    unmoved: list[Move] = field(default_factory=list)
    """what undo can take back and redo do again beside entries, the last one last"""
    lost: list[tuple[str, str]] = field(default_factory=list)
    """vessel and line of each entry of this session that someone else took out of its daybook"""
    _watch: Watch = field(init=False)
    _files: dict[str, tuple[str, VesselFile]] = field(default_factory=dict)
    _bands: dict[str, tuple[object, date, list[BandRow]]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._watch = Watch(self.store.cellar)
        self.store.load()
        self.view = self.store.at(self.clock())

    def renew(self) -> None:
        """The whole cellar at the clock of now: a new day moves every list on."""
        self.view = self.store.at(self.clock())

    def renew_some(self, names: Iterable[str]) -> None:
        """Read these vessels again and show them."""
        names = [*names]
        self.store.load(names)
        self.see_again(names)

    def see_again(self, names: Iterable[str]) -> None:
        """Show these vessels as they are remembered now, the others as they were: what a key press waits for."""
        names = [*names]
        now, loaded = self.clock(), self.store.vessels
        if now.date() != self.view.now.date() or any(self.view.vessel(name) is None for name in names):
            self.renew()
            return
        fresh = {name: self.store.see(loaded[name], now) for name in names if name in loaded}
        vessels = tuple(fresh.get(one.vessel, one) for one in self.view.vessels if one.vessel in loaded)
        self.view = self.view._replace(now=now, vessels=vessels)

    def learn(self) -> None:
        """Read what the finished vessels teach; where that fails, each forecast that leans on it says so itself."""
        with suppress(*NO_SUM):
            self.store.history()

    def make_forecast(self, name: str) -> None:
        """Make one forecast and show what hangs on it; where it fails the vessel stands there without, and says so."""
        try:
            self.store.make_forecasts([name])
            self._see(name)
        except NO_SUM as why:
            self._without(name, why)

    def _see(self, name: str) -> None:
        loaded = self.store.vessels.get(name)
        if loaded is None:
            return
        vessel = self.store.see(loaded, self.view.now)
        if vessel.forecast is not None:  # what every screen asks of it: a forecast that fails there is none
            _ = vessel.trouble_found, vessel.forecast.finish
            if (
                vessel.forecast.answers.at_hand
            ):  # one that was told before did not fail, and is not loaded for this alone
                _ = vessel.forecast.chances
        vessels = tuple(vessel if one.vessel == name else one for one in self.view.vessels)
        self.view = self.view._replace(vessels=vessels)

    def _without(self, name: str, why: Exception) -> None:
        """One vessel without its forecast until its daybook grows; the others keep theirs."""
        loaded = self.store.vessels.get(name)
        if loaded is None:
            return
        reason = f"no forecast: the sum of its readings failed ({plain(why, 80) or type(why).__name__})"
        without = loaded._replace(answers=None, answers_parts=None, forecast_ready=True, forecast_reason=reason)
        self.store.vessels[name] = without
        self._see(name)

    @property
    def forecasting(self) -> bool:
        """Whether forecasts are still being made."""
        return bool(self.store.without_forecast())

    def is_current(self) -> bool:
        """Whether the view is that of the files as they stand; `follow` still sees what is not in it."""
        return self._watch.is_current()

    def follow(self) -> bool:
        """Look whether someone else wrote; True when the view is another one now."""
        changes = self._watch.poll()
        if not changes:
            return False
        if changes.settings or changes.schedules or changes.past:
            self.store.reload_settings()
            self.renew()
        else:
            self.renew_some([*changes.changed, *changes.appeared, *changes.vanished])
        for name in changes.changed:
            self._miss(name)
        return True

    def _miss(self, name: str) -> None:
        """Notice what was written here and has gone: an editor saved a copy that it had opened before."""
        ours = self.store.acknowledged.get(name)
        if not ours or name not in self.store.vessels:
            return
        gone = missing_acknowledged(ours, (entry.key for entry in self.file(name).entries))
        for key in [key for key, line in ours.items() if line in gone]:
            self.lost.append((name, ours.pop(key)))  # said once: it may have been deleted on purpose

    def file(self, name: str) -> VesselFile:
        """The daybook of a vessel with its struck lines, read again only when the vessel changed."""
        loaded = self.store.vessels.get(name)
        held = self._files.get(name)
        if loaded is None or held is None or held[0] != loaded.key:
            held = (loaded.key if loaded else "", vessel_file(self.store, name))
            self._files[name] = held
        return held[1]

    def band(self, vessel: VesselView) -> list[BandRow]:
        """The band to draw, reckoned once for a forecast and a day: it takes as long as all else on the page."""
        if vessel.forecast is None:
            return []
        answers, today = vessel.forecast.answers, self.view.now.date()
        held = self._bands.get(vessel.vessel)
        if held is None or held[0] is not answers or held[1] != today:
            try:
                held = (answers, today, vessel.forecast.band())
            except NO_SUM as why:
                self._without(vessel.vessel, why)
                return []
            self._bands[vessel.vessel] = held
        return held[2]

    def vessel(self, name: str | None) -> VesselView | None:
        """A vessel of the view."""
        return None if name is None else self.view.vessel(name)
