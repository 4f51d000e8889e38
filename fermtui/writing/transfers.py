"""Entries that touch two vessels: a split, and topping up from another vessel. The giving half is written first.

A half that is missing, lost in a crash, a merge or an editor, is written from the other one.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

from fermtui.cellar.loaded import LoadedVessel
from fermtui.cellar.store import CellarStore
from fermtui.daybook.entry import Entry
from fermtui.daybook.fields import NAME
from fermtui.daybook.head import NOTHING, Head, head_table
from fermtui.daybook.kinds import Receive, Split, before_it
from fermtui.daybook.lines import line_of, new_key
from fermtui.daybook.new_vessel import start_vessel
from fermtui.daybook.places import past_names
from fermtui.daybook.transfers import transfer_of
from fermtui.daybook.vessel_file import VesselFile, read_vessel
from fermtui.must.composition import Must, take_volume
from fermtui.must.limits import OutOfRange
from fermtui.replay.contents import must_at
from fermtui.replay.facts import Facts
from fermtui.schedule.doses import totals_g
from fermtui.wording.plain import plain
from fermtui.writing.entries import (
    Fields,
    WrittenEntry,
    append_lines,
    kept_vessel,
    on_the_disk,
    prepare,
    refuse_unless_overridden,
)
from fermtui.writing.refused import Refused


def poured(vessel: str, facts: Facts, volume_l: float, at: datetime) -> Must:
    """What so many litres of a vessel held at that moment; `facts` as of then. Raises Refused."""
    must = must_at(facts, at)
    if must is None or not facts.volume_known:
        raise Refused(f"what stands in {vessel} is not known: write its mix or level first")
    try:
        return take_volume(must, volume_l)[0]
    except OutOfRange as more:
        raise Refused(f"{vessel}: {more}") from None


def split(
    store: CellarStore, vessel: str, fields: Fields, *, at: datetime, now: datetime, override: str | None
) -> WrittenEntry:
    """Pour a part of a vessel into a new one, or into another one that stands there. Raises Refused."""
    into = str(fields.get("into") or "")
    litres = _litres(fields)
    standing = _may_take(store, into)
    ready = prepare(store, vessel, "split", {**fields, "into": into}, at=at, now=now, override=override)
    gives, takes = _two_keys(store, vessel, into)
    begins = not standing or _stands_empty(kept_vessel(store, into).facts)
    receive = _receiving(kept_vessel(store, vessel), ready.facts, litres, at, gives, begins=begins)
    if standing:
        other = prepare(store, into, "receive", receive, at=at, now=now, override=override)
        refuse_unless_overridden(store, other, override)
    refuse_unless_overridden(store, ready, override)
    given = {**ready.fields, "entry": takes}
    leaving = (vessel, line_of(gives, "split", at, given))
    arriving = (into, line_of(takes, "receive", at, receive))
    if standing:
        append_lines(store, [leaving, arriving])
    else:
        _start_child(store, arriving, kept_vessel(store, vessel), ready.facts, litres, at, leaving)
    return WrittenEntry(vessel, gives, "split", at, given, ready.findings, ready.cautions, (into,))


def _may_take(store: CellarStore, into: str) -> bool:
    """Whether a vessel of that name stands at work; False when one can be started. Raises Refused."""
    if not NAME.match(into):
        raise Refused("split needs into=, the folder name of the vessel that it goes into (letters, digits, hyphens)")
    names = store.names()
    if into not in names:
        taken = next((name for name in (*names, *past_names(store.cellar)) if name.lower() == into.lower()), None)
        if taken in names:
            raise Refused(f"there is a vessel {taken}: write its name just so, or give the new one another name")
        if taken is not None:
            raise Refused(f"a vessel {plain(taken, 60)} has been put away already: give the new one another name")
    return into in names


def _stands_empty(facts: Facts) -> bool:
    """Whether it is known from its plan alone: then what is poured in is where the vessel begins."""
    return facts.pitched_at is None and facts.mixed_at is None and facts.sg_from in ("", "plan")


def _receiving(
    parent: LoadedVessel, facts: Facts, litres: float, at: datetime, gives: str, *, begins: bool
) -> dict[str, Any]:
    """The fields of the half that takes; `facts` of the parent as they stood before. Raises Refused."""
    taken = poured(parent.name, facts, litres, at)
    whole_l = max(litres, _whole(facts, at).volume_l)
    fields: dict[str, Any] = {
        "from": parent.name, "entry": gives, "volume_l": round(litres, 3), "water_g": round(taken.water_g, 1),
        "sugar_g": round(taken.sugar_g, 1), "ethanol_g": round(taken.ethanol_g, 1),
    }  # fmt: skip
    along = {name: getattr(facts, name) * litres / whole_l for name in ("dap_g", "autolysate_g", "complex_g")}
    if begins:
        fields["pitched"] = facts.pitched_at
        # Sulfite from before the yeast is spent, and must not count as stabilising here.
        since = [dose for dose in facts.sulfite if facts.pitched_at is not None and dose.at > facts.pitched_at]
        along["so2_mg"] = litres * sum(dose.so2_mg_per_l for dose in since)
        along["sorbate_mg"] = litres * facts.sorbate_mg_per_l
        along["sweetened_g"] = facts.sweetened_g * litres / whole_l
    return {**fields, **{name: round(value, 2) for name, value in along.items() if value >= 0.005}}


def _whole(facts: Facts, at: datetime) -> Must:
    must = must_at(facts, at)
    return Must() if must is None else must


def _start_child(
    store: CellarStore, arriving: tuple[str, str], parent: LoadedVessel, facts: Facts, volume_l: float, at: datetime,
    leaving: tuple[str, str] | None = None,
) -> None:  # fmt: skip
    """Start the vessel that takes a part, with its part of the plan and the line that says so; `leaving` is the line of
    the parent, where it has none yet. `facts` of the parent before. Raises Refused.
    """
    into, line = arriving
    share = volume_l / max(volume_l, _whole(facts, at).volume_l)
    total = totals_g(facts, parent.head.plan, store.settings.nutrients)
    doses = {name: round(grams * share, 2) for name, grams in total.items() if grams * share >= 0.005}
    plan = parent.head.plan._replace(volume_l=round(volume_l, 3), doses=doses or None, extra=NOTHING)
    old = parent.head
    head = Head(into, parent=parent.name, schedule=old.schedule, style=old.style, plan=plan)
    with on_the_disk(store, [leaving, arriving] if leaving else [arriving]):
        start_vessel(store.cellar, into, head_table(head), line, leaving)


def top_up_from(
    store: CellarStore, vessel: str, fields: Fields, *, at: datetime, now: datetime, override: str | None
) -> WrittenEntry:
    """Top up from another vessel: its gravity and strength are those of the mead that is poured. Raises Refused."""
    source = str(fields.get("from") or "")
    litres = _litres(fields)
    if source == vessel:
        raise Refused(f"{vessel} cannot be topped up from itself: name another vessel in from=")
    gives, takes = _two_keys(store, source, vessel)
    leaving: dict[str, Any] = {"into": vessel, "volume_l": round(litres, 3), "entry": takes}
    gone = prepare(store, source, "split", leaving, at=at, now=now)
    taken = poured(source, gone.facts, litres, at)
    given = {**fields, "sg": round(taken.sg, 4), "abv_percent": round(taken.abv_percent, 2)}
    ready = prepare(store, vessel, "top_up", given, at=at, now=now, override=override)
    refuse_unless_overridden(store, ready, override)
    filled = {**ready.fields, "entry": gives}
    append_lines(
        store, [(source, line_of(gives, "split", at, leaving)), (vessel, line_of(takes, "top_up", at, filled))]
    )
    return WrittenEntry(vessel, takes, "top_up", at, filled, ready.findings, ready.cautions, (source,))


def _litres(fields: Fields) -> float:
    value = fields.get("volume_l")
    if value is None or isinstance(value, str):
        raise Refused("say how much is poured, as in 4.5 L", typed="say how much is poured, as in volume_l=4.5")
    return float(value)  # type: ignore[arg-type]  # a date is refused by the check of the fields


def _two_keys(store: CellarStore, first: str, second: str) -> tuple[str, str]:
    taken = [act.key for name in (first, second) if (loaded := store.vessels.get(name)) for act in loaded.facts.acts]
    one = new_key(store.stamp(), taken)
    return one, new_key(store.stamp(), [*taken, one])


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
    facts = store.facts_where(parent, lambda standing: before_it(standing, found))
    litres = float(getattr(found, "volume_l", None) or 0.0)
    standing = _may_take(store, vessel)
    begins = not standing or kept_vessel(store, vessel).head.parent == other
    fields = _receiving(parent, facts, litres, found.at, found.key, begins=begins)
    if standing:
        ready = prepare(store, vessel, "receive", fields, at=found.at, now=now, override=override)
        refuse_unless_overridden(store, ready, override)
        fields = dict(ready.fields)
    arriving = (vessel, line_of(key, "receive", found.at, fields))
    if standing:
        append_lines(store, [arriving])
    else:
        _start_child(store, arriving, parent, facts, litres, found.at)
    return WrittenEntry(vessel, key, "receive", found.at, fields)
