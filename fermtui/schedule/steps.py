"""A schedule as typed records: a vessel's steps before anything was done."""

from collections.abc import Mapping
from typing import NamedTuple

from fermtui.daybook.kinds import kinds_that
from fermtui.schedule.conditions import AtOnce, Before, Condition, Every, leaves

# What the maker is asked to do.
DOABLE = kinds_that(lambda kind: kind.planned)


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
        self.cut: dict[tuple[frozenset[str], str | None], Schedule] = {}


def nth(key: str, schedule: Schedule) -> tuple[int, int]:
    """Count a step among those that do the same to the same: (2, 3) is the second of three; (1, 1) for no step."""
    step = schedule.by_key.get(key)
    if step is None:
        return 1, 1
    alike = [one.key for one in schedule.by_do[step.do] if one.what == step.what]
    return alike.index(key) + 1, len(alike)


def is_repeating(step: Step) -> bool:
    """Tell whether the step comes due again and again."""
    return type(step.due) is Every
