"""Compute what guards ask of a vessel: litres, strength, sugar spent, whether it has stopped."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from fermtui.replay.contents import ledger_must
from fermtui.replay.facts import Facts, Reading
from fermtui.replay.refermentable import SWEET_END_SG, finished, refermentable
from fermtui.replay.stabilised import stabilised_at
from fermtui.replay.stability import (
    FRESH,
    SAME_DAY,
    WARM_ENOUGH_C,
    at_end_now,
    calm_level,
    calm_run,
    calm_runs,
    stable_now,
)
from fermtui.schedule.guards.case import Case

STILL_DAYS = 7.0
WATCH = timedelta(days=7)
WATCH_SPAN = timedelta(days=3)
SWEET_END_DAYS = 60.0
DRY_SG = 1.000
LEAST_L = 0.01


def has_must(facts: Facts, at: datetime) -> bool:
    """Tell whether there is a must in the vessel."""
    begun = [when for when in (facts.mixed_at, facts.pitched_at) if when is not None]
    if begun:
        return min(begun) <= at
    return facts.parent is not None and facts.water_g > 0.0


def liquid_l(facts: Facts) -> float | None:
    """Return the litres of liquid without pulp, or None when the volume is not known or next to nothing."""
    if not facts.volume_known or (facts.level_l is not None and facts.level_l < LEAST_L):
        return None
    must = ledger_must(facts)
    return must.held_l if must is not None and must.held_l >= LEAST_L else None


def spent_percent(facts: Facts) -> float | None:
    """Return the sugar spent, 0 to 100 %, or None without a gravity."""
    if facts.spent_frozen_percent is not None:
        return facts.spent_frozen_percent
    if facts.g0 is None or facts.sg is None or facts.g0 <= DRY_SG + 0.001:
        return None
    return min(100.0, max(0.0, 100.0 * (facts.g0 - facts.sg) / (facts.g0 - 1.0)))


def watch_since(facts: Facts, at: datetime) -> datetime | None:
    """When the watch of a stabilised mead began: at stabilising, or at what was added after it."""
    begun = stabilised_at(facts, at)
    if begun is None or facts.last_addition_at is None:
        return begun
    return max(begun, facts.last_addition_at)


def watch_readings(facts: Facts, at: datetime) -> tuple[Reading, ...]:
    """The steady readings of that watch, oldest first; a step in between begins it anew."""
    begun = watch_since(facts, at)
    return () if begun is None else tuple(reading for reading in calm_run(facts, at) if reading.at >= begun)


def watch_is_over(facts: Facts, at: datetime) -> bool:
    """Tell whether seven days were watched: two or more steady readings over three days, the newest after a week.

    Common practice, no source (readings on days 3 and 7).
    """
    begun = watch_since(facts, at)
    if begun is None:
        return False
    runs = (tuple(reading for reading in run if reading.at >= begun) for run in calm_runs(facts, at))
    return any(_was_watched(run, begun, facts, at) for run in runs)


def _was_watched(run: Sequence[Reading], begun: datetime, facts: Facts, at: datetime) -> bool:
    """Whether these readings, of one instrument, were taken over that watch."""
    if len(run) < 2 or at - run[-1].at > FRESH:
        return False
    if run[0].by is not None and all(one.by is not None for one in facts.since_addition if begun <= one.at <= at):
        return False  # a sensor drifts: one by hand is wanting
    since = [r for r in facts.since_addition if begun <= r.at <= at and r.by == run[0].by]
    if len(run) < len([r for r in since if r.temp_c is None or r.temp_c >= WARM_ENOUGH_C]):
        begun = run[0].at
    return run[-1].at - begun >= WATCH - SAME_DAY and run[-1].at - run[0].at >= WATCH_SPAN - SAME_DAY


def still(case: Case, days: float = STILL_DAYS) -> bool:
    """Tell whether the gravity is stable over so many days at the entry's time."""
    return stable_now(case.facts, days, case.at)


def sweet_end(case: Case) -> bool:
    """Tell whether the plan is to stop sweet by itself."""
    return case.facts.end > SWEET_END_SG


def at_planned_sweetness(case: Case) -> bool:
    """Tell whether a mead that is meant to stop sweet has come down to where it was meant to stop.

    A plan to sweeten (`sweet = 1.012`) is none to stop there: what stops there by itself has stalled.
    """
    return sweet_end(case) and at_end_now(case.facts)


def only_by_sensor(facts: Facts, at: datetime) -> bool:
    """Tell whether nothing but a sensor, which drifts, has read it since it grew calm: then one by hand is wanting."""
    return bool(calm_run(facts, at)) and calm_level(facts, at) is None


def ready_by(case: Case) -> str | None:
    """Return why it may be bottled: "stabilised", "dry" (it is known to be at its end), "sweet end", or None."""
    facts = case.facts
    if facts.racked_at is not None and watch_is_over(facts, case.at):
        return "stabilised"
    if finished(facts, case.at) is not None:
        return "dry"
    sweet = facts.sweetened_g <= 0.0 and at_planned_sweetness(case) and still(case, SWEET_END_DAYS)
    if sweet and not only_by_sensor(facts, case.at):
        return "sweet end"
    return None


def could_referment_g_per_l(case: Case) -> float:
    """Return the sugar that live yeast could still ferment, in g/L, down to the lowest plausible end."""
    left = refermentable(case.facts, case.at)
    return 0.0 if left is None else left.g_per_l


def alive(case: Case) -> bool:
    """Tell whether it counts as fermenting: pitched, and not ready to bottle."""
    return case.facts.pitched_at is not None and case.facts.pitched_at <= case.at and ready_by(case) is None
