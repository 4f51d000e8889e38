"""Guards of a live ferment: sulfite and heat at pitching, the yeast's tolerance at feeding, racking too early."""

from __future__ import annotations

from datetime import timedelta

from fermtui.must.preservatives import PITCH_AFTER_SULFITE_H
from fermtui.replay.stabilised import sulfite_times
from fermtui.replay.stability import ROUNDING_SG
from fermtui.schedule.guards.case import Case, Finding, Point
from fermtui.schedule.guards.vessel_state import abv_percent, still

HOT_C = 30.0
"""Common practice, no source: above it most yeast is harmed."""
HOUR = timedelta(hours=1)
STILL_THAT_WARM = timedelta(hours=3)
COOLED_BY = timedelta(hours=12)
WELL_ABOVE_END_SG = 0.020  # common practice, no source


def after_sulfite(case: Case) -> Finding | None:
    """Refuse to pitch within 24 hours of sulfite."""
    last = max((at for at in sulfite_times(case.facts) if at <= case.at), default=None)
    if last is None:
        return None
    hours = (case.at - last) / HOUR
    if hours >= PITCH_AFTER_SULFITE_H:
        return None
    so2 = sum(dose.so2_mg_per_l for dose in case.facts.sulfite if dose.at == last)
    observed = Point("sulfited_hours_ago", {"hours": hours, "so2_mg_per_l": so2 or None})
    remedy = Point("wait_until", {"at": last + PITCH_AFTER_SULFITE_H * HOUR, "hours": PITCH_AFTER_SULFITE_H - hours})
    return Finding("refusal", "pitch_after_sulfite", observed, Point("sulfite_kills_yeast"), remedy)


def hot_must(case: Case) -> Finding | None:
    """Refuse to pitch into a must above 30 °C; advise to measure one that was heated today."""
    temp_c = case.number("temp_c")
    if temp_c is None:
        recent = [
            r for r in case.facts.readings
            if r.temp_c is not None and timedelta(0) <= case.at - r.at <= STILL_THAT_WARM
        ]  # fmt: skip
        temp_c = recent[-1].temp_c if recent else None
    if temp_c is None:
        return _heated_today(case)
    if temp_c <= HOT_C:
        return None
    observed, reason = Point("hot_must", {"temp_c": temp_c}), Point("heat_kills_yeast", {"temp_c": HOT_C})
    return Finding("refusal", "pitch_hot", observed, reason, Point("cool_below", {"temp_c": HOT_C}))


def _heated_today(case: Case) -> Finding | None:
    heated = [a.at for a in case.facts.acts if a.did == "heat" and timedelta(0) <= case.at - a.at < COOLED_BY]
    if not heated:
        return None
    observed = Point("heated_hours_ago", {"hours": (case.at - heated[-1]) / HOUR})
    return Finding(
        "advice",
        "pitch_heated",
        observed,
        Point("heat_kills_yeast", {"temp_c": HOT_C}),
        Point("measure_temp", {"temp_c": HOT_C}),
    )


def beyond_tolerance(case: Case) -> Finding | None:
    """Advise against feeding within one % vol of the yeast's tolerance."""
    tolerance, strength = case.tolerance_abv, abv_percent(case.facts)
    if tolerance is None or strength is None or strength < tolerance - 1.0:
        return None
    observed = Point("near_tolerance", {
        "abv_percent": strength, "plus_minus_percent": case.facts.abv_plus_minus, "tolerance_percent": tolerance,
    })  # fmt: skip
    return Finding("advice", "feed_beyond_tolerance", observed, Point("stays_sweet"), Point("stop_feeding"))


def before_its_end(case: Case) -> Finding | None:
    """Advise against racking while the gravity is well above the planned end and not known to be stable."""
    facts = case.facts
    last = facts.after_pitch[-1] if facts.after_pitch else None
    if last is None or last.sg is None or facts.lots or facts.sweetened_g > 0.0 or still(case):
        return None
    if last.sg - case.plan.end <= WELL_ABOVE_END_SG + ROUNDING_SG:
        return None
    days = (case.at.date() - last.at.astimezone(case.at.tzinfo).date()).days
    observed = Point("well_above_end", {"sg": last.sg, "end_sg": case.plan.end, "days": days})
    return Finding("advice", "racked_early", observed, Point("leaves_yeast_behind"), Point("read_before_racking"))
