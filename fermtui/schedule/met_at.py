"""The instant at which a condition was met by what has been written down, or will be by the calendar alone.

`drop`, `until` and the answering of entries ask this: no forecast enters here. With it a gravity counts that was
reached in any stretch between two additions, for what was dropped or done stays so when fruit goes in.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from fermtui.replay.stability import END_SLACK_SG
from fermtui.schedule.conditions import (
    AbvAtLeast,
    After,
    AllOf,
    AnyOf,
    AtEnd,
    AtOnce,
    Before,
    Condition,
    Every,
    GravityAtMost,
    Impossible,
    On,
    StableDays,
    SugarSpent,
)
from fermtui.schedule.context import Scene
from fermtui.schedule.days import EARLIEST, FARTHEST, days_after, in_utc, months_after, start_of_day

FEED_RISE_SG = 0.020  # of one feed at most: careful guess, no source


def known_at(condition: Condition, scene: Scene) -> datetime | None:
    """When the condition was met, or the date on which the calendar will meet it; None when that is not known."""
    return _KNOWN[type(condition)](condition, scene)


def shifted(base: datetime, span: After, scene: Scene) -> datetime:
    """`base` moved by the condition's days, months or hours; a day or month means the start of that day."""
    if span.days:
        return days_after(base, span.days, scene.zone)
    if span.months:
        return months_after(base, span.months, scene.zone)
    return min(in_utc(base), FARTHEST) + timedelta(hours=span.hours)


def shifted_back(base: datetime, span: Before, scene: Scene) -> datetime:
    """`base` moved back by the condition's days or hours."""
    if span.days:
        return days_after(base, -span.days, scene.zone)
    return max(in_utc(base), EARLIEST) - timedelta(hours=span.hours)


def answered_at(key: str, scene: Scene) -> datetime | None:
    """When a step was done, skipped or dropped, as far as the entries say it."""
    settled = scene.settled.get(key)
    if settled is not None:
        return settled.at
    step = scene.step(key)
    if step is None or step.drop is None:
        return None
    return known_at(step.drop, scene)


def wanted_abv(condition: AbvAtLeast, scene: Scene) -> float:
    """The strength that the condition means for this vessel's yeast, % vol."""
    tolerance = scene.plan.yeast.tolerance_abv
    if condition.below_tolerance is None or tolerance is None:
        return condition.percent
    return tolerance - condition.below_tolerance


def sg_at_spent(g0: float, share: float) -> float:
    """The gravity at which `share` of the sugar is spent: 1.066 for a third of 1.099."""
    return g0 - share * (g0 - 1.0)


def _after(condition: After, scene: Scene) -> datetime | None:
    base = answered_at(condition.ref, scene) if condition.is_step else scene.events.get(condition.ref)
    return None if base is None else shifted(base, condition, scene)


def _before(condition: Before, scene: Scene) -> datetime | None:
    base = answered_at(condition.ref, scene)
    return None if base is None else shifted_back(base, condition, scene)


def _spent(condition: SugarSpent, scene: Scene) -> datetime | None:
    if scene.facts.g0 is None:
        return None
    return scene.ever_at_or_below(lambda g0: sg_at_spent(g0, condition.share))


def _abv(condition: AbvAtLeast, scene: Scene) -> datetime | None:
    percent = wanted_abv(condition, scene)
    if scene.facts.peak_abv_percent < percent:
        return None
    sg = scene.sg_of_abv(percent)
    at = None if sg is None else scene.at_or_below(sg)
    if at is not None:
        return at
    return scene.newest[0] if scene.newest else scene.facts.last_at


def _all(condition: AllOf, scene: Scene) -> datetime | None:
    last: datetime | None = None
    for part in condition.parts:
        if isinstance(part, After) and part.where_done and part.ref not in scene.events:
            continue
        at = known_at(part, scene)
        if at is None:
            return None
        last = at if last is None or at > last else last
    return last


def _any(condition: AnyOf, scene: Scene) -> datetime | None:
    times = [at for at in (known_at(part, scene) for part in condition.parts) if at is not None]
    return min(times) if times else None


_KNOWN: dict[type, Callable[[Any, Scene], datetime | None]] = {
    AtOnce: lambda _condition, scene: scene.facts.first_at,
    After: _after,
    Before: _before,
    GravityAtMost: lambda condition, scene: scene.ever_at_or_below(condition.sg),
    SugarSpent: _spent,
    AbvAtLeast: _abv,
    StableDays: lambda condition, scene: scene.stable_since(condition.days),
    AtEnd: lambda _condition, scene: scene.ever_at_or_below(scene.facts.end + END_SLACK_SG),
    On: lambda condition, scene: start_of_day(condition.day, scene.zone),
    Every: lambda condition, scene: known_at(condition.start, scene),
    AnyOf: _any,
    AllOf: _all,
    Impossible: lambda _condition, _scene: None,
}
