"""Putting a finished vessel away, and bringing it back: one rename, refused while something is left."""

from __future__ import annotations

from fermtui.cellar.loaded import LoadedVessel
from fermtui.cellar.store import CellarStore
from fermtui.daybook.archive import bring_back, move_to_past
from fermtui.daybook.files import NotWritten
from fermtui.daybook.places import past_names
from fermtui.replay.stage import bottles_left, nothing_left
from fermtui.units import Units, show_volume
from fermtui.wording.plain import plain
from fermtui.writing.entries import kept_vessel, unread_lines
from fermtui.writing.refused import Refused


def put_away(store: CellarStore, name: str, *, anyway: bool = False) -> str:
    """Move the folder to past/; its name there. Raises Refused, while the container still holds something, and while
    bottles are left or lines are damaged unless `anyway`: a vessel put away asks for nothing.
    """
    _may_go(kept_vessel(store, name), store.settings.units, anyway=anyway)
    try:
        return move_to_past(store.cellar, name)
    except NotWritten as fault:
        raise Refused(str(fault)) from None
    finally:
        store.renew(name)


def restore_from_past(store: CellarStore, name: str) -> str:
    """Move the folder back to vessels/; its name there. Raises Refused."""
    if name in store.names():
        raise Refused(f"{name} is at work already")
    if name not in past_names(store.cellar):
        raise Refused(f"there is no vessel {plain(name, 60)!r} among those put away")
    try:
        place = bring_back(store.cellar, name)
    except NotWritten as fault:
        store.load_missing()
        raise Refused(str(fault)) from None
    store.renew(place)
    return place


def _may_go(loaded: LoadedVessel, units: Units, *, anyway: bool) -> None:
    if unread_lines(loaded) and not anyway:
        raise Refused(
            f"{loaded.name} has lines that cannot be read, so what is left in it is not known: "
            f"`fermtui check {loaded.name}` names them; --anyway puts it away all the same"
        )
    facts = loaded.facts
    started = facts.mixed_at is not None or facts.pitched_at is not None or facts.parent is not None
    if started and not nothing_left(facts):
        litres = facts.left_l if facts.lots else facts.level_l
        there = f"{show_volume(litres, units)} are" if litres else "something is"
        raise Refused(
            f"{there} still in {loaded.name}: bottle it, or write down that it went: "
            f"`fermtui write {loaded.name} empty reason=...`"
        )
    left = bottles_left(facts)
    if left and not anyway:
        bottles = "1 bottle is" if left == 1 else f"{left} bottles are"
        raise Refused(
            f"{bottles} left of {loaded.name}, and a vessel put away asks for no tasting and no pressure check: "
            f"leave it at work until they are drunk, or write down those that went: "
            f"`fermtui write {loaded.name} open count={left} why=drunk`"
        )
