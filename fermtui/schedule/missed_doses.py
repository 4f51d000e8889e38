"""One dose at a time: all that have come due are one, and half a day passes between two.

The half day is common practice, no source: a dose is taken up before the next one goes in.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from fermtui.daybook.head import Plan
from fermtui.daybook.settings import Settings
from fermtui.replay.facts import Facts
from fermtui.schedule.context import Context
from fermtui.schedule.doses import at_third_break, dose_amounts, totals_g
from fermtui.schedule.steps import nth
from fermtui.schedule.task import Task
from fermtui.schedule.why import KNOWN, Why

BETWEEN_DOSES = timedelta(hours=12)
PRESSING = ("due", "late")


def one_dose_at_a_time(context: Context, ordered: Sequence[Task]) -> list[Task]:
    """Return the tasks with at most one dose due: the first of those that have come due, for all of them, and not
    within half a day of the last one given. Each open dose learns its share of the whole.
    """
    doses = [task for task in ordered if task.do == "dose" and task.step is not None and task.every_days is None]
    if not doses:
        return list(ordered)
    last = max((act.at for act in context.acts if act.did == "dose" and act.at <= context.now), default=None)
    doses = [_not_at_once(task, last, context.now) for task in doses]
    pressing = [task for task in doses if task.state in PRESSING]
    others = {task.key for task in pressing[1:]}
    settled = _settled_share(context)
    at_break = at_third_break(context.facts, context.now.astimezone(context.zone))
    changed: dict[str, Task] = {}
    for task in doses:
        if task.key in others:
            changed[task.key] = _in_the_first(task, pressing[0], context)
        elif task.is_open:
            whole = pressing if task.state in PRESSING else [task]
            own = sum(_share(one) for one in whole)
            made = _for_all(task, pressing) if len(whole) > 1 else task
            changed[task.key] = made._replace(dose_share=own, dose_target=own + settled, at_break=at_break)
        else:
            changed[task.key] = task
    return [changed.get(task.key, task) for task in ordered]


def without_given(tasks: Sequence[Task], facts: Facts, plan: Plan, settings: Settings) -> list[Task]:
    """Leave out a dose of which nothing is left to give, for earlier ones were larger."""
    if not any(task.do == "dose" and task.state in PRESSING for task in tasks) or facts.doses == 0:
        return list(tasks)
    known = bool(totals_g(facts, plan, settings.nutrients))
    return [
        _enough(task, facts) if known and task.do == "dose" and task.state in PRESSING
        and not dose_amounts(task, facts, plan, settings) else task
        for task in tasks
    ]  # fmt: skip


def _enough(task: Task, facts: Facts) -> Task:
    at = max(act.at for act in facts.acts if act.did == "dose")
    return task._replace(
        state="dropped", window=None, late_from=None, settled_at=at, why=Why("all-given", KNOWN, {"at": at})
    )


def _share(task: Task) -> float:
    share = task.step.share if task.step is not None else None
    return share if share is not None else 1.0 / (task.dose_m or 1)


def _settled_share(context: Context) -> float:
    """Return the share of the doses that are over but were not left out on purpose: given, or missed on the way."""
    facts, steps = context.facts, context.schedule.by_do["dose"]
    nothing_known = facts.dap_g + facts.autolysate_g + facts.complex_g <= 0.0
    total = 0.0
    for step in steps:
        settled = context.settled.get(step.key)
        task = context.task_of(step.key)
        if task.is_open or task.every_days is not None or (settled is not None and settled.how == "skipped"):
            continue
        if settled is not None and nothing_known and settled.by in context.inherited:
            continue  # given in the vessel that it was poured off from, and not written down with the pouring
        total += step.share if step.share is not None else 1.0 / len(steps)
    return total


def _not_at_once(task: Task, last: datetime | None, now: datetime) -> Task:
    if last is None or not task.is_open or task.window is None or task.window.likely >= last + BETWEEN_DOSES:
        return task
    first = last + BETWEEN_DOSES
    late_from = None if task.late_from is None else max(task.late_from, first + BETWEEN_DOSES)
    window = task.window.each(lambda at: max(at, first))
    if first > now:
        why = Why("after-dose", KNOWN, {"at": first}, (task.why,))
        return task._replace(state="coming", window=window, late_from=late_from, is_date=False, why=why)
    state = "late" if late_from is not None and now > late_from else "due"
    return task._replace(state=state if task.state in PRESSING else task.state, window=window, late_from=late_from)


def _in_the_first(task: Task, into: Task, context: Context) -> Task:
    why = Why("in-dose", KNOWN, {"ref": into.key, "do": "dose", "nth": nth(into.key, context.schedule)})
    at = context.now if task.window is None else min(task.window.likely, context.now)
    return task._replace(state="dropped", window=None, late_from=None, settled_at=at, why=why)


def _for_all(task: Task, pressing: Sequence[Task]) -> Task:
    """Return the first dose standing for all that came due: late where one of them is."""
    late = [one.late_from for one in pressing if one.late_from is not None]
    why = Why("made-up", task.why.state, {"count": len(pressing) - 1}, (task.why,))
    state = "late" if any(one.state == "late" for one in pressing) else "due"
    return task._replace(state=state, late_from=min(late, default=None), why=why)
