"""Compute one dose of nutrient in grams: its share of the total, and what may still be given when it is late."""

from __future__ import annotations

from collections.abc import Mapping

from fermtui.daybook.head import Plan
from fermtui.daybook.settings import Nutrients, Settings
from fermtui.must.composition import from_gravity
from fermtui.must.limits import OutOfRange
from fermtui.must.nutrients import (
    NutrientDose,
    dose_totals,
    late_dose,
    nitrogen_given_mg_per_l,
    own_nitrogen_mg_per_l,
)
from fermtui.replay.contents import must_at
from fermtui.replay.facts import Facts
from fermtui.replay.present import sugar_spent_percent
from fermtui.schedule.rounding import Amounts, grams
from fermtui.schedule.task import Task

NAMES = ("dap_g", "autolysate_g", "complex_g")


def totals_g(facts: Facts, plan: Plan, label: Nutrients) -> dict[str, float]:
    """Return all doses of this vessel together, in grams by name; empty where volume or gravity is not known.

    The plan's own, else by the yeast's demand, the sugar at pitching, and what honey and juice bring by themselves.
    After a split they shrink with the volume.
    """
    if plan.doses is not None:
        given = {name: plan.doses.get(name, 0.0) for name in NAMES}
        part = part_left(facts, plan)
        return {name: mass_g * part for name, mass_g in given.items()}
    gravity, volume_l = facts.og or facts.g0 or plan.gravity, pitched_l(facts, plan)
    if gravity is None or gravity <= 1.0 or volume_l is None:
        return {}

    try:
        own = own_nitrogen_mg_per_l(
            volume_l,
            min(plan.juice_l or 0.0, volume_l),
            honey_mg_per_l=label.honey_mg_per_l,
            juice_mg_per_l=label.juice_mg_per_l,
        )
        total = dose_totals(
            volume_l,
            from_gravity(1.0, gravity).extract_mass_percent,
            plan.yeast.demand,
            factor=label.demand_factor(plan.yeast.demand),
            own_mg_per_l=own,
            inorganic_share=label.inorganic_share,
            autolysate_n_percent=label.autolysate_n_percent,
            autolysate_effect=label.autolysate_effect,
        )
    except OutOfRange:
        return {}
    part = part_left(facts, plan)
    return {name: getattr(total, name) * part for name in NAMES}


def nitrogen_share(facts: Facts, plan: Plan, label: Nutrients) -> float | None:
    """Return the nitrogen given so far as a share of what all doses of the plan would bring; None where that is not
    known.
    """
    given = {"dap_g": facts.dap_g, "autolysate_g": facts.autolysate_g, "complex_g": facts.complex_g}
    need_mg = nitrogen_mg(totals_g(facts, plan, label), label)
    return nitrogen_mg(given, label) / need_mg if need_mg > 0.0 else None


def nitrogen_mg(dose: Mapping[str, float], label: Nutrients) -> float:
    """Return the nitrogen of a dose in mg; a complex nutrient counts by its label."""
    return nitrogen_given_mg_per_l(
        NutrientDose(**{name: max(0.0, mass_g) for name, mass_g in dose.items()}),
        1.0,
        autolysate_n_percent=label.autolysate_n_percent,
        autolysate_effect=label.autolysate_effect,
        complex_n_percent=label.complex_n_percent or 0.0,
    )


def _liquid_l(facts: Facts) -> float | None:
    must = must_at(facts, facts.last_at) if facts.last_at is not None else None
    if must is None or not facts.volume_known or must.is_empty:
        return None
    return must.volume_l


def pitched_l(facts: Facts, plan: Plan) -> float | None:
    """Return the litres at pitching: what is there, where nothing came or went since; else as planned."""
    unchanged = not facts.changes and not facts.children and not facts.fruit
    return (_liquid_l(facts) if unchanged else None) or plan.volume_l or _liquid_l(facts)


def part_left(facts: Facts, plan: Plan) -> float:
    """Return the share of what was pitched that is still here after a split, 0 to 1."""
    now_l = _liquid_l(facts)
    if not facts.children or plan.volume_l is None or now_l is None:
        return 1.0
    return min(1.0, now_l / plan.volume_l)


def dose_amounts(task: Task, facts: Facts, plan: Plan, settings: Settings) -> Amounts:
    """Return `dap_g`, `autolysate_g`, `complex_g` of this dose, without those that are 0.

    `instead` holds the same dose without inorganic nitrogen, once a third of the sugar is spent. Above about 9 % vol,
    or where the ceiling is reached, the dose itself is without it; `only_if_slow` then says that a ferment that
    goes well needs none.
    """
    total = totals_g(facts, plan, settings.nutrients)
    share = task.step.share if task.step is not None else None
    part = share if share is not None else 1.0 / (task.dose_m or 1)
    planned = {name: mass_g * part for name, mass_g in total.items()}
    litres = _liquid_l(facts)
    if facts.pitched_at is None or litres is None or not planned:
        return {**_rounded(planned)}

    must = must_at(facts, facts.last_at or facts.pitched_at)
    spent = sugar_spent_percent(facts, facts.sg)
    try:
        late = late_dose(
            NutrientDose(**planned),
            sugar_spent=(spent or 0.0) / 100.0,
            abv_percent=0.0 if must is None else must.abv_percent,
            volume_l=litres,
            dap_given_g=facts.dap_g,
        )
    except OutOfRange:
        return {**_rounded(planned)}
    now = {name: getattr(late.dose, name) for name in NAMES}
    if late.verdict == "autolysate instead":
        return {**_rounded(planned), "instead": _rounded(now)}
    return {**_rounded(now), "only_if_slow": True} if late.only_if_slow else {**_rounded(now)}


def _rounded(dose: dict[str, float]) -> dict[str, float]:
    return {name: grams(mass_g) for name, mass_g in dose.items() if mass_g >= 0.005}
