"""Whether a vessel is in trouble: a second field beside the stage, from what was measured and from the forecast."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, NamedTuple

from fermtui.daybook.head import Plan
from fermtui.replay.facts import Facts, Reading
from fermtui.replay.stability import CALM_SG, ROUNDING_SG, at_end_now, by_instrument, stable_since
from fermtui.replay.stage import nothing_left

if TYPE_CHECKING:
    from fermtui.forecast.forecast import Forecast

STARTS_WITHIN = timedelta(hours=72)  # common practice, no source
STARTED_SG = 0.002
RISING_SG = 0.002
TOO_WARM_C = 30.0  # most wine yeasts suffer above; 34.4 °C for some hours kills (L. Eisenman, Stuck fermentations)
WARMER_THAN_PLAN_C = 5.0


class Trouble(NamedTuple):
    """`kind` is stalled, not started, rising, too warm or slow; `chance` from the forecast where it says so."""

    kind: str
    chance: float | None
    values: dict[str, float]


def with_chance(trouble: Trouble, forecast: Forecast | None) -> Trouble:
    """The same with its chance by the forecast, for which the model is read off; None where it says nothing of it."""
    if forecast is None or trouble.kind not in ("stalled", "not started", "slow"):
        return trouble
    chances = forecast.chances
    by_kind = {"stalled": chances.stalled, "not started": chances.not_started, "slow": chances.slow}
    return trouble._replace(chance=by_kind[trouble.kind])


def trouble_of(facts: Facts, plan: Plan, forecast: Forecast | None, now: datetime) -> Trouble | None:
    """The worst that is the matter with a vessel at the clock, or None; its chance is reckoned by `with_chance`."""
    if facts.pitched_at is None or nothing_left(facts) or facts.sg is None:
        return None
    return (
        _stalled(facts, forecast, now)
        or _not_started(facts, now)
        or _rising(facts)
        or _too_warm(facts, plan, now)
        or _slow(facts, forecast)
    )


def _at_work(facts: Facts) -> bool:
    return facts.sorbate_at is None and facts.sweetened_g <= 0.0 and not facts.lots


def _stalled(facts: Facts, forecast: Forecast | None, now: datetime) -> Trouble | None:
    if not _at_work(facts) or at_end_now(facts) or facts.sg is None or not facts.since_addition:
        return None
    # A reading of long ago says that it stood still then; whether it does now, the next one will show.
    spent = facts.g0 is not None and facts.sg < facts.g0 - 0.010
    still = stable_since(facts, 7, now) is not None and spent
    if not still and (forecast is None or not forecast.is_stalled):
        return None
    return Trouble("stalled", None, {"sg": facts.sg, "end_sg": facts.end})


def _not_started(facts: Facts, now: datetime) -> Trouble | None:
    pitched = facts.pitched_at
    if pitched is None or now - pitched < STARTS_WITHIN or facts.og is None:
        return None
    late = [r for r in facts.after_pitch if r.at - pitched >= STARTS_WITHIN - timedelta(hours=12)]
    if not late or any(_started(readings, facts.og) for readings in by_instrument(facts.after_pitch)):
        return None
    return Trouble("not started", None, {"hours": (now - pitched).total_seconds() / 3600.0})


def _started(readings: Sequence[Reading], og: float) -> bool:
    """Whether the gravity fell: below the original one, or by a sensor below what it showed itself before."""
    gravities = [reading.sg for reading in readings if reading.sg is not None]
    if not gravities:
        return False
    top = og if readings[0].by is None else gravities[0]
    return min(gravities) < top - STARTED_SG


def _rising(facts: Facts) -> Trouble | None:
    readings = by_instrument(facts.since_addition)[0]  # foam and bubbles lift a sensor
    if len(readings) < 2:
        return None
    last, before = readings[-1].sg, readings[-2].sg
    if last is None or before is None or last - before <= RISING_SG + CALM_SG + ROUNDING_SG:
        return None
    return Trouble("rising", None, {"from_sg": before, "to_sg": last})


def _too_warm(facts: Facts, plan: Plan, now: datetime) -> Trouble | None:
    last = next((r for r in reversed(facts.readings) if r.temp_c is not None), None)
    if last is None or last.temp_c is None or now - last.at > timedelta(days=3) or not _at_work(facts):
        return None
    if facts.pitched_at is None or last.at < facts.pitched_at or at_end_now(facts):
        return None
    limit = TOO_WARM_C if plan.temp_c is None else min(TOO_WARM_C, plan.temp_c + WARMER_THAN_PLAN_C)
    return Trouble("too warm", None, {"temp_c": last.temp_c, "limit_c": limit}) if last.temp_c > limit else None


def _slow(facts: Facts, forecast: Forecast | None) -> Trouble | None:
    if forecast is None or at_end_now(facts) or not _at_work(facts) or not forecast.is_slow:
        return None
    return Trouble("slow", None, {})
