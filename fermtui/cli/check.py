"""`fermtui check`: everything that is wrong with the files, with file and line."""

from __future__ import annotations

from fermtui.cellar.store import Watched
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.named import folder_of
from fermtui.cli.session import print_json, watched_of
from fermtui.daybook.places import PAST, SCHEDULES, SETTINGS, misnamed, past_names
from fermtui.daybook.problem import Problem
from fermtui.schedule.library import load, own_names
from fermtui.wording.plain import plain
from fermtui.writing.refused import Refused


def run(call: Call) -> int:
    """Exit 1 when anything is wrong."""
    if len(call.operands) > 1 or call.pairs:
        raise WrongUsage("check takes one vessel or none")
    watched, _ = watched_of(call)
    problems = _of_vessel(watched, folder_of(watched, call.operands[0])) if call.operands else _of_all(watched)
    if "json" in call.options:
        print_json({"problems": [{"path": p.path, "line": p.line, "reason": p.reason} for p in problems]})
    else:
        for problem in problems:
            print(plain(problem, 600))
        if not problems:
            print("nothing is wrong with the files")
    watched.save()
    return 1 if problems else 0


def _of_vessel(watched: Watched, name: str) -> list[Problem]:
    kept = watched.load_one(name)
    if kept is None:
        raise Refused(f"there is no vessel {plain(name, 60)!r} in this cellar")
    return list(watched.problems_of(kept))


def _of_all(watched: Watched) -> list[Problem]:
    watched.load()
    found = list(watched.settings_problems)
    found += [
        Problem(SETTINGS, line, f"{name} means nothing to this version: a slip of the pen?")
        for name, line in watched.settings.unknown
    ]
    schedules = watched.cellar.path / SCHEDULES
    for name in own_names(schedules):
        found += load(name, schedules)[1]
    for kept in watched.kept.values():
        found += watched.problems_of(kept)
    for name in past_names(watched.cellar):
        found += watched.problems_of(watched.keep_one(name, PAST))
    found += misnamed(watched.cellar)
    return list(dict.fromkeys(found))
