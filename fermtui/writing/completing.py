"""The half of a pouring that is missing: lost in a crash, in a merge, or in an editor. It is written from the other."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from fermtui.cellar.store import CellarStore
from fermtui.daybook.entry import Entry
from fermtui.daybook.kinds import Receive, Split, order
from fermtui.daybook.lines import line_of, new_key
from fermtui.daybook.transfers import transfer_of
from fermtui.daybook.vessel_file import VesselFile, read_vessel
from fermtui.must.composition import Must
from fermtui.wording.plain import plain
from fermtui.writing.entries import Fields, WrittenEntry, append_lines, kept_vessel, prepare, refuse_unless_overridden
from fermtui.writing.refused import Refused
from fermtui.writing.transfers import may_take, receiving, start_child


def complete(
    store: CellarStore, vessel: str, did: str, fields: Fields, *, now: datetime, override: str | None
) -> WrittenEntry:
    """Write the missing `receive` or `split` of an entry that stands in the other vessel. Raises Refused."""
    source = "from" if did == "receive" else "into"
    strange = sorted(set(fields) - {source, "entry"})
    if strange:
        raise Refused(f"{did} with entry= takes its amounts from that entry: leave {', '.join(strange)} out")
    other, key = str(fields.get(source) or ""), str(fields["entry"])
    if not other:
        raise Refused(f"{did} with entry= needs {source}=, the vessel in which that entry stands")
    kept_vessel(store, other)
    file = read_vessel(store.cellar, other)
    found = next((one for one in file.live if one.key == key), None)
    half = None if found is None else transfer_of(found)
    gives = did == "split"
    if found is None or half is None or half.other != vessel or isinstance(found, Split) is gives:
        raise Refused(f"{other} has no entry {plain(key, 80)!r} whose other half belongs into {plain(vessel, 60)}")
    there = read_vessel(store.cellar, vessel) if vessel in store.names() else None
    if there is not None and any((h := transfer_of(one)) and half.fits(other, h) for one in there.live):
        raise Refused(f"entry {key} of {other} has its other half in {vessel} already")
    own_key = _own_key(store, there, half.other_key)
    if gives:
        return _leaving(store, vessel, other, found, own_key, now=now)
    return _arriving(store, vessel, other, found, own_key, now=now, override=override)


def _own_key(store: CellarStore, there: VesselFile | None, named: str | None) -> str:
    """The key by which the other half knows this one, unless that line exists and was taken back."""
    taken = [one.key for one in there.entries] if there is not None else []
    return named if named is not None and named not in taken else new_key(store.stamp(), taken)


def _leaving(store: CellarStore, vessel: str, other: str, found: Entry, key: str, *, now: datetime) -> WrittenEntry:
    litres = getattr(found, "volume_l", None)
    if litres is None and isinstance(found, Receive):
        litres = Must(found.water_g or 0.0, found.sugar_g or 0.0, found.ethanol_g or 0.0).volume_l
    fields: dict[str, Any] = {"into": other, "volume_l": round(litres or 0.0, 3), "entry": found.key}
    ready = prepare(store, vessel, "split", fields, at=found.at, now=now)
    append_lines(store, [(vessel, line_of(key, "split", found.at, ready.fields))])
    return WrittenEntry(vessel, key, "split", found.at, ready.fields, ready.findings, ready.cautions)


def _arriving(
    store: CellarStore, vessel: str, other: str, found: Entry, key: str, *, now: datetime, override: str | None
) -> WrittenEntry:
    parent = kept_vessel(store, other)
    # As it stood just before that split, whatever was written since.
    facts = store.facts_where(parent, lambda one: order(one) < order(found))
    litres = float(getattr(found, "volume_l", None) or 0.0)
    standing = may_take(store, vessel)
    begins = not standing or kept_vessel(store, vessel).head.parent == other
    fields = receiving(parent, facts, litres, found.at, found.key, begins=begins)
    if standing:
        ready = prepare(store, vessel, "receive", fields, at=found.at, now=now, override=override)
        refuse_unless_overridden(store, ready, override)
        fields = dict(ready.fields)
    else:
        start_child(store, vessel, parent, facts, litres, found.at)
    append_lines(store, [(vessel, line_of(key, "receive", found.at, fields))])
    return WrittenEntry(vessel, key, "receive", found.at, fields)
