"""Guards of a sparkling bottle: live yeast, glass and closure made for it."""

from __future__ import annotations

from fermtui.must.bottles import closures
from fermtui.replay.stabilised import sorbated
from fermtui.schedule.guards.bottling import glass_of, held_by_glass, in_the_bottle, primed_g_per_l
from fermtui.schedule.guards.case import Case, Finding, Point
from fermtui.schedule.guards.vessel_state import ready_by

MONTHS_A_YEAR = 12.0


def primed(case: Case) -> bool:
    """Tell whether the bottles are to make their own carbon dioxide."""
    return (case.number("priming_g") or 0.0) > 0.0


def after_sorbate(case: Case) -> Finding | None:
    """Refuse to prime a mead with sorbate in it."""
    facts = case.facts
    if not primed(case) or not sorbated(facts):
        return None
    observed = Point("primed_after_sorbate", {
        "priming_g": case.number("priming_g"), "sorbate_mg_per_l": facts.sorbate_mg_per_l or None,
        "sorbate_at": facts.sorbate_at,
    })  # fmt: skip
    return Finding(
        "refusal", "priming_after_sorbate", observed, Point("sorbate_stops_fizz"), Point("leave_priming_out")
    )


def in_still_glass(case: Case) -> Finding | None:
    """Refuse to prime in glass that is not made for pressure."""
    if not primed(case) or glass_of(case) != "still":
        return None
    observed = Point("primed_in_still_glass", {"priming_g": case.number("priming_g"), "named": case.text("glass")})
    reason = in_the_bottle(case, primed_g_per_l(case))
    return Finding("refusal", "priming_in_still_glass", observed, reason, Point("sparkling_glass"))


def closure_of_pressure(case: Case) -> Finding | None:
    """Refuse to prime under a closure that pressure pushes out."""
    named = _closure_key(case)
    known = next((closure for closure in closures() if closure.key == named), None)
    kind = glass_of(case)
    if known is None or kind == "still" or kind in known.holds or not (primed(case) or _makes_gas(case)):
        return None
    holding = tuple(closure.key for closure in closures() if kind in closure.holds)
    observed = Point("closure_of_pressure", {"closure": known.key, "glass": kind})
    return Finding(
        "refusal", "closure_of_pressure", observed, Point("closure_flies"), Point("take_closure", {"of": holding})
    )


def _makes_gas(case: Case) -> bool:
    """Tell whether it is bottled with sugar of its own, before it is known to have stopped."""
    return ready_by(case) is None and held_by_glass(case)


def closure_of_age(case: Case) -> Finding | None:
    """Advise against a closure that does not last as long as the plan wants to keep the mead."""
    months, named = case.plan.age_months, _closure_key(case)
    known = next((closure for closure in closures() if closure.key == named), None)
    if months is None or known is None or months <= known.years_high * MONTHS_A_YEAR:
        return None
    lasting = tuple(closure.key for closure in closures() if closure.years_high * MONTHS_A_YEAR >= months)
    observed = Point("closure_of_age", {
        "closure": known.key, "kept_months": months, "good_months": known.years_high * MONTHS_A_YEAR,
    })  # fmt: skip
    return Finding("advice", "closure_of_age", observed, Point("closure_tires"), Point("take_closure", {"of": lasting}))


def _closure_key(case: Case) -> str:
    return "_".join((case.text("closure") or "").casefold().replace("-", " ").replace("_", " ").split())
