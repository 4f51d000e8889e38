"""Find when a condition was met by the entries, or will be by the calendar alone.

`drop`, `until` and the answering of entries ask this: no forecast enters here. With it a gravity counts that was
reached in any stretch between two additions, for what was dropped or done stays so when fruit goes in.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from fermtui.must.final_gravity import SUGAR_G_PER_L_PER_SG
from fermtui.replay.refermentable import down_to_the_end
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
    GravityAtLeast,
    GravityAtMost,
    Impossible,
    MeasuredAtLeast,
    MeasuredAtMost,
    On,
    StableDays,
    SugarLeftAtMost,
    SugarSpent,
)
from fermtui.schedule.context import Context
from fermtui.schedule.days import EARLIEST, FARTHEST, days_after, in_utc, months_after, start_of_day

ROUNDING = 0.005  # of a pH or a temperature, as meters show them
NO_MORE_FALL_SG_PER_DAY = 0.001  # three days of it are no calm: our line, no source
FEED_RISE_SG = 0.020  # of one feed at most: careful guess, no source


def known_at(condition: Condition, context: Context) -> datetime | None:
    """Return when the condition was met, or the date on which the calendar will meet it; None when unknown."""
    return _KNOWN[type(condition)](condition, context)


def shifted(base: datetime, span: After, context: Context) -> datetime:
    """Move `base` on by the condition's days, weeks, months or hours; all but hours mean the start of that day."""
    if span.days or span.weeks:
        return days_after(base, span.days + 7 * span.weeks, context.zone)
    if span.months:
        return months_after(base, span.months, context.zone)
    return min(in_utc(base), FARTHEST) + timedelta(hours=span.hours)


def shifted_back(base: datetime, span: Before, context: Context) -> datetime:
    """Move `base` back by the condition's days, weeks or hours."""
    if span.days or span.weeks:
        return days_after(base, -span.days - 7 * span.weeks, context.zone)
    return max(in_utc(base), EARLIEST) - timedelta(hours=span.hours)


def answered_at(key: str, context: Context) -> datetime | None:
    """Return when a step was done, skipped or dropped by the entries; None while it is open."""
    settled = context.settled.get(key)
    if settled is not None:
        return settled.at
    step = context.step(key)
    if step is None or step.drop is None:
        return None
    return known_at(step.drop, context)


def opens_at(condition: Condition, context: Context) -> datetime | None:
    """When a step may come due at the earliest, by the entries and the calendar; None while that is not in sight.

    What has to come before it is asked from then on. What only the forecast knows opens nothing, nor does a step that
    is still to be done; of a calm it is enough that it has begun, and the newest reading no longer falls much.
    """
    if isinstance(condition, AllOf):
        opened = [opens_at(part, context) for part in counting_parts(condition, context)]
        known = [at for at in opened if at is not None]
        return max(known, default=None) if len(known) == len(opened) else None
    if isinstance(condition, AnyOf):
        return min((at for part in condition.parts if (at := opens_at(part, context)) is not None), default=None)
    if isinstance(condition, StableDays) and context.steady and not _still_falls(context):
        return context.steady[0].at + timedelta(days=condition.days)
    return known_at(condition, context)


def _still_falls(context: Context) -> bool:
    """Tell whether the newest reading lies more than a point a day below the one before it, where it stands alone."""
    if len(context.steady) > 1 or len(context.gravities) < 2:
        return False
    (earlier, before), (later, now) = context.gravities[-2:]
    return before - now > NO_MORE_FALL_SG_PER_DAY * max(1.0, (later - earlier) / timedelta(days=1))


def counting_parts(condition: AllOf, context: Context) -> list[Condition]:
    """Leave out the `where_done` parts whose event never happened in this vessel."""
    return [
        part
        for part in condition.parts
        if not (isinstance(part, After) and part.where_done and part.ref not in context.events)
    ]


