"""Guards of a dose: its size and time, and when and how much inorganic nitrogen may be given."""

from __future__ import annotations

from datetime import timedelta

from fermtui.must.nutrients import (
    DAP_N_PERCENT,
    LAST_INORGANIC_ABV,
    LAST_INORGANIC_SPENT,
    ORGANIC_MOST_G_PER_L,
    SPENT_SLACK,
    dap_room_g,
    instead_autolysate_g,
)
from fermtui.replay.contents import abv_percent
from fermtui.schedule.doses import at_third_break, nitrogen_mg, totals_g
from fermtui.schedule.guards.case import Case, Finding, Point, Value, volume_unknown
from fermtui.schedule.guards.vessel_state import liquid_l, spent_percent

BETWEEN_DOSES = timedelta(hours=12)
"""Common practice, no source: a dose is taken up before the next one goes in."""
FAR_ABOVE = 1.5
"""Times the plan's nitrogen: our limit, no source."""
ROUNDED = 1.05
HOUR = timedelta(hours=1)
ORGANIC = {"autolysate_g": "autolysate", "complex_g": "complex nutrient"}
TINY_G = 1e-6


def soon_after_last(case: Case) -> Finding | None:
    """Advise against a dose within twelve hours of the last one."""
    last = max((act.at for act in case.facts.acts if act.did == "dose" and act.at <= case.at), default=None)
    if last is None or case.at - last >= BETWEEN_DOSES:
        return None
    observed = Point("dosed_hours_ago", {"hours": (case.at - last) / HOUR})
    return Finding(
        "advice", "dose_soon", observed, Point("dose_at_once"), Point("wait_until", {"at": last + BETWEEN_DOSES})
    )


def beyond_need(case: Case) -> Finding | None:
    """Refuse more of one organic nutrient than any must needs, all doses together: a slip of the decimal point."""
    litres = liquid_l(case.facts)
    if litres is None:
        return None
    planned = planned_g(case)
    for field, name in ORGANIC.items():
        dose_g, before_g = case.number(field) or 0.0, getattr(case.facts, field)
        most_g = max(ORGANIC_MOST_G_PER_L * litres, FAR_ABOVE * planned.get(field, 0.0))
        if dose_g <= 0.0 or before_g + dose_g <= most_g + TINY_G:
            continue
        observed = Point("organic_total", {
            "dose_g": dose_g, "nutrient": name, "total_g_per_l": (before_g + dose_g) / litres,
            "limit_g_per_l": most_g / litres,
        })  # fmt: skip
        remedy = Point("check_amount", plan_values(case))
        return Finding("refusal", "dose_beyond_need", observed, Point("nitrogen_left_over"), remedy)
    return None


def above_plan(case: Case) -> Finding | None:
    """Advise against far more nitrogen than the plan has in all, below what is refused."""
    planned, litres = planned_mg(case), liquid_l(case.facts)
    dose = nitrogen_mg({name: case.number(name) or 0.0 for name in ("dap_g", *ORGANIC)}, case.nutrients)
    total = given_mg(case) + dose
    # A whole plan's worth in one dose is a slip of the pen too, though it be the first.
    if planned <= 0.0 or litres is None or (total <= FAR_ABOVE * planned and dose <= ROUNDED * planned):
        return None
    if beyond_need(case) is not None or above_ceiling(case) is not None:
        return None
    observed = Point("nitrogen_above_plan", {"total_mg_per_l": total / litres, "planned_mg_per_l": planned / litres})
    remedy = Point("check_amount", plan_values(case))
    return Finding("advice", "dose_above_plan", observed, Point("nitrogen_left_over"), remedy)


def planned_g(case: Case) -> dict[str, float]:
    """Return the grams of each nutrient in all doses of the plan; empty where they cannot be computed."""
    return totals_g(case.facts, case.plan, case.nutrients)


def planned_mg(case: Case) -> float:
    """Return the nitrogen in all doses of the plan, mg; a complex nutrient counts by its label."""
    return nitrogen_mg(planned_g(case), case.nutrients)


