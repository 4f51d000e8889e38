"""One vessel that a command names, at work or put away, with its forecast."""

from __future__ import annotations

from datetime import datetime

from fermtui.cellar.loaded import Kept
from fermtui.cellar.store import VesselView, Watched
from fermtui.daybook.places import PAST, past_names
from fermtui.wording.plain import plain
from fermtui.writing.entries import Refused


def folder_of(watched: Watched, typed: str) -> str:
    """The folder of the vessel that is meant: by its folder's name, else by the name that is shown, in any case of
    letters. What fits none is given back as it is. Raises Refused where several are shown by that name."""
    away = past_names(watched.cellar)
    if typed in watched.names() or typed in away:
        return typed
    watched.load_missing()
    wanted = " ".join(typed.split()).casefold()
    called = [(name, kept.head.name) for name, kept in watched.kept.items()]
    called += [(name, watched.keep_one(name, PAST).head.name) for name in away]
    found = [name for name, shown in called if wanted in (name.casefold(), " ".join(shown.split()).casefold())]
    if len(found) > 1:
        raise Refused(f"{plain(typed, 60)!r} may be one of {', '.join(found[:12])}: name its folder")
    return found[0] if found else typed


def named(watched: Watched, name: str) -> Kept:
    """The vessel of that folder name. Raises Refused with a sentence that names some of those that there are."""
    kept = watched.load_one(name)
    if kept is None:
        there = [*watched.names(), *past_names(watched.cellar)]
        some = ", ".join(plain(one, 40) for one in there[:12]) or "none yet"
        raise Refused(f"there is no vessel {plain(name, 60)!r} in this cellar, at work or put away; there are: {some}")
    return kept


def named_view(watched: Watched, name: str, now: datetime) -> VesselView:
    """The same at this clock, with its forecast where it has one."""
    kept = named(watched, name)
    if kept.place == "vessels" and kept.facts.pitched_at is not None and not kept.facts.lots:
        watched.promise([name])
        kept = watched.kept[name]
    return watched.see(kept, now)
