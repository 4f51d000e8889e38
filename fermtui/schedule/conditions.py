"""The conditions of a schedule as data. A condition says when a step comes due or when it is dropped.

They are tuples, not dataclasses: a start reads some hundred of them and each dataclass costs half a millisecond.
Their annotations are evaluated: put off as text, typing compiles each, half the cost of loading them. Hence Inner.
"""

from collections.abc import Iterator
from datetime import date
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

ONE_THIRD = 1 / 3
FIRST_SIGN = "first_sign"
"""The event of a ferment that shows: a gravity that fell, or a chore `first sign`; for what was never pitched."""
ADDED = "add:"
"""Before the name of an addition: the event that it went in."""

if TYPE_CHECKING:
    Inner: TypeAlias = "Condition"
else:
    Inner = tuple


class AtOnce(NamedTuple):
    """A step without `due`: from the start on."""


class After(NamedTuple):
    """Some time after an event (`pitch`, `add:oak`, `bottled`, ...) or after a step was done or skipped.

    `days`, `weeks` and `months` are calendar dates, `hours` exact; at most one of them is above 0. With `where_done`
    the condition counts only in a vessel in which the event has happened (24 hours after sulfite, where there was any).
    """

    ref: str
    is_step: bool
    days: int = 0
    hours: float = 0.0
    months: int = 0
    where_done: bool = False
    weeks: int = 0


class Before(NamedTuple):
    """Some time before a step comes due."""

    ref: str
    days: int = 0
    hours: float = 0.0
    weeks: int = 0


class GravityAtMost(NamedTuple):
    """A reading at this SG 20/20 or below."""

    sg: float


class GravityAtLeast(NamedTuple):
    """A reading at this SG 20/20 or above since the last addition, the original gravity included."""

    sg: float


class MeasuredAtMost(NamedTuple):
    """The newest reading of `what` (`ph`, or `temp_c` in °C) at this or below."""

    what: str
    limit: float


class MeasuredAtLeast(NamedTuple):
    """The newest reading of `what` (`ph`, or `temp_c` in °C) at this or above."""

    what: str
    limit: float


class SugarLeftAtMost(NamedTuple):
    """No more than this may still ferment, in g/L, by a reading and the lowest plausible end or a forced test."""

    g_per_l: float


class SugarSpent(NamedTuple):
    """A share of the sugar, 0 to 1; the one-third break is 1/3."""

    share: float


class AbvAtLeast(NamedTuple):
    """A strength in % vol; or so much below the yeast's tolerance, with `percent` where that is not known."""

    percent: float
    below_tolerance: float | None = None


class StableDays(NamedTuple):
    """Readings that agree over this many days."""

    days: float


class AtEnd(NamedTuple):
    """The gravity has come to the plan's end (within 0.002)."""


class On(NamedTuple):
    """A date."""

    day: date


class Every(NamedTuple):
    """Again and again: every so many days, or hours where `days` is 0, from one condition until another."""

    days: int
    start: Inner
    until: Inner
    hours: float = 0.0

    @property
    def in_days(self) -> float:
        """The time between two of them, in days."""
        return self.days or self.hours / 24.0


class AnyOf(NamedTuple):
    """Whichever comes first."""

    parts: tuple[Inner, ...]


class AllOf(NamedTuple):
    """The last of them."""

    parts: tuple[Inner, ...]


class Impossible(NamedTuple):
    """What is left of a condition that hangs on steps which this vessel's plan does not have."""


Condition: TypeAlias = (
    AtOnce | After | Before | GravityAtMost | GravityAtLeast | MeasuredAtMost | MeasuredAtLeast | SugarLeftAtMost
    | SugarSpent | AbvAtLeast | StableDays | AtEnd | On | Every | AnyOf | AllOf | Impossible
)  # fmt: skip
MEASURED = (MeasuredAtMost, MeasuredAtLeast)


def leaves(condition: Condition) -> Iterator[Condition]:
    """Every condition inside, `any`, `all` and `every` taken apart."""
    if isinstance(condition, AnyOf | AllOf):
        for part in condition.parts:
            yield from leaves(part)
    elif isinstance(condition, Every):
        yield from leaves(condition.start)
        yield from leaves(condition.until)
    else:
        yield condition


def without(condition: Condition, gone: frozenset[str]) -> Condition:
    """The condition in a vessel that does not have the steps `gone`: inside `any` and `all` such parts are left out."""
    if isinstance(condition, After) and condition.is_step and condition.ref in gone:
        return Impossible()
    if isinstance(condition, Before) and condition.ref in gone:
        return Impossible()
    if isinstance(condition, Every):
        return condition._replace(start=without(condition.start, gone), until=without(condition.until, gone))
    if isinstance(condition, AnyOf | AllOf):
        parts = tuple(without(part, gone) for part in condition.parts)
        kept = tuple(part for part in parts if not isinstance(part, Impossible))
        if not kept:
            return Impossible()
        return AnyOf(kept) if isinstance(condition, AnyOf) else AllOf(kept)
    return condition


def step_refs(condition: Condition) -> Iterator[str]:
    """The keys of the steps that it names, by `after` or `before`."""
    for leaf in leaves(condition):
        if isinstance(leaf, Before) or (isinstance(leaf, After) and leaf.is_step):
            yield leaf.ref