def given_mg(case: Case) -> float:
    """Return the nitrogen given so far, mg, as far as it is still in the vessel."""
    facts = case.facts
    given = {"dap_g": facts.dap_g, "autolysate_g": facts.autolysate_g, "complex_g": facts.complex_g}
    return nitrogen_mg(given, case.nutrients)


def plan_values(case: Case) -> dict[str, Value]:
    """Return what the plan has in all, as values of a sentence."""
    return {f"plan_{name}": mass_g for name, mass_g in planned_g(case).items() if mass_g > 0.0}


def too_strong(case: Case) -> Finding | None:
    """Refuse DAP above about 9 % vol."""
    dap_g, strength = case.number("dap_g"), abv_percent(case.facts)
    if not dap_g or strength is None or strength <= LAST_INORGANIC_ABV:
        return None
    observed = Point("dap_too_strong", {
        "dap_g": dap_g, "abv_percent": strength, "plus_minus_percent": case.facts.abv_plus_minus,
        "limit_percent": LAST_INORGANIC_ABV,
    })  # fmt: skip
    remedy = Point("autolysate_if_slow", {"autolysate_g": _autolysate_g(case, dap_g)})
    return Finding("refusal", "dap_too_strong", observed, Point("dap_not_taken"), remedy)


def past_third(case: Case) -> Finding | None:
    """Advise against DAP after the one-third sugar break."""
    dap_g, spent, strength = case.number("dap_g"), spent_percent(case.facts), abv_percent(case.facts)
    if not dap_g or spent is None or spent <= 100.0 * (LAST_INORGANIC_SPENT + SPENT_SLACK):
        return None
    if (strength is not None and strength > LAST_INORGANIC_ABV) or at_third_break(case.facts, case.at):
        return None
    g0 = case.facts.g0
    observed = Point("dap_past_third", {
        "dap_g": dap_g, "spent_percent": spent, "sg": case.facts.sg,
        "break_sg": None if g0 is None else 1.0 + (g0 - 1.0) * (1.0 - LAST_INORGANIC_SPENT),
    })  # fmt: skip
    remedy = Point("autolysate_instead", {"autolysate_g": _autolysate_g(case, dap_g)})
    return Finding("advice", "dap_past_third", observed, Point("dap_less_taken"), remedy)


def above_ceiling(case: Case) -> Finding | None:
    """Refuse more DAP than the legal limit, all doses together."""
    dap_g, litres = case.number("dap_g"), liquid_l(case.facts)
    if not dap_g:
        return None
    if litres is None:
        return volume_unknown(dap_g)
    room_g = dap_room_g(litres, case.facts.dap_g)
    if dap_g <= room_g + 1e-6:
        return None
    total = (case.facts.dap_g + dap_g) / litres
    observed = Point("dap_total", {
        "dap_g": dap_g, "before_g": case.facts.dap_g, "total_g_per_l": total, "limit_g_per_l": dap_room_g(1.0, 0.0),
    })  # fmt: skip
    remedy = Point("less_dap", {"fits_g": room_g, "autolysate_g": _autolysate_g(case, dap_g - room_g)})
    nitrogen_mg = given_mg(case) + 10.0 * DAP_N_PERCENT * dap_g
    if nitrogen_mg > FAR_ABOVE * (planned_mg(case) or DAP_N_PERCENT * 10.0 * dap_room_g(litres, 0.0)):
        remedy = Point("check_amount", plan_values(case))  # a replacement for a slip of the pen helps nobody
    return Finding("refusal", "dap_ceiling", observed, Point("dap_law"), remedy)


def _autolysate_g(case: Case, dap_g: float) -> float:
    """Return the grams of autolysate with the same nitrogen, by its label; for DAP up to the legal limit."""
    label, litres = case.nutrients, liquid_l(case.facts)
    if litres is not None:
        dap_g = min(dap_g, dap_room_g(litres, 0.0))
    return instead_autolysate_g(
        dap_g, autolysate_n_percent=label.autolysate_n_percent, autolysate_effect=label.autolysate_effect
    )
