"""`fermtui schedule`: which schedules there are, one of them in words, and a copy to edit."""

from __future__ import annotations

from fermtui.cellar.store import CellarStore
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import print_json, store_of, tell_problems
from fermtui.cli.files_out import telling
from fermtui.daybook.fields import NAME
from fermtui.daybook.places import SCHEDULES
from fermtui.daybook.problem import Problem
from fermtui.reports.document import text_lines
from fermtui.reports.json_parts import problems_json
from fermtui.reports.schedule_text import schedule_json, schedule_page
from fermtui.schedule.library import library_names, load, own_names
from fermtui.schedule.steps import Schedule
from fermtui.wording.plain import plain
from fermtui.wording.problems import problem_text
from fermtui.writing.refused import Refused
from fermtui.writing.schedule_copy import copy_schedule

LIKE = "`fermtui schedule`, `fermtui schedule show NAME` or `fermtui schedule copy NAME NEW`"


def run(call: Call) -> int:
    """List, show or copy. A schedule with mistakes exits 1 and says where they are."""
    if call.pairs:
        raise WrongUsage(f"schedule takes no key=value: {LIKE}")
    store, _now = store_of(call)
    words = call.operands
    if not words:
        return _list(call, store)
    if words[0] == "show" and len(words) == 2:
        return _show(call, store, words[1])
    if words[0] == "copy" and len(words) in (2, 3):
        return _copy(call, store, words[1], words[-1])
    raise WrongUsage(f"schedule lists, shows or copies: {LIKE}")


def _list(call: Call, store: CellarStore) -> int:
    folder = store.cellar.path / SCHEDULES
    own = own_names(folder)
    rows: list[tuple[str, str, str]] = []
    problems: list[Problem] = []
    for name in dict.fromkeys((*own, *library_names())):
        schedule, wrong = load(name, folder)
        problems += wrong
        rows.append((name, "cellar" if name in own else "library", schedule.title if schedule else ""))
    if "json" in call.options:
        listed = [{"schedule": name, "from": place, "title": title or None} for name, place, title in rows]
        print_json({"schedules": listed, "problems": problems_json(problems)})
    else:
        wide = max(len(name) for name, _, _ in rows)
        for name, place, title in rows:
            print(f"{name:<{wide}}  {place:<7}  {plain(title, 80) or 'has mistakes: fermtui check'}")
    tell_problems(problems)
    return 0


def _show(call: Call, store: CellarStore, name: str) -> int:
    schedule = _loaded(store, name)
    path = _path(store, name)
    if "json" in call.options:
        print_json(schedule_json(schedule, path))
    else:
        page = schedule_page(schedule, path, store.settings.units)
        print("\n".join(text_lines(f"{schedule.name}: {plain(schedule.title, 60)}", page)))
    return 0


def _loaded(store: CellarStore, name: str) -> Schedule:
    schedule, problems = load(name, store.cellar.path / SCHEDULES)
    if schedule is None:
        tell_problems(problems[:-1])
        raise Refused(
            plain(problem_text(problems[-1]), 400) if problems else f"there is no schedule {plain(name, 60)!r}"
        )
    return schedule


def _path(store: CellarStore, name: str) -> str:
    own = name in own_names(store.cellar.path / SCHEDULES)
    return f"{SCHEDULES}/{name}.toml" if own else f"{name}, of the library"


def _copy(call: Call, store: CellarStore, name: str, new: str) -> int:
    if NAME.match(new):
        _loaded(store, name)
    target = copy_schedule(store, name, new)
    with telling(f"{SCHEDULES}/{new}.toml is written"):
        if "json" in call.options:
            print_json({"schedule": new, "file": str(target)})
        else:
            print(f"{plain(target, 400)} is yours to edit; `fermtui check` explains mistakes in it")
    return 0
