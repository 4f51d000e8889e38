"""Tasks that no step of the schedule holds: the rest of a bottling, fruit that went in beside the plan, and the part of
a must that is poured into a second vessel.
"""

from collections.abc import Iterator, Sequence

from fermtui.forecast.window import exactly
from fermtui.replay.facts import BOTTLE_REST
from fermtui.replay.stage import nothing_left
from fermtui.schedule.context import Context
from fermtui.schedule.days import days_after
from fermtui.schedule.matching import takes_fruit_out
from fermtui.schedule.task import Task
from fermtui.schedule.task_state import open_task
from fermtui.schedule.why import KNOWN, WAITING, Verdict, Why

POUR = "pour"
PULL_FRUIT, PUNCH_FRUIT = "pull-fruit", "punch-fruit"
ON_FRUIT_DAYS = 21  # three weeks on the fruit: common practice, no source


def rest_to_bottle(context: Context, ordered: Sequence[Task], vessel: str) -> Task | None:
    """Return the task to bottle what a first bottling left, or None."""
    facts = context.facts
    left_l = facts.left_l or 0.0
    if not facts.lots or nothing_left(facts):
        return None
    if any(task.do == "bottle" and task.is_open for task in ordered):
        return None
    since = facts.lots[-1].at
    why = Why("rest", KNOWN, {"left_l": left_l, "at": since})
    blank = Task(vessel, BOTTLE_REST, None, "bottle", None, "waiting", None, is_date=True, why=why)
    task = open_task(blank, Verdict(KNOWN, why, exactly(since), is_date=True), context)
    return task._replace(state="due", late_from=None) if task.state == "late" else task


def fruit_beside_the_plan(context: Context, ordered: Sequence[Task], vessel: str) -> Iterator[Task]:
    """Yield the pull of fruit that no open step takes out, three weeks after it went in, and its daily punching."""
    facts = context.facts
    lot = next((lot for lot in reversed(facts.fruit) if lot.pulled_at is None), None)
    if lot is None or facts.lots or facts.emptied_at is not None or context.pitched_at is None:
        return
    steps = [task for task in ordered if task.is_open]
    if any(task.step is not None and takes_fruit_out(task.step) for task in steps):
        return
    why = Why("later-fruit", KNOWN, {"at": lot.at, "days": ON_FRUIT_DAYS})
    out_at = days_after(lot.at, ON_FRUIT_DAYS, context.zone)
    pull = Task(vessel, PULL_FRUIT, None, "pull", "fruit", "waiting", None, is_date=True, why=why)
    yield open_task(pull, Verdict(KNOWN, why, exactly(out_at), is_date=True), context)
    if any(task.do == "punch" for task in steps):
        return
    punched = [act.at for act in context.acts if act.did == "punch" and act.at > lot.at]
    again = days_after(punched[-1] if punched else lot.at, 1, context.zone)
    if again < out_at:
        punch = Task(vessel, PUNCH_FRUIT, None, "punch", None, "waiting", None, is_date=True, why=why)
        yield open_task(punch, Verdict(KNOWN, why, exactly(again), is_date=True), context)


def part_to_pour(context: Context, vessel: str) -> Task | None:
    """Return the task to pour a part of the must into its second vessel, once it is mixed and read; None where the plan
    has none, and once it was poured or left out.
    """
    facts, planned = context.facts, context.plan.pour
    if planned is None or planned.into in facts.children or facts.lots or facts.emptied_at is not None:
        return None
    if any(act.did == "skip" and act.task == POUR for act in context.acts):
        return None
    mixed_at = facts.mixed_at
    read = mixed_at is not None and any(r.sg is not None and r.at >= mixed_at for r in facts.readings)
    waits = not read and context.pitched_at is None
    why = Why("one-must", WAITING if waits else KNOWN, {"into": planned.into, "volume_l": planned.volume_l})
    blank = Task(vessel, POUR, None, "split", planned.into, "waiting", None, is_date=True, why=why)
    if waits:
        return blank
    since = mixed_at or context.pitched_at or context.now
    return open_task(blank, Verdict(KNOWN, why, exactly(since), is_date=True), context)
