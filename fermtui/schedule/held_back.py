"""Hold back the tasks that a guard would refuse: they wait for the remedy, and where that is a reading it is asked for
a day or two before the task's day.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from fermtui.daybook.head import Plan
from fermtui.daybook.settings import Settings
from fermtui.forecast.window import Window, exactly
from fermtui.replay.facts import Facts
from fermtui.replay.stability import FRESH, PROVEN, calm_run
from fermtui.schedule.amounts import amounts, entry_fields
from fermtui.schedule.guards import Finding, check
from fermtui.schedule.guards.table import GUARDS
from fermtui.schedule.readings_wanted import ASK_GRAVITY, ASK_PH, SKIPPED_FOR
from fermtui.schedule.task import Task
from fermtui.schedule.why import KNOWN, WAITING, Why, WhyValues

AHEAD = timedelta(days=2)
GAP = timedelta(days=1)
HALF_MONTH = timedelta(days=14)
WATCH_GAP = timedelta(days=3)
STILL = timedelta(days=7)
CALM_FOR = {"may_go_on": PROVEN, "not_still": STILL}
NEEDS_PH = frozenset({"sulfite", "sorbate"})
READING_REMEDIES = frozenset({
    "old_reading", "no_reading", "only_cold", "not_still", "may_go_on", "watch_short", "sweet_end_too_soon",
    "sweet_unstabilised", "above_end", "only_sensor",
})  # fmt: skip
"""Observations that one more reading would remedy."""


def held_back(
    tasks: Sequence[Task],
    facts: Facts,
    plan: Plan,
    settings: Settings,
    now: datetime,
    vessel: str,
) -> tuple[Task, ...]:
    """Turn the tasks that a guard would refuse now to waiting, and add the reading that they wait for."""
    kept: list[Task] = []
    wanted: list[tuple[datetime, Task]] = []
    ph_for: Task | None = None
    for task in tasks:
        if task.state in ("due", "late") and _wants_ph(task, facts):
            kept.append(_waits(task, Why("held-ph", WAITING, {}, (task.why,)), None))
            ph_for = ph_for or task
            continue
        at = _judged_at(task, now)
        finding = None if at is None else _refusal(task, facts, plan, settings, at, vessel)
        if finding is None or at is None:
            kept.append(task)
            continue
        read_at = _next_reading(finding, facts, now) if finding.observed.kind in READING_REMEDIES else None
        if read_at is not None:
            wanted.append((read_at, task))
        kept.append(_held(task, finding, read_at, facts, now) if task.state in ("due", "late") else task)
    return tuple(_with_readings(kept, wanted, ph_for, facts, now, vessel))


def _judged_at(task: Task, now: datetime) -> datetime | None:
    """Return the time to check a task at: now if it is due, its own day if it comes within two days; else None."""
    if task.do not in GUARDS or task.do == "read":
        return None
    if task.state in ("due", "late"):
        return now
    likely = task.likely
    near = task.state == "coming" and likely is not None and likely - now <= AHEAD
    return likely if near and not task.forecast else None


def _refusal(task: Task, facts: Facts, plan: Plan, settings: Settings, at: datetime, vessel: str) -> Finding | None:
    fields = entry_fields(amounts(task, facts, plan, settings))
    findings = check(task.do, fields, facts, plan, settings, at, vessel=vessel)
    return next((finding for finding in findings if finding.kind != "advice"), None)


def _wants_ph(task: Task, facts: Facts) -> bool:
    return task.do in NEEDS_PH and facts.ph is None and facts.pitched_at is not None and facts.volume_known


def _held(task: Task, finding: Finding, read_at: datetime | None, facts: Facts, now: datetime) -> Task:
    """Turn the task to waiting, with the day from which the reading may lift it, where one is known."""
    lifted = None if read_at is None else max(now, read_at)
    calm_for = CALM_FOR.get(finding.observed.kind)
    run = calm_run(facts) if lifted is not None and calm_for is not None else ()
    if lifted is not None and calm_for is not None and run:
        lifted = max(lifted, run[0].at + calm_for)
    values: WhyValues = {"finding": finding, "floats": lifted is not None and lifted <= now}
    return _waits(task, Why("held", WAITING, values, (task.why,)), lifted)


def _waits(task: Task, why: Why, lifted: datetime | None) -> Task:
    window: Window | None = None if lifted is None else exactly(lifted)
    state = "waiting" if window is None else "coming"
    return task._replace(state=state, why=why, window=window, forecast=True, late_from=None)


def _next_reading(finding: Finding, facts: Facts, now: datetime) -> datetime:
    """Return when the next reading would show most of what the guard asks for."""
    readings = facts.since_addition
    run = calm_run(facts)
    if finding.observed.kind in ("old_reading", "no_reading", "only_cold", "only_sensor") or not readings or not run:
        return now
    last = readings[-1].at
    if finding.observed.kind == "may_go_on":
        return max(last + GAP, min(last + HALF_MONTH, run[0].at + PROVEN))
    if finding.observed.kind == "watch_short":
        return last + WATCH_GAP
    if finding.observed.kind in ("sweet_end_too_soon", "sweet_unstabilised", "above_end"):
        return last + HALF_MONTH
    if now - last > FRESH:
        return now
    return max(last + 2 * GAP, min(run[0].at + STILL, last + WATCH_GAP))


def _with_readings(
    kept: list[Task],
    wanted: Sequence[tuple[datetime, Task]],
    ph_for: Task | None,
    facts: Facts,
    now: datetime,
    vessel: str,
) -> list[Task]:
    left_out = any(act.did == "skip" and act.task == ASK_PH for act in facts.acts)
    if ph_for is not None and not left_out and not any(task.key == ASK_PH for task in kept):
        kept.append(_ask(ASK_PH, "ph", now, ph_for, "ask-ph", now, vessel))
    if wanted:
        at, task = min(wanted, key=lambda one: one[0])
        at = max([at, *_put_off(facts)])
        there = next((one for one in kept if one.do == "read" and one.key == ASK_GRAVITY), None)
        if there is None or there.likely is None or there.likely > at:
            if there is not None:
                kept.remove(there)
            kept.append(_ask(ASK_GRAVITY, None, at, task, "ask-held", now, vessel))
    return kept


def _put_off(facts: Facts) -> list[datetime]:
    """Return until when the maker skipped or postponed the reading."""
    skips = [act.at + SKIPPED_FOR for act in facts.acts if act.did == "skip" and act.task == ASK_GRAVITY]
    return skips + [
        act.until for act in facts.acts if act.did == "postpone" and act.task == ASK_GRAVITY and act.until is not None
    ]


def _ask(key: str, what: str | None, at: datetime, task: Task, kind: str, now: datetime, vessel: str) -> Task:
    values: WhyValues = {"for_task": task.key, "do": task.do, "what": task.what, "nth": None}
    why = Why(kind, KNOWN, values, (task.why,))
    state = "due" if at <= now else "coming"
    return Task(vessel, key, None, "read", what, state, exactly(at), is_date=True, why=why)
