"""The steps of a schedule that a plan has: those whose `when` it meets, and those of the way it is kept sweet."""

from collections.abc import Callable, Mapping

from fermtui.daybook.head import Plan
from fermtui.schedule.conditions import After, Condition, Every, without
from fermtui.schedule.steps import Schedule, Step

SWEET = "plan.sweet"
_HELD_BY_SALTS = frozenset({"sulfite", "sorbate", "read"})
_HOLDS: Mapping[str, Callable[[Plan], bool]] = {
    "plan.sweet": lambda plan: (plan.sweet or plan.sweet_to is not None) and plan.keep not in ("dry", "glass"),
    "plan.sparkling": lambda plan: plan.sparkling or plan.co2_volumes is not None,
    "plan.fruit": lambda plan: plan.fruit is not None,
    "plan.spice": lambda plan: plan.spice is not None,
    "plan.malolactic": lambda plan: plan.malolactic,
}
WHENS = tuple(_HOLDS)


def flags_of(plan: Plan) -> frozenset[str]:
    """Return which of `WHENS` the plan holds."""
    return frozenset(name for name, holds in _HOLDS.items() if holds(plan))


def for_plan(schedule: Schedule, plan: Plan) -> Schedule:
    """Leave out the steps whose `when` this plan does not meet. Made once a plan and kept with the schedule."""
    return for_flags(schedule, flags_of(plan), plan.keep)


def for_flags(schedule: Schedule, flags: frozenset[str], keep: str | None = None) -> Schedule:
    """Return the schedule for a plan that holds these of `WHENS` and is kept sweet that way."""
    cut = schedule.cut.get((flags, keep))
    if cut is None:
        cut = schedule.cut[flags, keep] = _cut(_kept(schedule, keep) if "plan.sweet" in flags else schedule, flags)
    return cut


def _kept(schedule: Schedule, keep: str | None) -> Schedule:
    steps = kept_steps(schedule.steps, keep)
    if steps is schedule.steps:
        return schedule
    return Schedule(schedule.name, schedule.title, steps, schedule.path, schedule.about)


def _cut(schedule: Schedule, flags: frozenset[str]) -> Schedule:
    gone = frozenset(step.key for step in schedule.steps if not _holds(step.when, flags))
    if not gone:
        return schedule
    steps = tuple(
        step._replace(due=without(step.due, gone), drop=None if step.drop is None else without(step.drop, gone))
        for step in schedule.steps
        if step.key not in gone
    )
    return Schedule(schedule.name, schedule.title, steps, schedule.path, schedule.about)


def _holds(when: str | None, flags: frozenset[str]) -> bool:
    if when is None:
        return True
    return (when.removeprefix("not ") in flags) is not when.startswith("not ")


def kept_steps(steps: tuple[Step, ...], keep: str | None) -> tuple[Step, ...]:
    """The steps of a sweet plan that is kept sweet that way; as they are without one, or where nothing sweetens it.

    `dry` and `glass` leave the sweetening out by their flags; `cold` sweetens what is drunk from the vessel within
    weeks, `heat` bottles it on the day of the honey and pasteurises the bottles. Common practice, no source, but for
    the time and heat.
    """
    sweeten = next((step for step in steps if step.do == "sweeten" and step.when == SWEET), None)
    bottle = next((step for step in steps if step.do == "bottle"), None)
    if keep not in ("cold", "heat") or sweeten is None or bottle is None:
        return steps
    gone = {step.key for step in steps if step.when == SWEET and step.do in _HELD_BY_SALTS}
    if keep == "cold":
        gone |= {bottle.key, *(step.key for step in steps if _hangs_on(step.due, bottle.key))}
    added = [sweeten._replace(say=_SWEETEN[keep], due=without(bottle.due, frozenset(gone | {sweeten.key})))]
    added += _heated(bottle, sweeten.key) if keep == "heat" else _cold(sweeten.key)
    replaced = gone | {step.key for step in added}
    cut = frozenset(gone)
    others = [
        step._replace(due=without(step.due, cut), drop=None if step.drop is None else without(step.drop, cut))
        for step in steps
        if step.key not in replaced
    ]
    place = sum(1 for step in steps[: steps.index(bottle)] if step.key not in replaced)
    return (*others[:place], *added, *others[place:])


_SWEETEN = {
    "cold": "The day on which it goes into the cold: sweeten a glass first, then the vessel.",
    "heat": "The day on which it is bottled: nothing holds this honey back before the bottles are hot.",
}


def _heated(bottle: Step, sweeten: str) -> list[Step]:
    same_day = bottle._replace(
        due=After(sweeten, is_step=True),
        say="Today, still glass and crown caps or screw caps, two fingers free. Then the water bath at once.",
    )
    bath = Step(
        "pasteurise", "heat", After(bottle.key, is_step=True), grace_days=0.25,
        say="Bottles upright in a bath to the neck, cold to hot and slowly back; one open bottle holds the "
        "thermometer. Gloves and eye protection: hot glass bursts. Follow the guidance of where you live.",
    )  # fmt: skip
    return [same_day, bath]


def _cold(sweeten: str) -> list[Step]:
    cold = Step(
        "keep-cold", "chill", After(sweeten, is_step=True), grace_days=0.5,
        say="The same day, with its airlock and never in closed bottles: cold slows live yeast and does not stop it.",
    )  # fmt: skip
    drink = Step(
        "drink", "chore", Every(7, After("keep-cold", is_step=True, days=7), After("bottled", is_step=False)),
        what="drink it", grace_days=7.0,
        say="Within four weeks, from the cold vessel. Write `empty` when it is gone.",
    )  # fmt: skip
    return [cold, drink]


def _hangs_on(condition: Condition, key: str) -> bool:
    return isinstance(condition, After) and condition.is_step and condition.ref == key
