"""Compute one dose of nutrient in grams: its share of the total, and what may still be given when it is late."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from fermtui.daybook.head import Plan
from fermtui.daybook.settings import Nutrients, Settings
from fermtui.must.composition import from_gravity
from fermtui.must.limits import OutOfRange
from fermtui.must.nutrients import (
    LAST_INORGANIC_SPENT,
    NutrientDose,
    dose_totals,
    late_dose,
    nitrogen_given_mg_per_l,
    own_nitrogen_mg_per_l,
)
from fermtui.replay.contents import must_at
from fermtui.replay.facts import Facts
from fermtui.replay.present import sugar_spent_percent
from fermtui.replay.stability import ROUNDING_SG
from fermtui.schedule.rounding import Amounts, grams
from fermtui.schedule.task import Task

SPENT_IN_HALF_A_DAY = 0.05
SMALL_SHARE = 0.02
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
    """Return `dap_g`, `autolysate_g`, `complex_g` of this dose as it is right now, without those that are 0.

    What is left of the whole up to this dose, no more than the sugar that is left can use, and past the one-third
    sugar break without inorganic nitrogen, but for a dose on the day of the break itself. Above about 9 % vol
    `only_if_slow` says that a ferment that goes well needs none. Empty where nothing is left.
    """
    label = settings.nutrients
    total = totals_g(facts, plan, label)
    share = task.dose_share
    if share is None:
        own = task.step.share if task.step is not None else None
        share = own if own is not None else 1.0 / (task.dose_m or 1)
    planned = {name: mass_g * share for name, mass_g in total.items()}
    litres = _liquid_l(facts)
    if facts.pitched_at is None or litres is None or not planned:
        return {**_rounded(planned)}

    must = must_at(facts, facts.last_at or facts.pitched_at)
    spent = (sugar_spent_percent(facts, facts.sg) or 0.0) / 100.0
    left = _left(planned, total, task.dose_target, facts, label)
    usable_mg = nitrogen_mg(total, label) * (1.0 - spent)
    left_mg = nitrogen_mg(left, label)
    if left_mg > usable_mg:
        left = {name: mass_g * usable_mg / left_mg for name, mass_g in left.items()}
    try:
        late = late_dose(
            NutrientDose(**left),
            sugar_spent=min(spent, LAST_INORGANIC_SPENT) if task.at_break else spent,
            abv_percent=0.0 if must is None else must.abv_percent,
            volume_l=litres,
            dap_given_g=facts.dap_g,
        )
    except OutOfRange:
        return {**_rounded(planned)}
    now = _rounded({name: getattr(late.dose, name) for name in NAMES})
    return {**now, "only_if_slow": True} if now and late.only_if_slow else {**now}


def _left(
    planned: dict[str, float], total: dict[str, float], target: float | None, facts: Facts, label: Nutrients
) -> dict[str, float]:
    """Return what is left of `target`, a share of the total, after what was given; `planned` where that cannot be told.

    What was given in another form counts by its nitrogen. Less than a fiftieth of the total is nothing: scales err.
    """
    given = {name: getattr(facts, name) for name in NAMES}
    unlabelled = facts.complex_g > 0.0 and not label.complex_n_percent
    if target is None or unlabelled:
        return planned
    wanted = {name: total[name] * target for name in NAMES}
    left = {name: max(0.0, wanted[name] - given[name]) for name in NAMES}
    beyond = {name: max(0.0, given[name] - wanted[name]) for name in NAMES}
    left_mg = nitrogen_mg(left, label)
    still_mg = left_mg - nitrogen_mg(beyond, label)
    if still_mg <= SMALL_SHARE * nitrogen_mg(total, label):
        return dict.fromkeys(NAMES, 0.0)
    return {name: mass_g * still_mg / left_mg for name, mass_g in left.items()}


def at_third_break(facts: Facts, at: datetime) -> bool:
    """Tell whether the one-third sugar break was first read on the day of `at`, and is not long past.

    A ferment in full drive spends about a tenth of its sugar a day: half of that may lie between break and reading.
    Common practice, no source. `at` is in the cellar's zone.
    """
    if facts.g0 is None or facts.g0 <= 1.001 or facts.sg is None:
        return False
    break_sg = facts.g0 - LAST_INORGANIC_SPENT * (facts.g0 - 1.0)
    first = next((r for r in facts.since_addition if r.sg is not None and r.sg <= break_sg + ROUNDING_SG), None)
    if first is None or first.at > at:
        return False
    spent = (facts.g0 - facts.sg) / (facts.g0 - 1.0)
    same_day = first.at.astimezone(at.tzinfo).date() == at.date()
    return same_day and spent <= LAST_INORGANIC_SPENT + SPENT_IN_HALF_A_DAY


def _rounded(dose: dict[str, float]) -> dict[str, float]:
    return {name: grams(mass_g) for name, mass_g in dose.items() if mass_g >= 0.005}
