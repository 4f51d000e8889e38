"""Guards of sulfite, sorbate and sweetening."""

from __future__ import annotations

from datetime import timedelta

from fermtui.must.csv_tables import limit
from fermtui.must.preservatives import (
    SO2_SHARE,
    SORBIC_SHARE,
    SWEETEN_AFTER_SORBATE_DAYS,
    WaysOut,
    free_so2_needed_mg_per_l,
    so2_added_mg_per_l,
    sorbate_dose,
    sorbic_acid_mg_per_l,
    sulfite_level,
)
from fermtui.replay.contents import abv_percent
from fermtui.replay.stabilised import (
    ENOUGH_SHARE,
    USUAL_PH,
    dosing_temp_c,
    free_so2_mg_per_l,
    so2_readings,
    sorbated,
    stabilised_at,
    sulfite_times,
    sulfited_at,
    total_so2_mg_per_l,
)
from fermtui.schedule.guards.bottling import not_still
from fermtui.schedule.guards.case import Case, Finding, Point, Value, volume_unknown
from fermtui.schedule.guards.fermenting import ferments
from fermtui.schedule.guards.vessel_state import liquid_l, still

HOUR = timedelta(hours=1)


def sulfite_ceiling(case: Case) -> Finding | None:
    """Refuse sulfite above total 350 mg/L; advise above total 200 (dry wine) or free 50 (can be tasted)."""
    grams = case.number("metabisulfite_g")
    if not grams:
        return None
    litres = liquid_l(case.facts)
    if litres is None:
        return volume_unknown(grams)
    added = so2_added_mg_per_l(grams, litres, case.text("salt") or "potassium")
    total = added + total_so2_mg_per_l(case.facts)
    free = free_so2_mg_per_l(case.facts, case.at) + added
    level = sulfite_level(free, total)
    if level == "fine":
        return None
    values: dict[str, Value] = {
        "metabisulfite_g": grams, "added_mg_per_l": added, "total_mg_per_l": total, "free_mg_per_l": free,
        "measured": bool(so2_readings(case.facts, case.at)),
    }  # fmt: skip
    if level == "total above 350":
        most = limit("so2_total_us")
        fits_g = max(0.0, grams * (1.0 - (total - most) / added))
        values["limit_mg_per_l"] = most
        remedy = Point("less_sulfite", {"fits_g": fits_g, "limit_mg_per_l": most})
        return Finding("refusal", "sulfite_ceiling", Point("sulfite_total", values), Point("sulfite_harms"), remedy)
    if level == "total above 200":
        most = limit("so2_total_dry")
        values["limit_mg_per_l"] = most
        observed = Point("sulfite_total", values)
    else:
        most = limit("so2_free_tasted")
        values["limit_mg_per_l"] = most
        observed = Point("sulfite_free", values)
    return Finding("advice", "sulfite_high", observed, Point("sulfite_tasted"), Point("measure_free"))


def sorbate_while_live(case: Case) -> Finding | None:
    """Refuse sorbate before the gravity has been stable for seven days."""
    if still(case):
        return None
    return Finding(
        "refusal", "sorbate_while_live", not_still(case), Point("sorbate_no_stop"), Point("wait_then_stabilise")
    )


def sorbate_without_sulfite(case: Case) -> Finding | None:
    """Refuse sorbate into a mead without sulfite since pitching."""
    if sulfited_at(case.facts) is not None:
        return None
    observed = Point("no_sulfite", {"before_at": max(sulfite_times(case.facts), default=None)})
    return Finding("refusal", "sorbate_without_sulfite", observed, Point("sorbate_alone"), Point("sulfite_first"))


def sorbate_unfit(case: Case) -> Finding | None:
    """Refuse sorbate where no dose helps: malolactic, pH above 3.5, below 10 % vol; ask for an unknown pH."""
    facts = case.facts
    ph, strength = _ph(case), abv_percent(facts)
    if strength is None:
        return None
    inside = min(7.0, max(2.0, ph)) if ph is not None else 3.3
    dose = sorbate_dose(1.0, inside, min(25.0, strength), malolactic=facts.malolactic)
    if isinstance(dose, WaysOut):
        observed = Point("sorbate_unfit", {"because": dose.because, "ph": ph, "abv_percent": strength})
        key = "sorbate_malolactic" if facts.malolactic else "sorbate_outside"
        return Finding("refusal", key, observed, Point("sorbate_geranium" if facts.malolactic else "sorbate_weak"),
                       Point("ways_out", {"ways": dose.ways}))  # fmt: skip
    if ph is None:
        observed = Point("ph_unknown")
        return Finding("advice", "sorbate_ph_unknown", observed, Point("sorbate_needs_acid"), Point("measure_ph"))
    return None


def _ph(case: Case) -> float | None:
    given = case.number("ph")
    return given if given is not None else case.facts.ph


