"""Taking an entry back, or giving it back by striking the strike. Of a pouring both halves go, or come, together."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from fermtui.cellar.loaded import LoadedVessel
from fermtui.cellar.store import CellarStore
from fermtui.daybook.entry import Entry
from fermtui.daybook.kinds import Read, Strike
from fermtui.daybook.lines import entry_of_line, line_of
from fermtui.daybook.places import past_names
from fermtui.daybook.strikes import last_live_key, live
from fermtui.daybook.transfers import transfer_of
from fermtui.daybook.vessel_file import VesselFile, read_vessel
from fermtui.wording.findings import finding_text
from fermtui.wording.kinds import done_text
from fermtui.wording.plain import plain
from fermtui.writing.entries import Fields, WrittenEntry, append_entries, kept_vessel
from fermtui.writing.late_entries import restored
from fermtui.writing.refused import GUARD, Refused


def strike(store: CellarStore, vessel: str, entry: str | None, *, at: datetime) -> WrittenEntry:
    """Strike the last entry, or that one, and what belongs to it elsewhere. Raises Refused."""
    loaded = kept_vessel(store, vessel)
    file = read_vessel(store.cellar, vessel)
    key = entry or last_live_key(one for one in file.live if store.upto is None or one.at <= store.upto)
    if key is None:
        raise Refused(f"{vessel} has no entry that could be taken back")
    target = next((one for one in file.entries if one.key == key), None)
    if target is None:
        raise Refused(f"{vessel} has no entry {plain(key, 80)!r}: `fermtui show {vessel}` lists them")
    if key in file.struck:
        words = _in_words(store, file, target)
        raise Refused(f"{vessel}: {words} has been taken back already; strike {file.struck[key]} to restore it")
    acts: list[tuple[str, str, datetime, Fields]] = [(vessel, "strike", at, {"entry": key})]
    for other, other_key in _elsewhere(store, file, key, at):
        acts.append((other, "strike", at, {"entry": other_key}))
    _refuse_unsafe_return(store, loaded, file, key, at)
    keys = append_entries(store, acts)
    also = tuple(name for name, *_ in acts[1:])
    took = _in_words(store, file, target)
    return WrittenEntry(vessel, keys[0], "strike", at, {"entry": key, "took": target.did}, also=also, took=took)


def strike_all_by(store: CellarStore, vessel: str, by: str, *, at: datetime) -> tuple[str, ...]:
    """Strike every reading that a sensor took in a vessel; the keys of the strikes. Raises Refused."""
    kept_vessel(store, vessel)
    file = read_vessel(store.cellar, vessel)
    own = [one.key for one in file.live if isinstance(one, Read) and one.by == by]
    if not own:
        others = ", ".join(dict.fromkeys(plain(one.by, 40) for one in file.live if isinstance(one, Read) and one.by))
        raise Refused(f"{vessel} has no reading by {plain(by, 40)!r}; there are some by: {others or 'no sensor'}")
    return tuple(append_entries(store, [(vessel, "strike", at, {"entry": key}) for key in own]))


def _refuse_unsafe_return(store: CellarStore, loaded: LoadedVessel, file: VesselFile, key: str, at: datetime) -> None:
    """Raise Refused where striking a strike would bring back what a guard now speaks against."""
    after, _, _ = live([*file.entries, _one_more(key, at)])
    findings = restored(store, loaded, file.live, after)
    if findings:
        texts = " ".join(finding_text(finding, store.settings.units) for finding in findings)
        raise Refused(f"{loaded.name}: {texts} Write it anew instead, with that reason.", GUARD, tuple(findings))


def _one_more(key: str, at: datetime) -> Entry:
    return entry_of_line(line_of("one-more", "strike", at, {"entry": key}))


def _in_words(store: CellarStore, file: VesselFile, target: Entry) -> str:
    """`'dosed 1.1 g DAP' of Wed 18 Mar 20:15`; of a strike, what stands again."""
    if isinstance(target, Strike):
        again = next((one for one in file.entries if one.key == target.entry), None)
        return "the strike" if again is None else f"the strike, so it stands again: {_in_words(store, file, again)}"
    at = target.at.astimezone(store.settings.zone)
    return f"'{done_text(target.did, target.written, store.settings.units)}' of {at:%a} {at.day} {at:%b %H:%M}"


def _elsewhere(store: CellarStore, file: VesselFile, key: str, at: datetime) -> Iterable[tuple[str, str]]:
    """What must be struck in other vessels, so that both halves of each pouring stand, or neither."""
    before = {one.key for one in file.live}
    after = {one.key for one in live([*file.entries, _one_more(key, at)])[0]}
    for one in file.entries:
        if (one.key in before) == (one.key in after) or (half := transfer_of(one)) is None:
            continue
        if half.other in past_names(store.cellar):
            raise Refused(f"its other half stands in {half.other}, which has been put away: bring that back first")
        other = read_vessel(store.cellar, half.other)
        twins = [e.key for e in other.entries if (twin := transfer_of(e)) is not None and half.fits(file.name, twin)]
        standing = [twin for twin in twins if twin not in other.struck]
        if one.key not in after:
            yield from ((half.other, twin) for twin in standing)
        elif twins and not standing:
            yield half.other, other.struck[twins[-1]]
