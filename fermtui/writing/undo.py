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
from fermtui.daybook.strikes import Act, behind, last_live_key, live, undo_order
from fermtui.daybook.transfers import transfer_of
from fermtui.daybook.vessel_file import VesselFile, read_vessel
from fermtui.wording.findings import finding_text
from fermtui.wording.kinds import done_text
from fermtui.wording.plain import plain
from fermtui.writing.entries import Fields, WrittenEntry, append_entries, kept_vessel
from fermtui.writing.late_entries import restored
from fermtui.writing.refused import GUARD, Refused

NOTHING_TO_UNDO = "nothing has been written yet that could be taken back"
NOTHING_TO_REDO = "nothing was taken back last, so there is nothing to restore"


def undo(store: CellarStore, vessel: str | None = None, *, at: datetime) -> WrittenEntry:
    """Take back what was done last, in this vessel or in the cellar: a strike too, so that its entry stands again.

    Raises Refused.
    """
    act = last_act(store, vessel)
    if act is None:
        raise Refused(NOTHING_TO_UNDO)
    return strike(store, act.vessel, act.key, at=at, by="undo")


def redo(store: CellarStore, vessel: str | None = None, *, at: datetime) -> WrittenEntry:
    """Restore what undo took back last, or a strike that was the last act. Raises Refused when there is neither."""
    done, undone = _order(store, vessel)
    if undone:
        return strike(store, undone[-1].vessel, undone[-1].key, at=at, by="redo")
    if done and _takes_back(store, done[-1]):
        return strike(store, done[-1].vessel, done[-1].key, at=at)
    raise Refused(NOTHING_TO_REDO)


def _takes_back(store: CellarStore, act: Act) -> bool:
    """Whether that act is a strike, and what it is about does not stand."""
    file = read_vessel(store.cellar, act.vessel)
    by_key = {one.key: one for one in file.entries}
    about, strikes = behind(by_key[act.key], by_key)
    return strikes > 0 and about.key in file.struck


def last_act(store: CellarStore, vessel: str | None = None) -> Act | None:
    """What was done last and still stands, in this vessel or in the cellar."""
    done = _order(store, vessel)[0]
    return done[-1] if done else None


def _order(store: CellarStore, vessel: str | None) -> tuple[list[Act], list[Act]]:
    """What stands of undo_order, of one vessel or of all at work."""
    if vessel is not None:
        kept_vessel(store, vessel)
    files = [read_vessel(store.cellar, name) for name in (store.names() if vessel is None else (vessel,))]
    upto = store.upto
    done, undone = undo_order(
        (file.name, entry) for file in files for entry in file.entries if upto is None or entry.at <= upto
    )
    stands = {Act(file.name, entry.key) for file in files for entry in file.live}
    return [act for act in done if act in stands], [act for act in undone if act in stands]


def strike(
    store: CellarStore, vessel: str, entry: str | None, *, at: datetime, by: str | None = None
) -> WrittenEntry:
    """Strike the last entry, or that one, and what belongs to it elsewhere; `by` undo or redo. Raises Refused."""
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
    acts: list[tuple[str, str, datetime, Fields]] = [(vessel, "strike", at, {"entry": key, "by": by})]
    for other, other_key in _elsewhere(store, file, key, at):
        acts.append((other, "strike", at, {"entry": other_key, "by": by}))
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
    about, strikes = behind(target, {one.key: one for one in file.entries})
    if isinstance(about, Strike):
        return "the strike"
    at = about.at.astimezone(store.settings.zone)
    words = f"'{done_text(about.did, about.written, store.settings.units)}' of {at:%a} {at.day} {at:%b %H:%M}"
    return f"the strike, so it stands again: {words}" if strikes % 2 else words


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
