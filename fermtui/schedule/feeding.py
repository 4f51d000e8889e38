"""How much honey a feed takes on the way to a strength, and when feeding is over."""

from __future__ import annotations

from fermtui.daybook.head import Plan
from fermtui.must.composition import EXTRACT_PER_ETHANOL, Must, ferment_to, from_gravity, lowest_sg, mix
from fermtui.must.honey import honey_for_strength, honey_must, honey_to_sweeten
from fermtui.must.limits import OutOfRange
from fermtui.replay.facts import Facts
from fermtui.schedule.conditions import GravityAtMost, leaves
from fermtui.schedule.met_at import FEED_RISE_SG
from fermtui.schedule.steps import Step
from fermtui.schedule.task import Task

FEED_LEAST_SHARE = 0.01
"""Of the honey that is in already: a smaller feed changes nothing that a hydrometer shows. Our limit, no source."""
FED_START_SG = 1.100
"""Where a must that is fed begins when only its strength is wanted: common practice, no source."""
_START_STEP_SG = 0.005
_CLOSE_ABV = 0.05


def down_to(must: Must, sg: float) -> Must:
    """Ferment a must to this SG 20/20, or as far as it goes; as it is where it stands there already."""
    return must if must.sg <= sg else ferment_to(must, max(sg, lowest_sg(must)))[0]


def feed_at_sg(step: Step | None) -> float | None:
    """Return the gravity at which a feeding step comes due; None where none is named."""
    return None if step is None else next((c.sg for c in leaves(step.due) if isinstance(c, GravityAtMost)), None)


def wanted_abv(plan: Plan) -> float | None:
    """Return the strength that feeding leads to, % vol: the plan's, else what the yeast takes, else None."""
    return plan.abv_percent or plan.yeast.tolerance_abv


def feed_honey_g(must: Must, plan: Plan, left: int, moisture_percent: float, at_sg: float | None) -> float:
    """Return the honey (g) of the next of `left` feeds: an equal part of what the strength still needs, and no more
    than lifts it by FEED_RISE_SG. 0 where less than FEED_LEAST_SHARE is wanted. Raises OutOfRange.
    """
    here = must if at_sg is None else down_to(must, at_sg)
    most_g = honey_to_sweeten(here, here.sg + FEED_RISE_SG, moisture_percent)
    strength = wanted_abv(plan)
    if strength is None:
        return most_g
    need_g = honey_for_strength(must, strength, min(plan.end, must.sg), moisture_percent)
    least_g = FEED_LEAST_SHARE * _honey_in_g(must, moisture_percent)
    if need_g < least_g:
        return 0.0
    while left > 1 and need_g / left < least_g:
        left -= 1
    return min(most_g, need_g / max(1, left))


def _honey_in_g(must: Must, moisture_percent: float) -> float:
    """Return the honey (g) that all extract of a must, fermented or not, would be."""
    return (must.sugar_g + must.ethanol_g * EXTRACT_PER_ETHANOL) / (1.0 - moisture_percent / 100.0)


def feeds_left(task: Task, facts: Facts) -> int:
    """Return how many feeds are still to come, this one included; what was fed beside the plan counts as one."""
    n, m = task.dose_n or 1, task.dose_m or 1
    done = sum(1 for act in facts.acts if act.did == "feed")
    if task.state in ("due", "late"):  # then those before it are done or skipped
        done = max(done, n - 1)
    return max(1, m - done)


def feeding_over(must: Must | None, plan: Plan, moisture_percent: float) -> bool:
    """Tell whether what went in reaches the wanted strength by itself, so that no feed is worth its honey."""
    if must is None or wanted_abv(plan) is None:
        return False
    try:
        return feed_honey_g(must, plan, 1, moisture_percent, None) <= 0.0
    except OutOfRange:
        return False


def fed_start_sg(plan: Plan, unfed_sg: float, steps: tuple[Step, ...], moisture_percent: float) -> float:
    """Return the gravity at which a must begins that comes to the plan's strength by these feeds: FED_START_SG, more
    where the feeds do not bring the rest, and no more than `unfed_sg`, which needs none.
    """
    start = min(FED_START_SG, unfed_sg)
    while start < unfed_sg:
        must = from_gravity(1.0, start)
        for place, step in enumerate(steps):
            at_sg = feed_at_sg(step)
            honey_g = feed_honey_g(must, plan, len(steps) - place, moisture_percent, at_sg)
            must = mix(must if at_sg is None else down_to(must, at_sg), honey_must(honey_g, moisture_percent))
        if down_to(must, plan.end).abv_percent >= (plan.abv_percent or 0.0) - _CLOSE_ABV:
            return start
        start = min(unfed_sg, start + _START_STEP_SG)
    return start