def wanted_abv(condition: AbvAtLeast, context: Context) -> float:
    """Return the strength that the condition means for this vessel's yeast, % vol."""
    tolerance = context.plan.yeast.tolerance_abv
    if condition.below_tolerance is None or tolerance is None:
        return condition.percent
    return tolerance - condition.below_tolerance


def sg_at_spent(g0: float, share: float) -> float:
    """Return the gravity at which `share` of the sugar is spent: 1.066 for a third of 1.099."""
    return g0 - share * (g0 - 1.0)


def fits(condition: MeasuredAtMost | MeasuredAtLeast, value: float) -> bool:
    """Tell whether a reading fits, at the precision to which meters are read."""
    if isinstance(condition, MeasuredAtMost):
        return value <= condition.limit + ROUNDING
    return value >= condition.limit - ROUNDING


def sg_of_sugar_left(condition: SugarLeftAtMost, context: Context) -> float:
    """Return the gravity at which no more than so much may still ferment, down to the lowest plausible end."""
    return down_to_the_end(context.facts, context.now).end_sg + condition.g_per_l / SUGAR_G_PER_L_PER_SG


def _after(condition: After, context: Context) -> datetime | None:
    base = answered_at(condition.ref, context) if condition.is_step else context.events.get(condition.ref)
    return None if base is None else shifted(base, condition, context)


def _before(condition: Before, context: Context) -> datetime | None:
    base = answered_at(condition.ref, context)
    return None if base is None else shifted_back(base, condition, context)


def _spent(condition: SugarSpent, context: Context) -> datetime | None:
    if context.facts.g0 is None:
        return None
    return context.ever_at_or_below(lambda g0: sg_at_spent(g0, condition.share))


def _abv(condition: AbvAtLeast, context: Context) -> datetime | None:
    percent = wanted_abv(condition, context)
    if context.facts.peak_abv_percent < percent:
        return None
    sg = context.sg_of_abv(percent)
    at = None if sg is None else context.at_or_below(sg)
    if at is not None:
        return at
    return context.newest[0] if context.newest else context.facts.last_at


def _all(condition: AllOf, context: Context) -> datetime | None:
    last: datetime | None = None
    for part in counting_parts(condition, context):
        at = known_at(part, context)
        if at is None:
            return None
        last = at if last is None or at > last else last
    return last


def _any(condition: AnyOf, context: Context) -> datetime | None:
    times = [at for at in (known_at(part, context) for part in condition.parts) if at is not None]
    return min(times) if times else None


def _ever_measured(condition: MeasuredAtMost | MeasuredAtLeast, context: Context) -> datetime | None:
    """What was left out by a reading stays so: the first one that fits counts."""
    return next((at for at, value in context.measured(condition.what) if fits(condition, value)), None)


_KNOWN: dict[type, Callable[[Any, Context], datetime | None]] = {
    AtOnce: lambda _condition, context: context.facts.first_at,
    After: _after,
    Before: _before,
    GravityAtMost: lambda condition, context: context.ever_at_or_below(condition.sg) or context.facts.ended_at,
    GravityAtLeast: lambda condition, context: context.at_or_above(condition.sg),
    MeasuredAtMost: _ever_measured,
    MeasuredAtLeast: _ever_measured,
    SugarLeftAtMost: lambda condition, context: context.ever_at_or_below(sg_of_sugar_left(condition, context)),
    SugarSpent: _spent,
    AbvAtLeast: _abv,
    StableDays: lambda condition, context: context.stable_since(condition.days),
    AtEnd: lambda _condition, context: (
        context.facts.ended_at or context.ever_at_or_below(context.facts.end + END_SLACK_SG)
    ),
    On: lambda condition, context: start_of_day(condition.day, context.zone),
    Every: lambda condition, context: known_at(condition.start, context),
    AnyOf: _any,
    AllOf: _all,
    Impossible: lambda _condition, _context: None,
}
