"""What was bottled and what was put away, read bit by bit: many years of it must not hold up a key. No Textual."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from fermtui.cellar.store import VesselView
from fermtui.daybook.kinds import Taste
from fermtui.daybook.places import PAST, past_names
from fermtui.daybook.vessel_file import VesselFile, read_vessel
from fermtui.replay.facts import Facts

if TYPE_CHECKING:
    from fermtui.cellar.loaded import LoadedVessel
    from fermtui.tui.session import Session


class Batches:
    """The bottled vessels at work and those put away. `renew` looks which there are, `read_on` reads them."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.away: frozenset[str] = frozenset()
        self.unread: list[str] = []
        self._kept: dict[str, LoadedVessel] = {}
        self._seen: dict[str, VesselView] = {}
        self._files: dict[str, VesselFile] = {}

    def renew(self) -> None:
        """Look again which vessels were put away; those that were read stay read."""
        store = self.session.store
        self.away = frozenset(past_names(store.cellar)) - set(store.names())
        for name in set(self._kept) - self.away:
            del self._kept[name]
            self._seen.pop(name, None)
            self._files.pop(name, None)
        self.unread = sorted(self.away - set(self._kept))

    def read_on(self, go_on: Callable[[], bool]) -> None:
        """Read those put away, one by one, as long as `go_on` says so."""
        while self.unread and go_on():
            name = self.unread.pop()
            self._kept[name] = self.session.store.keep_one(name, PAST)

    def names(self) -> list[str]:
        """Those that can be shown, what was bottled last on top."""
        facts = {one.vessel: one.facts for one in self.session.view.vessels if one.facts.lots}
        facts |= {name: loaded.facts for name, loaded in self._kept.items()}
        return sorted(facts, key=lambda name: (_when(facts[name]), name), reverse=True)

    def seen(self, name: str | None) -> VesselView | None:
        """One of them as it stands now."""
        if name is None or name not in self.away:
            return self.session.vessel(name)
        if name not in self._seen and name in self._kept:
            self._seen[name] = self.session.store.see(self._kept[name], self.session.view.now)
        return self._seen.get(name)

    def file(self, name: str) -> VesselFile:
        """Its daybook."""
        if name not in self.away:
            return self.session.file(name)
        if name not in self._files:
            self._files[name] = read_vessel(self.session.store.cellar, name, PAST)
        return self._files[name]

    def tastings(self, name: str) -> list[Taste]:
        """Its tastings, the oldest first."""
        return [entry for entry in self.file(name).live if isinstance(entry, Taste)]


def _when(facts: Facts) -> float:
    at = facts.lots[-1].at if facts.lots else facts.last_at
    return 0.0 if at is None else at.timestamp()
