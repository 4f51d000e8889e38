"""A schedule as typed records: a vessel's steps before anything was done."""

from collections.abc import Callable, Mapping
from typing import NamedTuple

from fermtui.daybook.head import Plan
from fermtui.daybook.kinds import kinds_that
from fermtui.schedule.conditions import AtOnce, Before, Condition, Every, leaves, without

# What the maker is asked to do.
DOABLE = kinds_that(lambda kind: kind.planned)
_HOLDS: Mapping[str, Callable[[Plan], bool]] = {
    "plan.sweet": lambda plan: plan.sweet or plan.sweet_to is not None,
    "plan.sparkling": lambda plan: plan.sparkling or plan.co2_volumes is not None,
    "plan.fruit": lambda plan: plan.fruit is not None,
    "plan.spice": lambda plan: plan.spice is not None,
    "plan.malolactic": lambda plan: plan.malolactic,
}
WHENS = tuple(_HOLDS)


class Step(NamedTuple):
    """One step. `do` is an entry kind, `what` narrows it down; `share` of all nutrient, 0 to 1; `when` names what the
    plan must hold (`not plan.sweet` for the opposite); `grace_days` None is never late; `line` in its file.
    """

    key: str
    do: str
    due: Condition = AtOnce()
    what: str | None = None
    drop: Condition | None = None
    grace_days: float | None = None
    when: str | None = None
    share: float | None = None
    say: str | None = None
    line: int | None = None


class Schedule:
    """A schedule. `name` is its file without the ending; `path` is what problems name.

    `ahead_of` has the steps that come before another one (thawing), with the key of that one.
    """

    __slots__ = ("about", "ahead_of", "by_do", "by_key", "cut", "name", "path", "steps", "title")

    def __init__(
        self, name: str, title: str, steps: tuple[Step, ...], path: str = "", about: str | None = None
    ) -> None:
        self.name = name
        self.title = title
        self.steps = steps
        self.path = path
        self.about = about
        by_do: dict[str, list[Step]] = {}
        for step in steps:
            by_do.setdefault(step.do, []).append(step)
        self.by_key: Mapping[str, Step] = {step.key: step for step in steps}
        self.by_do: Mapping[str, tuple[Step, ...]] = {do: tuple(of) for do, of in by_do.items()}
        self.ahead_of: Mapping[str, str] = {
            step.key: leaf.ref for step in steps for leaf in leaves(step.due) if isinstance(leaf, Before)
        }
        self.cut: dict[frozenset[str], Schedule] = {}


def nth(key: str, schedule: Schedule) -> tuple[int, int]:
    """Count a step among those that do the same to the same: (2, 3) is the second of three; (1, 1) for no step."""
    step = schedule.by_key.get(key)
    if step is None:
        return 1, 1
    alike = [one.key for one in schedule.by_do[step.do] if one.what == step.what]
    return alike.index(key) + 1, len(alike)


def flags_of(plan: Plan) -> frozenset[str]:
    """Return which of `WHENS` the plan holds."""
    return frozenset(name for name, holds in _HOLDS.items() if holds(plan))


def for_plan(schedule: Schedule, plan: Plan) -> Schedule:
    """Leave out the steps whose `when` this plan does not meet. Made once a plan and kept with the schedule."""
    return for_flags(schedule, flags_of(plan))


def for_flags(schedule: Schedule, flags: frozenset[str]) -> Schedule:
    """Return the schedule for a plan that holds these of `WHENS`."""
    cut = schedule.cut.get(flags)
    if cut is None:
        cut = schedule.cut[flags] = _cut(schedule, flags)
    return cut


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


def is_repeating(step: Step) -> bool:
    """Tell whether the step comes due again and again."""
    return type(step.due) is Every
