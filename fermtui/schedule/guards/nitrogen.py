"""Guards of inorganic nitrogen: when the yeast takes it, and how much the law allows."""

from __future__ import annotations

from fermtui.schedule.guards.case import Case
from fermtui.schedule.guards.dose_size import FAR_ABOVE, given_mg, plan_values, planned_mg
from fermtui.schedule.guards.finding import Finding, Point
from fermtui.schedule.guards.vessel_state import abv_percent, liquid_l, spent_percent


def too_strong(case: Case) -> Finding | None:
    """DAP above about 9 % vol."""
    from fermtui.must.nutrients import LAST_INORGANIC_ABV

    dap_g, strength = case.number("dap_g"), abv_percent(case.facts)
    if not dap_g or strength is None or strength <= LAST_INORGANIC_ABV:
        return None
    saw = Point("dap_too_strong", {
        "dap_g": dap_g, "abv_percent": strength, "plus_minus_percent": case.facts.abv_plus_minus,
        "limit_percent": LAST_INORGANIC_ABV,
    })  # fmt: skip
    lifts = Point("autolysate_if_slow", {"autolysate_g": _autolysate_g(case, dap_g)})
    return Finding("refusal", "dap_too_strong", saw, Point("dap_not_taken"), lifts)


def past_third(case: Case) -> Finding | None:
    """DAP after the one-third sugar break."""
    from fermtui.must.nutrients import LAST_INORGANIC_ABV, LAST_INORGANIC_SPENT, SPENT_SLACK

    dap_g, spent, strength = case.number("dap_g"), spent_percent(case.facts), abv_percent(case.facts)
    if not dap_g or spent is None or spent <= 100.0 * (LAST_INORGANIC_SPENT + SPENT_SLACK):
        return None
    if strength is not None and strength > LAST_INORGANIC_ABV:
        return None
    g0 = case.facts.g0
    saw = Point("dap_past_third", {
        "dap_g": dap_g, "spent_percent": spent, "sg": case.facts.sg,
        "break_sg": None if g0 is None else 1.0 + (g0 - 1.0) * (1.0 - LAST_INORGANIC_SPENT),
    })  # fmt: skip
    lifts = Point("autolysate_instead", {"autolysate_g": _autolysate_g(case, dap_g)})
    return Finding("advice", "dap_past_third", saw, Point("dap_less_taken"), lifts)


def above_ceiling(case: Case) -> Finding | None:
    """More DAP than the ceiling, all doses together."""
    from fermtui.must.nutrients import DAP_N_PERCENT, dap_room_g

    dap_g, litres = case.number("dap_g"), liquid_l(case.facts)
    if not dap_g:
        return None
    if litres is None:
        saw = Point("volume_unknown", {"mass_g": dap_g})
        return Finding("advice", "volume_unknown", saw, Point("ceiling_unchecked"), Point("write_level"))
    room_g = dap_room_g(litres, case.facts.dap_g)
    if dap_g <= room_g + 1e-6:
        return None
    total = (case.facts.dap_g + dap_g) / litres
    saw = Point("dap_total", {
        "dap_g": dap_g, "before_g": case.facts.dap_g, "total_g_per_l": total, "limit_g_per_l": dap_room_g(1.0, 0.0),
    })  # fmt: skip
    lifts = Point("less_dap", {"fits_g": room_g, "autolysate_g": _autolysate_g(case, dap_g - room_g)})
    nitrogen_mg = given_mg(case) + 10.0 * DAP_N_PERCENT * dap_g
    if nitrogen_mg > FAR_ABOVE * (planned_mg(case) or DAP_N_PERCENT * 10.0 * dap_room_g(litres, 0.0)):
        lifts = Point("check_amount", plan_values(case))  # a replacement for a slip of the pen helps nobody
    return Finding("refusal", "dap_ceiling", saw, Point("dap_law"), lifts)


def _autolysate_g(case: Case, dap_g: float) -> float:
    """Autolysate of equal nitrogen, by what its label says; for no more DAP than the law allows at all."""
    from fermtui.must.nutrients import dap_room_g, instead_autolysate_g

    label, litres = case.nutrients, liquid_l(case.facts)
    if litres is not None:
        dap_g = min(dap_g, dap_room_g(litres, 0.0))
    return instead_autolysate_g(
        dap_g, autolysate_n_percent=label.autolysate_n_percent, autolysate_effect=label.autolysate_effect
    )
