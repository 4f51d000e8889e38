"""Find what makes a schedule impossible as a whole: unknown steps, loops, steps never due, shares above 1."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product

from fermtui.schedule.conditions import (
    After,
    AllOf,
    Condition,
    GravityAtMost,
    Impossible,
    MeasuredAtLeast,
    MeasuredAtMost,
    SugarLeftAtMost,
    SugarSpent,
    leaves,
    step_refs,
)
from fermtui.schedule.context import answering
from fermtui.schedule.planned_steps import for_flags
from fermtui.schedule.steps import Schedule, Step

SHARES_MOST = 1.001  # thirds written as 0.333 and 0.334 are no mistake
Fault = tuple[Step, str]


def faults(schedule: Schedule) -> list[Fault]:
    """List every step at fault, with one sentence each; empty for a sound schedule."""
    unknown = list(_unknown_steps(schedule))
    if unknown:
        return unknown
    wrong = [*_shares(schedule), *_dropped_first(schedule)]
    loops = _loops(schedule)
    return wrong + (loops or list(_never_due(schedule)))


def _plans(schedule: Schedule) -> list[frozenset[str]]:
    """What a plan may hold of that which the steps ask for, in every combination."""
    asked = sorted({step.when.removeprefix("not ") for step in schedule.steps if step.when is not None})
    return [
        frozenset(name for name, there in zip(asked, plan, strict=True) if there)
        for plan in product((False, True), repeat=len(asked))
    ]


def _conditions(step: Step) -> Iterator[tuple[str, Condition]]:
    yield "due", step.due
    if step.drop is not None:
        yield "drop", step.drop


def _unknown_steps(schedule: Schedule) -> Iterator[Fault]:
    for step in schedule.steps:
        for where, condition in _conditions(step):
            for ref in step_refs(condition):
                if ref not in schedule.by_key:
                    keys = ", ".join(schedule.by_key)[:300]
                    yield step, f"{where} names the step {ref!r}, which is not there; the steps are {keys}"


def _shares(schedule: Schedule) -> Iterator[Fault]:
    total = 0.0
    for step in schedule.steps:
        total += step.share or 0.0
        if total > SHARES_MOST:
            yield step, f"with this step the shares come to {total:.3g}; all doses together are 1"
            return


def _dropped_first(schedule: Schedule) -> Iterator[Fault]:
    """Find steps whose own `drop` is always met by the time they come due."""
    for step in schedule.steps:
        if step.drop is None:
            continue
        needed = step.due.parts if isinstance(step.due, AllOf) else (step.due,)
        for part in needed:
            if _comes_no_later(step.drop, part):
                yield step, "it can never come due: by then its drop condition is met"
                break


def _comes_no_later(drop: Condition, due: Condition) -> bool:
    if type(drop) is not type(due):
        return False
    if isinstance(drop, SugarSpent) and isinstance(due, SugarSpent):
        return drop.share <= due.share
    if isinstance(drop, GravityAtMost) and isinstance(due, GravityAtMost):
        return drop.sg >= due.sg
    if isinstance(drop, SugarLeftAtMost) and isinstance(due, SugarLeftAtMost):
        return drop.g_per_l >= due.g_per_l
    if isinstance(drop, MeasuredAtMost) and isinstance(due, MeasuredAtMost):
        return drop.what == due.what and drop.limit >= due.limit
    if isinstance(drop, MeasuredAtLeast) and isinstance(due, MeasuredAtLeast):
        return drop.what == due.what and drop.limit <= due.limit
    return drop == due


def _loops(schedule: Schedule) -> list[Fault]:
    """Find steps that wait for themselves through others, in any plan, and drops that depend on each other."""
    for flags in _plans(schedule):
        cut = for_flags(schedule, flags)
        for where in ("due", "drop"):
            ring = _ring({step.key: _targets(cut, step, where) for step in cut.steps})
            if ring:
                step = cut.by_key[ring[0]]
                return [(step, f"{where} goes round in a loop: {' waits for '.join([*ring, ring[0]])}")]
    return []


def _targets(schedule: Schedule, step: Step, where: str) -> tuple[str, ...]:
    condition = step.due if where == "due" else step.drop
    if condition is None:
        return ()
    keys = list(step_refs(condition))
    for leaf in leaves(condition):
        if isinstance(leaf, After) and not leaf.is_step and where == "due" and not leaf.where_done:
            answers = answering(leaf.ref, schedule)
            if answers is not None:
                keys.append(answers.key)
    return tuple(keys)


def _ring(targets: Mapping[str, tuple[str, ...]]) -> list[str]:
    """Return the keys of one loop, or nothing. Walks with its own stack: a long chain must not exhaust Python's."""
    done: set[str] = set()
    for first in targets:
        path: list[str] = []
        stack: list[tuple[str, int]] = [(first, 0)]
        while stack:
            key, at = stack.pop()
            if at == 0:
                if key in done:
                    continue
                if key in path:
                    return path[path.index(key) :]
                path.append(key)
            if at < len(targets[key]):
                stack.append((key, at + 1))
                stack.append((targets[key][at], 0))
            else:
                done.add(key)
                path.pop()
    return []


def _never_due(schedule: Schedule) -> Iterator[Fault]:
    """Find steps that in every plan depend on a step which that plan does not have."""
    plans = _plans(schedule)
    for step in schedule.steps:
        alive = False
        for flags in plans:
            cut = for_flags(schedule, flags)
            here = cut.by_key.get(step.key)
            if here is not None and not _dead(here.due):
                alive = True
                break
        if not alive:
            yield step, "it can never come due: the steps that it hangs on are never in the same plan with it"


def _dead(condition: Condition) -> bool:
    return any(isinstance(leaf, Impossible) for leaf in leaves(condition))