def sorbate_ceiling(case: Case) -> Finding | None:
    """Refuse more than 200 mg/L of sorbic acid, all doses together."""
    grams = case.number("sorbate_g")
    if not grams:
        return None
    litres = liquid_l(case.facts)
    if litres is None:
        return volume_unknown(grams)
    # The facts keep the salt as it was weighed.
    before = case.facts.sorbate_mg_per_l * SORBIC_SHARE
    total, most = before + sorbic_acid_mg_per_l(grams, litres), limit("sorbic_acid")
    if total <= most:
        return None
    fits_g = max(0.0, (most - before) / SORBIC_SHARE * litres / 1000.0)
    observed = Point("sorbate_total", {
        "sorbate_g": grams, "sorbic_mg_per_l": total, "before_mg_per_l": before, "limit_mg_per_l": most,
    })  # fmt: skip
    return Finding(
        "refusal", "sorbate_ceiling", observed, Point("sorbate_tasted"), Point("less_sorbate", {"fits_g": fits_g})
    )


def sweeten_while_live(case: Case) -> Finding | None:
    """Refuse to sweeten while it ferments; advise against it before it is stabilised."""
    kept = stabilised_at(case.facts, case.at)
    if kept is None:
        if not still(case):
            return Finding("refusal", "sweeten_while_live", not_still(case), Point("honey_ferments"),
                           Point("wait_then_stabilise"))  # fmt: skip
        if case.facts.keep in ("cold", "heat"):
            return None  # nothing is to hold it but the cold, or the heat of the same day
        missing = tuple(
            name
            for name, there in (("sulfite", sulfited_at(case.facts) is not None), ("sorbate", sorbated(case.facts)))
            if not there
        )
        observed = Point("not_stabilised", {"missing": missing, "sg": case.facts.sg})
        return Finding("advice", "sweeten_unstabilised", observed, Point("honey_ferments"), Point("stabilise_first"))
    waited = (case.at - kept) / HOUR
    if waited >= SWEETEN_AFTER_SORBATE_DAYS * 24.0:
        return None
    observed = Point("stabilised_just_now", {"hours": max(0.0, waited)})
    return Finding("advice", "sweeten_too_soon", observed, Point("needs_time"),
                   Point("wait_days", {"days": SWEETEN_AFTER_SORBATE_DAYS}))  # fmt: skip


def sulfite_while_live(case: Case) -> Finding | None:
    """Advise against sulfite into a mead of which no readings show that it has stopped."""
    if not case.number("metabisulfite_g") or not ferments(case):
        return None
    observed = not_still(case)
    return Finding("advice", "sulfite_while_live", observed, Point("sulfite_no_stop"), Point("wait_then_stabilise"))


def sulfite_short(case: Case) -> Finding | None:
    """Say that a dose after the ferment is below 0.8 of what its pH asks for, and what would do."""
    grams, litres, strength = case.number("metabisulfite_g"), liquid_l(case.facts), abv_percent(case.facts)
    if not grams or litres is None or strength is None or case.facts.pitched_at is None or ferments(case):
        return None
    share = SO2_SHARE[case.text("salt") or "potassium"]
    ph = USUAL_PH if _ph(case) is None else min(7.0, max(2.0, _ph(case) or USUAL_PH))
    needed = free_so2_needed_mg_per_l(ph, dosing_temp_c(case.facts, case.at), min(25.0, strength))
    before = free_so2_mg_per_l(case.facts, case.at)
    if before + 1000.0 * grams * share / litres >= ENOUGH_SHARE * needed:
        return None
    enough_g = max(0.0, needed - before) * litres / 1000.0 / share
    return _short("sulfite_short", grams, enough_g, ph)


def sorbate_short(case: Case) -> Finding | None:
    """Say that the sorbate is below 0.8 of the dose for its strength and pH, and what would do."""
    grams, litres, strength = case.number("sorbate_g"), liquid_l(case.facts), abv_percent(case.facts)
    if grams is None or litres is None or strength is None:
        return None
    ph = USUAL_PH if _ph(case) is None else min(7.0, max(2.0, _ph(case) or USUAL_PH))
    dose = sorbate_dose(1.0, ph, min(25.0, strength), malolactic=case.facts.malolactic)
    if isinstance(dose, WaysOut):
        return None  # sorbate_unfit says so
    enough_g = dose.potassium_sorbate_g * litres - case.facts.sorbate_mg_per_l * litres / 1000.0
    if grams >= enough_g - (1.0 - ENOUGH_SHARE) * dose.potassium_sorbate_g * litres:
        return None
    return _short("sorbate_short", grams, enough_g, ph)


def _short(key: str, grams: float, enough_g: float, ph: float) -> Finding:
    observed = Point("half_measure", {"mass_g": grams, "acid_ph": ph})
    return Finding("advice", key, observed, Point("holds_nothing_back"), Point("give_enough", {"enough_g": enough_g}))
