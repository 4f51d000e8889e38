"""Check a back-dated or restored entry against the entries after it.

A guard sees only what comes before its entry. Two doses of sulfite, the second dated before the first, would both pass;
so would honey dated before a bottling, and a dose that was struck, given again and restored.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from fermtui.cellar.loaded import LoadedVessel, measures_of
from fermtui.daybook.kinds import before_it, in_order, kind_of
from fermtui.daybook.lines import entry_of_line
from fermtui.daybook.vessel_file import read_vessel
from fermtui.replay.replay import replay
from fermtui.schedule.guards import Finding, check
from fermtui.schedule.guards.case import against_later
from fermtui.schedule.guards.table import GUARDS

if TYPE_CHECKING:
    from fermtui.cellar.store import CellarStore
    from fermtui.daybook.entry import Entry


def written_late(store: CellarStore, loaded: LoadedVessel, did: str, line: str) -> list[Finding]:
    """Return what guards find against the later entries once this one is counted, in the order of those entries."""
    last_at = loaded.facts.last_at
    if not kind_of(did).brings or (store.upto is None and last_at is None):
        return []
    new = entry_of_line(line)
    if store.upto is None and last_at is not None and last_at < new.at:
        return []
    standing = read_vessel(store.cellar, loaded.name, loaded.place).live
    whole = in_order([*standing, new])
    return list(_questioned(store, loaded, standing, whole, but=new.key))


def restored(
    store: CellarStore, loaded: LoadedVessel, before: Sequence[Entry], after: Sequence[Entry]
) -> list[Finding]:
    """Return what guards find against the restored entries and those after them."""
    return list(_questioned(store, loaded, before, after, but=None))


def _questioned(
    store: CellarStore, loaded: LoadedVessel, before: Sequence[Entry], after: Sequence[Entry], *, but: str | None
) -> Iterator[Finding]:
    known = {entry.key for entry in before}
    whole = in_order(after)
    first = next((i for i, one in enumerate(whole) if one.key not in known and kind_of(one.did).brings), len(whole))
    for entry in whole[first:]:
        if entry.key == but or entry.did not in GUARDS or entry.override:
            continue
        now = _refusals(store, loaded, entry, after)
        old = {finding.key for finding in _refusals(store, loaded, entry, before)} if now and entry.key in known else ()
        for finding in now:
            if finding.key not in old:
                yield against_later(finding, entry.did, entry.at)


def _refusals(store: CellarStore, loaded: LoadedVessel, entry: Entry, among: Iterable[Entry]) -> list[Finding]:
    settings = store.settings
    facts = replay(loaded.head, before_it(among, entry), measures_of(settings))
    found = check(entry.did, entry.written, facts, loaded.head.plan, settings, entry.at, vessel=loaded.name)
    return [finding for finding in found if finding.kind == "refusal"]
