"""One vessel that a command names, at work or put away, with its forecast."""

from __future__ import annotations

from datetime import datetime

from fermtui.cellar.loaded import LoadedVessel
from fermtui.cellar.store import CellarStore, VesselView
from fermtui.daybook.places import PAST, past_names
from fermtui.wording.plain import plain
from fermtui.writing.entries import Refused


def folder_of(store: CellarStore, typed: str) -> str:
    """The folder of the vessel that is meant: by its folder's name, else by the name that is shown, in any case of
    letters. What fits none is given back as it is. Raises Refused where several are shown by that name."""
    away = past_names(store.cellar)
    if typed in store.names() or typed in away:
        return typed
    store.load_missing()
    wanted = " ".join(typed.split()).casefold()
    called = [(name, loaded.head.name) for name, loaded in store.vessels.items()]
    called += [(name, store.keep_one(name, PAST).head.name) for name in away]
    found = [name for name, shown in called if wanted in (name.casefold(), " ".join(shown.split()).casefold())]
    if len(found) > 1:
        raise Refused(f"{plain(typed, 60)!r} may be one of {', '.join(found[:12])}: name its folder")
    return found[0] if found else typed


def named(store: CellarStore, name: str) -> LoadedVessel:
    """The vessel of that folder name. Raises Refused with a sentence that names some of those that there are."""
    loaded = store.load_one(name)
    if loaded is None:
        there = [*store.names(), *past_names(store.cellar)]
        some = ", ".join(plain(one, 40) for one in there[:12]) or "none yet"
        raise Refused(f"there is no vessel {plain(name, 60)!r} in this cellar, at work or put away; there are: {some}")
    return loaded


def named_view(store: CellarStore, name: str, now: datetime) -> VesselView:
    """The same at this clock, with its forecast where it has one."""
    loaded = named(store, name)
    if loaded.place == "vessels" and loaded.facts.pitched_at is not None and not loaded.facts.lots:
        store.prepare_forecasts([name])
        loaded = store.vessels[name]
    return store.see(loaded, now)
