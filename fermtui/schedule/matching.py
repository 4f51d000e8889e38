"""Match entries to steps: each entry to the step that it names, else to the earliest open step of its kind."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from datetime import timedelta

from fermtui.daybook.kinds import kind_of
from fermtui.replay.facts import Act
from fermtui.schedule.conditions import Every
from fermtui.schedule.context import Context, Settled
from fermtui.schedule.days import in_utc
from fermtui.schedule.met_at import known_at
from fermtui.schedule.steps import Step, is_repeating

LONGEST_DAY = timedelta(hours=25)
"""A day on which the clocks are put back."""
BOTH_LEAD_DAYS = 1
"""A gravity and a pH that were both read on the day before need not be asked for again: a careful guess, no source."""


def answer(context: Context) -> None:
    """Fill `settled`, `marks`, `skips` and `postponed` of the context from its acts, in order of time."""
    by_key, by_do = context.schedule.by_key, context.schedule.by_do
    named = {act.task for act in context.acts if act.task in by_key and not kind_of(act.did).bookkeeping}
    for act in context.acts:
        if kind_of(act.did).bookkeeping:
            if act.task is not None:
                _bookkeeping(context, act)
            continue
        step = by_key.get(act.task) if act.task is not None else None
        if step is not None:
            _settle(context, step, act)
            if act.did == "rack" and step.do != "pull" and context.fruit_in_at(act.at):
                _settle_first(context, act, _pulls(context), named)
        elif act.did == "rack" and context.fruit_in_at(act.at) and _settle_first(context, act, _pulls(context), named):
            continue
        elif act.did in by_do:
            _settle_first(context, act, by_do[act.did], named)
        if act.did == "dose":
            _stands_for_all(context, act, named)


def _bookkeeping(context: Context, act: Act) -> None:
    if act.did == "postpone" and act.until is not None and act.task is not None:
        context.postponements[act.task] = act
    elif act.did == "skip" and act.task is not None:
        step = context.step(act.task)
        if step is None or is_repeating(step):
            context.skipped_at[act.task] = act.at
        elif step.key not in context.settled:
            context.settled[step.key] = Settled(act.at, "skipped", act.key, act.reason)


def _settle(context: Context, step: Step, act: Act) -> None:
    if is_repeating(step):
        context.times_done.setdefault(step.key, []).append(act.at)
        return
    before = context.settled.get(step.key)
    if before is None or before.how == "skipped":
        context.settled[step.key] = Settled(act.at, "done", act.key)


def _settle_first(context: Context, act: Act, steps: Iterable[Step], named: set[str | None]) -> bool:
    for step in steps:
        if step.key in context.settled or (step.key in named and not is_repeating(step)):
            continue
        if _fits(step, act, context) and _open_at(step, act, context):
            _settle(context, step, act)
            return True
    return False


def _stands_for_all(context: Context, act: Act, named: set[str | None]) -> None:
    """Settle the other doses that had come due by then: missed ones do not pile up, the one given stood for them."""
    for step in context.schedule.by_do.get("dose", ()):
        if step.key in context.settled or step.key in named or is_repeating(step):
            continue
        due = known_at(step.due, context)
        if due is not None and due <= in_utc(act.at) and _open_at(step, act, context):
            context.settled[step.key] = Settled(act.at, "missed", act.key)


def _pulls(context: Context) -> list[Step]:
    return [step for step in context.schedule.by_do.get("pull", ()) if takes_fruit_out(step)]


def takes_fruit_out(step: Step) -> bool:
    """Tell whether the step pulls fruit, and not spice or oak."""
    return step.do == "pull" and step.what in (None, "fruit")


def _fits(step: Step, act: Act, context: Context) -> bool:
    if act.did == "read":
        return _is_reading(act.key, step.what, context)
    if act.did == "rack" or step.what is None:
        return True
    if act.what is None:
        return step.do not in ("add", "chore")
    what = act.what.strip().lower()
    if step.do == "chore" and what == step.key.lower():
        return True
    if step.what == "spice" and context.plan.spice is not None and what == context.plan.spice.strip().lower():
        return True
    return what == step.what.lower()


def _is_reading(key: str, what: str | None, context: Context) -> bool:
    """Whether it reads what the step asks for. A sensor answers no step that asks for more than a gravity, and none
    for the original one."""
    reading = context.readings.get(key)
    if reading is None:
        return key in context.inherited  # its values are in the other vessel's daybook
    if reading.by is not None:
        pitched = context.pitched_at
        return reading.sg is not None and what is None and pitched is not None and reading.at > pitched
    return reading.sg is not None or (what == "ph" and reading.ph is not None)


def _both_read(act: Act, context: Context) -> bool:
    """Tell whether gravity and pH were both read on the day of this reading, by its time."""
    day, readings = act.at.astimezone(context.zone).date(), context.facts.readings
    last = bisect_right(readings, act.at, key=lambda one: one.at)
    first = bisect_left(readings, act.at - LONGEST_DAY, 0, last, key=lambda one: one.at)
    that_day = [one for one in readings[first:last] if one.at.astimezone(context.zone).date() == day]
    return any(one.sg is not None for one in that_day) and any(one.ph is not None for one in that_day)


def _before_pitching(step: Step, context: Context) -> bool:
    steps, pitches = context.schedule.steps, context.schedule.by_do.get("pitch")
    return not pitches or steps.index(step) < steps.index(pitches[0])


def _open_at(step: Step, act: Act, context: Context) -> bool:
    at = act.at
    if step.drop is not None:
        dropped = known_at(step.drop, context)
        if dropped is not None and dropped < at:
            return False
    if isinstance(step.due, Every):
        until = known_at(step.due.until, context)
        if until is not None and until < at:
            return False
    elif act.did == "read" and (context.pitched_at is None or at <= context.pitched_at):
        return _before_pitching(step, context)  # every gravity then is the original one, and no later one
    lead = 0 if isinstance(step.due, Every) else kind_of(act.did).lead_days
    if step.what == "ph" and act.did == "read" and _both_read(act, context):
        lead = BOTH_LEAD_DAYS
    if lead is None:
        return True
    due = known_at(step.due, context)
    return due is not None and context.start_of(due) - timedelta(days=lead) <= in_utc(at)
