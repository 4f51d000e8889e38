"""`fermtui check`: everything that is wrong with the files, what guards refuse of what stands in them, and entries of
one moment of which the order changes a number.
"""

from __future__ import annotations

from fermtui.cellar.containers import shared
from fermtui.cellar.loaded import LoadedVessel, measures_of
from fermtui.cellar.store import CellarStore
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import folder_of, print_json, store_of
from fermtui.daybook.lines import line_number
from fermtui.daybook.places import DAYBOOK, PAST, SCHEDULES, SETTINGS, VESSELS, misnamed, past_names
from fermtui.daybook.problem import Problem
from fermtui.daybook.vessel_bytes import vessel_bytes
from fermtui.daybook.vessel_file import parse_vessel
from fermtui.replay.one_moment import where_order_counts
from fermtui.reports.json_parts import problems_json
from fermtui.schedule.library import load, own_names
from fermtui.wording.plain import plain
from fermtui.wording.problems import problem_text
from fermtui.wording.vessels import one_moment_text, standing_text
from fermtui.writing.refused import Refused


def run(call: Call) -> int:
    """Exit 1 when anything is wrong; that an order counts is told and no fault."""
    if len(call.operands) > 1 or call.pairs:
        raise WrongUsage("check takes one vessel or none")
    store, _ = store_of(call)
    names = [folder_of(store, call.operands[0])] if call.operands else None
    problems = _of_all(store) if names is None else _of_vessel(store, names[0])
    in_doubt = [one for name in names or store.vessels for one in _orders_in_doubt(store, name)]
    if "json" in call.options:
        print_json({"problems": problems_json(problems), "one_moment": problems_json(in_doubt)})
    else:
        for problem in problems:
            print(plain(problem_text(problem), 600))
        if not problems:
            print("nothing is wrong with the files")
        for doubt in in_doubt:
            print(plain(problem_text(doubt), 600))
    store.save()
    return 1 if problems else 0


def _of_vessel(store: CellarStore, name: str) -> list[Problem]:
    loaded = store.load_one(name)
    if loaded is None:
        raise Refused(f"there is no vessel {plain(name, 60)!r} in this cellar")
    return [*_of_loaded(store, loaded), *_shared(store, name)]


def _shared(store: CellarStore, only: str | None = None) -> list[Problem]:
    """Of the vessels at work, those that stand in a container with another one."""
    return [
        Problem("shared_container", f"{VESSELS}/{vessel}", None, (container, ", ".join(others)))
        for vessel, container, others in shared(store.holders())
        if only in (None, vessel)
    ]


def _of_loaded(store: CellarStore, loaded: LoadedVessel) -> list[Problem]:
    path, units = f"{loaded.place}/{loaded.name}/{DAYBOOK}", store.settings.units
    return [
        *store.problems_of(loaded),
        *(Problem("standing", path, one.line, (standing_text(one, units),)) for one in store.standing_of(loaded)),
    ]


def _orders_in_doubt(store: CellarStore, name: str) -> list[Problem]:
    """A line for each two entries of one moment of a vessel at work that would give another number the other way."""
    files = vessel_bytes(store.cellar, name, store.vessels[name].place if name in store.vessels else VESSELS)
    file = parse_vessel(files)
    if file.head is None:
        return []
    path, units = f"{file.place}/{name}/{DAYBOOK}", store.settings.units
    entries = [entry for entry in file.live if store.upto is None or entry.at <= store.upto]
    kinds = {entry.key: entry.did for entry in entries}
    return [
        Problem(
            "one_moment",
            path,
            line_number(files.daybook, one.second),
            (one_moment_text(one, kinds, line_number(files.daybook, one.first), units),),
        )
        for one in where_order_counts(file.head, entries, measures_of(store.settings))
    ]


def _of_all(store: CellarStore) -> list[Problem]:
    store.load()
    found = list(store.settings_problems)
    found += [Problem("unknown_setting", SETTINGS, line, (name,)) for name, line in store.settings.unknown]
    schedules = store.cellar.path / SCHEDULES
    for name in own_names(schedules):
        found += load(name, schedules)[1]
    for loaded in store.vessels.values():
        found += _of_loaded(store, loaded)
    for name in past_names(store.cellar):
        found += _of_loaded(store, store.keep_one(name, PAST))
    found += _shared(store)
    found += misnamed(store.cellar)
    return list(dict.fromkeys(found))
