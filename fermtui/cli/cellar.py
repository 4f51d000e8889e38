"""What a command begins and ends with: the cellar, the clock and the vessels of the call; problems and JSON."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fermtui import clock
from fermtui.cellar.loaded import LoadedVessel
from fermtui.cellar.store import CellarStore, VesselView, View
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.files_out import progress
from fermtui.daybook.files import expanded
from fermtui.daybook.places import (
    PAST,
    SETTINGS,
    VESSELS,
    Cellar,
    NoCellar,
    create,
    default_path,
    open_cellar,
    past_names,
)
from fermtui.daybook.problem import Problem
from fermtui.daybook.settings import default_text
from fermtui.wording.plain import json_text, plain
from fermtui.wording.problems import problem_text
from fermtui.writing.refused import Refused

if TYPE_CHECKING:
    from fermtui.daybook.vessel_file import VesselFile

DAYS_MOST = 3660
SCHEMA_VERSION = 1
"""Of the JSON that scripts read: it rises when a name goes or means something else, not when one is added."""


def store_of(call: Call, *, may_lack: bool = False) -> tuple[CellarStore, datetime]:
    """The opened cellar and the clock: `--on`, or now. Entries later than an explicit `--on` are left out.

    With `may_lack`, a place where a cellar can be made is an empty one. Raises NoCellar, NotATime, WrongUsage.
    """
    cellar = _opened(call, may_lack=may_lack)
    store = CellarStore(cellar, clock.stamp)
    zone = store.settings.zone
    if "on" in call.options:
        now = clock.read_when(call.options["on"], zone, clock.now(zone)).astimezone(zone)
        store.upto = now
    else:
        now = clock.now(zone)
    return store, now


def _opened(call: Call, *, may_lack: bool) -> Cellar:
    given = call.options.get("cellar")
    if given is not None and not given.strip():
        raise WrongUsage("--cellar is empty: name the folder of a cellar, or leave it out")
    try:
        return open_cellar(given)
    except NoCellar as none:
        path = Path(os.path.abspath(expanded(given) if given else default_path()))
        if path.exists() and (not path.is_dir() or any(path.iterdir())):
            raise
        if may_lack:
            return Cellar(path)
        offer = "`fermtui start NAME` makes one and its first vessel, `fermtui demo` shows one"
        raise NoCellar(f"{none}: {offer}") from None


def make_cellar(store: CellarStore) -> None:
    """Make the cellar where `store_of` found that it may be made. Raises NotWritten."""
    if (store.cellar.path / SETTINGS).exists() or (store.cellar.path / VESSELS).exists():
        return
    create(store.cellar.path, default_text())
    print(f"fermtui: made a new cellar at {plain(store.cellar.path, 400)}", file=sys.stderr)
    store.reload_settings()


def whole_view(call: Call) -> tuple[CellarStore, View]:
    """Every vessel at the clock of the call, with forecasts. Raises as `store_of`."""
    store, now = store_of(call)
    store.load()
    store.prepare_forecasts()
    return store, store.at(now, progress("fermtui", "vessels", after_s=1.0))


def at_of(call: Call, store: CellarStore, now: datetime) -> datetime:
    """When the act happened: `--at`, or the clock. `yesterday` is this hour of yesterday. Raises NotATime."""
    given = call.options.get("at")
    return now if given is None else clock.read_when(given, store.settings.zone, now)


def days_of(call: Call, default: timedelta) -> timedelta:
    """The span of `--days`. Raises WrongUsage."""
    given = call.options.get("days")
    if given is None:
        return default
    if not (given.isascii() and given.isdigit()) or len(given) > 5 or int(given) > DAYS_MOST:
        raise WrongUsage(f"--days takes a whole number of days from 0 to {DAYS_MOST}, as in --days 14")
    return timedelta(days=int(given))


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


def vessel_of(store: CellarStore, name: str) -> LoadedVessel:
    """The vessel of that folder name. Raises Refused with a sentence that names some of those that there are."""
    loaded = store.load_one(name)
    if loaded is None:
        there = [*store.names(), *past_names(store.cellar)]
        some = ", ".join(plain(one, 40) for one in there[:12]) or "none yet"
        raise Refused(f"there is no vessel {plain(name, 60)!r} in this cellar, at work or put away; there are: {some}")
    return loaded


def view_with_forecast(store: CellarStore, name: str, now: datetime) -> VesselView:
    """The same at this clock, with its forecast where it has one."""
    loaded = vessel_of(store, name)
    if loaded.place == "vessels" and loaded.facts.pitched_at is not None and not loaded.facts.lots:
        store.prepare_forecasts([name])
        loaded = store.vessels[name]
    return store.see(loaded, now)


def file_of(store: CellarStore, name: str) -> VesselFile:
    """A vessel's daybook, up to the clock where the call fixes one. Raises Refused."""
    from fermtui.writing.entries import vessel_file  # with all that writes: `due` reads no entry

    file, upto = vessel_file(store, name), store.upto
    if upto is None:
        return file
    return file._replace(
        entries=tuple(entry for entry in file.entries if entry.at <= upto),
        live=tuple(entry for entry in file.live if entry.at <= upto),
    )


def print_json(value: Any) -> None:
    """One JSON document on stdout."""
    print(json_text(value))


def tell_problems(problems: Iterable[Problem]) -> None:
    """Problems on stderr, a line each."""
    for problem in problems:
        print(f"fermtui: {plain(problem_text(problem), 400)}", file=sys.stderr)
