"""Guards of a live ferment: sulfite and heat at pitching, the yeast's tolerance at feeding, racking too early."""

from __future__ import annotations

from datetime import timedelta

from fermtui.must.preservatives import PITCH_AFTER_SULFITE_H
from fermtui.replay.contents import abv_percent
from fermtui.replay.stabilised import sulfite_times
from fermtui.replay.stability import ROUNDING_SG, at_end_since, stable_since
from fermtui.schedule.guards.case import Case, Finding, Point
from fermtui.schedule.guards.vessel_state import STILL_DAYS, still

HOT_C = 30.0
"""Common practice, no source: above it most yeast is harmed."""
HOUR = timedelta(hours=1)
STILL_THAT_WARM = timedelta(hours=3)
COOLED_BY = timedelta(hours=12)
COLD_C = 10.0
"""Below it most yeast does not start: common practice, no source."""
LOW_PH = 3.0
"""Below it yeast slows or stops: common practice, no source."""
STRONG_ABV = 8.0
"""From here on yeast that is fresh from the packet is harmed by the alcohol: common practice, no source."""
KILLS_C = 40.0
"""Mead is heated above it to kill yeast, and warmed below it: common practice, no source."""
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
    if last.sg - case.facts.end <= WELL_ABOVE_END_SG + ROUNDING_SG:
        return None
    days = (case.at.date() - last.at.astimezone(case.at.tzinfo).date()).days
    observed = Point("well_above_end", {"sg": last.sg, "end_sg": case.facts.end, "days": days})
    return Finding("advice", "racked_early", observed, Point("leaves_yeast_behind"), Point("read_before_racking"))


def cold_must(case: Case) -> Finding | None:
    """Advise against a pitch into a must below 10 °C."""
    temp_c = case.number("temp_c")
    if temp_c is None or temp_c >= COLD_C:
        return None
    observed = Point("hot_must", {"temp_c": temp_c})
    return Finding("advice", "pitch_cold", observed, Point("cold_sleeps", {"temp_c": COLD_C}), Point("warm_first"))


def sour_must(case: Case) -> Finding | None:
    """Advise to mend a pH below 3.0 before or during the ferment; a finished mead may be as sour."""
    given = case.number("ph")
    ph = case.facts.ph if given is None and case.did == "pitch" else given
    if ph is None or ph >= LOW_PH or (case.facts.pitched_at is not None and not ferments(case)):
        return None
    return Finding("advice", "ph_low", Point("sour", {"acid_ph": ph}), Point("sour_stops"), Point("carbonate"))


def into_strong(case: Case) -> Finding | None:
    """Say what a second pitch needs in a mead of 8 % vol and more."""
    strength = abv_percent(case.facts)
    if case.facts.pitched_at is None or strength is None or strength < STRONG_ABV:
        return None
    observed = Point("pitch_into_strong", {"abv_percent": strength, "plus_minus_percent": case.facts.abv_plus_minus})
    return Finding("advice", "pitch_into_strong", observed, Point("alcohol_stuns"), Point("make_starter"))


def aerating_finished(case: Case) -> Finding | None:
    """Advise against air in a mead that has stopped, was racked or was stabilised."""
    facts = case.facts
    if facts.pitched_at is None or (ferments(case) and facts.first_racked_at is None and at_end_since(facts) is None):
        return None
    observed = Point("past_air", {"sg": facts.sg})
    return Finding("advice", "aerate_finished", observed, Point("air_spoils"), Point("no_air"))


def heating_live(case: Case) -> Finding | None:
    """Refuse to heat a live ferment above 40 °C."""
    temp_c = case.number("temp_c")
    if temp_c is None or temp_c <= KILLS_C or case.facts.lots or not ferments(case):
        return None
    observed = Point("heats_live", {"temp_c": temp_c})
    return Finding("refusal", "heating_live_ferment", observed, Point("hot_live_foams"), Point("still_before_heat"))


def ferments(case: Case) -> bool:
    """Whether it was pitched and no readings show that it has stopped since."""
    facts = case.facts
    return facts.pitched_at is not None and stable_since(facts, STILL_DAYS, case.at) is None
