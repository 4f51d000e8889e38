"""`fermtui check`: everything that is wrong with the files, and what guards refuse of what stands in them."""

from __future__ import annotations

from fermtui.cellar.loaded import LoadedVessel
from fermtui.cellar.store import CellarStore
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import folder_of, print_json, store_of
from fermtui.daybook.places import DAYBOOK, PAST, SCHEDULES, SETTINGS, misnamed, past_names
from fermtui.daybook.problem import Problem
from fermtui.reports.json_parts import problems_json
from fermtui.schedule.library import load, own_names
from fermtui.wording.plain import plain
from fermtui.wording.problems import problem_text
from fermtui.wording.vessels import standing_text
from fermtui.writing.refused import Refused


def run(call: Call) -> int:
    """Exit 1 when anything is wrong."""
    if len(call.operands) > 1 or call.pairs:
        raise WrongUsage("check takes one vessel or none")
    store, _ = store_of(call)
    problems = _of_vessel(store, folder_of(store, call.operands[0])) if call.operands else _of_all(store)
    if "json" in call.options:
        print_json({"problems": problems_json(problems)})
    else:
        for problem in problems:
            print(plain(problem_text(problem), 600))
        if not problems:
            print("nothing is wrong with the files")
    store.save()
    return 1 if problems else 0


def _of_vessel(store: CellarStore, name: str) -> list[Problem]:
    loaded = store.load_one(name)
    if loaded is None:
        raise Refused(f"there is no vessel {plain(name, 60)!r} in this cellar")
    return _of_loaded(store, loaded)


def _of_loaded(store: CellarStore, loaded: LoadedVessel) -> list[Problem]:
    path, units = f"{loaded.place}/{loaded.name}/{DAYBOOK}", store.settings.units
    return [
        *store.problems_of(loaded),
        *(Problem("standing", path, one.line, (standing_text(one, units),)) for one in store.standing_of(loaded)),
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
    found += misnamed(store.cellar)
    return list(dict.fromkeys(found))
