"""The choice how a mead is kept sweet that sulfite and sorbate cannot hold, as a task."""

from __future__ import annotations

from collections.abc import Sequence

from fermtui.forecast.window import exactly
from fermtui.must.preservatives import WaysOut
from fermtui.replay.keeping import KEEP_TASK, cannot_hold, strength_at_end
from fermtui.schedule.context import Context
from fermtui.schedule.planned_steps import SWEET
from fermtui.schedule.task import Task
from fermtui.schedule.why import WAITING, Why, WhyValues


def with_choice(context: Context, ordered: Sequence[Task], vessel: str) -> list[Task]:
    """Let the sweetening wait for a choice where salts cannot hold it, and add the choice, due when the sulfite is."""
    facts = context.facts
    salts = next((t for t in ordered if t.do == "sulfite" and t.step is not None and t.step.when == SWEET), None)
    if salts is None or facts.keep is not None or not any(t.is_open for t in ordered if t.do == "sorbate"):
        return list(ordered)
    why_not = cannot_hold(facts)
    if why_not is None or facts.sweetened_g > 0.0 or context.pitched_at is None or facts.emptied_at is not None:
        return list(ordered)
    values = _values(why_not, context)
    held = Why("held-keep", WAITING, values)
    kept = [
        task._replace(state="waiting", window=None, late_from=None, forecast=False, why=held)
        if task.is_open and task.step is not None and task.step.when == SWEET
        else task
        for task in ordered
    ]
    state, window = salts.state, salts.window
    if not salts.is_open:
        state, window = "due", exactly(salts.settled_at or context.now)
    choice = Task(
        vessel, KEEP_TASK, None, "chore", "keep it sweet", "due" if state == "late" else state, window, is_date=True,
        why=Why("keep", salts.why.state, values), forecast=salts.forecast,
    )  # fmt: skip
    return [*kept, choice]


def _values(why_not: WaysOut, context: Context) -> WhyValues:
    values: WhyValues = {"reason": ", ".join(why_not.because)}
    strength = strength_at_end(context.facts)
    if strength is not None:
        values["abv_percent"] = strength
    if context.facts.ph is not None:
        values["limit"] = context.facts.ph
    return values
