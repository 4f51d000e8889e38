"""`fermtui due`: what is late, due, and coming."""

from __future__ import annotations

from typing import Any

from fermtui.cellar.agenda import SOON, AgendaItem, agenda, guard_of
from fermtui.cellar.store import View
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import SCHEMA_VERSION, days_of, print_json, tell_problems, whole_view
from fermtui.cli.files_out import print_lines
from fermtui.reports.json_parts import instant, problems_json, troubles_json
from fermtui.schedule.task import STATES
from fermtui.wording.amounts import amounts_text
from fermtui.wording.findings import finding_text
from fermtui.wording.plain import plain
from fermtui.wording.tasks import is_alarm, reason_text, task_text, when_text
from fermtui.wording.vessels import folder_tags, standing_name, standing_text

LATE = 4
"""The exit status of `--exit-code` where something is late."""


def run(call: Call) -> int:
    """Print the tasks; problems on stderr, exit 0 all the same, or 4 with `--exit-code` where something is late."""
    if call.operands or call.pairs:
        raise WrongUsage("due takes no operands: `fermtui due --days 14`")
    if "brief" in call.options and "json" in call.options:
        raise WrongUsage("--brief is one line for a person: leave out --json, or --brief")
    within = days_of(call, SOON)
    store, view = whole_view(call)
    if "json" in call.options:
        items = agenda(view, within if "days" in call.options else None, STATES)
        print_json({
            "schema_version": SCHEMA_VERSION,
            "on": view.now.isoformat(),
            "troubles": [
                one for vessel in view.vessels for one in troubles_json(vessel, view.settings)
            ],
            "tasks": [as_json(item, view) for item in items],
            "problems": problems_json(view.all_problems),
        })  # fmt: skip
    else:
        items = agenda(view, within)
        if "brief" in call.options:
            print(brief_line(items, view))
        else:
            print_lines(as_lines(items, view))
    if "brief" not in call.options:
        tell_problems(view.all_problems)
    store.save()
    return LATE if "exit-code" in call.options and _is_late(items, view) else 0


def brief_line(items: list[AgendaItem], view: View) -> str:
    """One line for a prompt or a status bar: how much there is to do, and the first of it."""
    now = [item for item in items if is_alarm(item.task) or item.task.state in ("late", "due")]
    first = next(
        (f"{plain(vessel.name, 24)}: {standing_name(one)}" for vessel in view.vessels for one in vessel.standing),
        f"{plain(now[0].view.name, 24)}: {task_text(now[0].task)}" if now else "",
    )
    return f"{_counted(items, view)}; {first}" if first else _counted(items, view)


def _is_late(items: list[AgendaItem], view: View) -> bool:
    """Whether a task is late, or something stands against a vessel."""
    late = any(item.task.state == "late" or is_alarm(item.task) for item in items)
    return late or any(vessel.standing for vessel in view.vessels)


def _counted(items: list[AgendaItem], view: View) -> str:
    others = [item.task.state for item in items if not is_alarm(item.task)]
    count = {state: others.count(state) for state in ("late", "due", "coming")}
    standing = sum(len(vessel.standing) for vessel in view.vessels) + len(items) - len(others)
    counts = {"to check": standing, **count}
    return ", ".join(f"{number} {state}" for state, number in counts.items() if number) or "nothing is due"


def as_json(item: AgendaItem, view: View) -> dict[str, Any]:
    """One task as scripts read it."""
    task, settings = item.task, view.settings
    finding = guard_of(item, view)
    return {
        "vessel": item.view.vessel,
        "task": task.key,
        "do": task.do,
        "what": task.what,
        "state": task.state,
        "earliest": instant(task.earliest),
        "likely": instant(task.likely),
        "latest": instant(task.latest),
        "done_at": instant(task.done_at),
        "why": reason_text(task, settings, view.now),
        "say": task.say,
        "amounts": item.amounts,
        "guard": None if finding is None else finding_text(finding, settings.units),
    }


def as_lines(items: list[AgendaItem], view: View) -> list[str]:
    """The list that a person reads: when, vessel, what, amount, why."""
    settings = view.settings
    lines = [f"{view.now:%a} {view.now.day} {view.now:%b %Y}: {_counted(items, view)}"]
    called = {vessel.vessel: plain(vessel.name, 24) for vessel in view.vessels}
    folders = folder_tags(called)
    for vessel in view.vessels:
        for one in vessel.standing:
            name = _named(called[vessel.vessel], folders[vessel.vessel])
            lines.append(f"CHECK {name}: {standing_name(one)}. {standing_text(one, settings.units)}")
    if not items:
        return lines
    named = [_named(called[item.view.vessel], folders[item.view.vessel]) for item in items]
    names = max(len(name) for name in named)
    acts = [task_text(item.task) for item in items]
    width = min(34, max(len(act) for act in acts))
    days = [_when(item, view) for item in items]
    wide = max([13, *map(len, days)])
    for item, act, name, when in zip(items, acts, named, days, strict=True):
        task = item.task
        amount = amounts_text(item.amounts, settings.units)
        why = reason_text(task, settings, view.now)
        answers = f"{amount}{'; ' if amount else ''}{why}"
        lines.append(f"{when:<{wide}} {name:<{names}}  {act:<{width}}  {answers}  [{plain(task.key, 60)}]")
        finding = guard_of(item, view)
        if finding is not None:
            lines.append(f"{'':<{wide}} {'':<{names}}  not now: {finding_text(finding, settings.units)}")
    return lines


def _when(item: AgendaItem, view: View) -> str:
    task = item.task
    if is_alarm(task):
        return "CHECK"
    if task.state == "coming":
        return when_text(task, view.now, view.settings.zone)
    return task.state.upper() if task.state == "late" else task.state


def _named(name: str, folder: str) -> str:
    """The name, with the folder where another vessel is called the same."""
    return f"{name} ({folder})" if folder else name
