"""What a vessel's coming acts ask for, explained: nutrient, sulfite, sorbate, honey, bottles, pressure.

The sums are those of `schedule/amounts.py` and `doses.py` before they are rounded for the scale; a test compares.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from fermtui.daybook.fields import FIELDS
from fermtui.daybook.head import Plan
from fermtui.daybook.settings import Settings
from fermtui.explain import bottles as bottling
from fermtui.explain import nutrients, sugar
from fermtui.explain import preservatives as keeping
from fermtui.explain.explained import Explained, Input, with_plus_minus
from fermtui.must import plus_minus
from fermtui.must.bottles import bottle_count, most_volumes, pressure_bar_excess
from fermtui.must.composition import Must, from_gravity
from fermtui.must.fruit import CLINGS_ML_PER_G_FRUIT, CLINGS_ML_PER_G_PULP
from fermtui.must.honey import honey_to_sweeten
from fermtui.must.nutrients import dose_totals, own_nitrogen_mg_per_l
from fermtui.must.preservatives import SorbateDose, sorbate_dose, sulfite_dose
from fermtui.replay import stabilised
from fermtui.replay.facts import Facts
from fermtui.replay.fruit_lots import clinging_l
from fermtui.replay.present import Present
from fermtui.replay.stabilised import dosing_temp_c, total_so2_mg_per_l
from fermtui.schedule.amounts import (
    USUAL_BOTTLE,
    bottles_for,
    measured_free_so2_mg_per_l,
    must_in_all,
    priming_for,
    warmest_c,
)
from fermtui.schedule.doses import part_left, pitched_l, totals_g
from fermtui.schedule.guards.bottling import MOST_SUGAR_G_PER_L
from fermtui.schedule.guards.case import Case
from fermtui.schedule.guards.vessel_state import could_referment_g_per_l, sweet_end

PRESSURE_AT_C = (20.0, 30.0)


def nitrogen(facts: Facts, plan: Plan, _present: Present, settings: Settings, _now: datetime) -> Iterator[Explained]:
    """The need by sugar and demand, and the grams of it: the plan's own totals where they are fixed there."""
    gravity, volume_l = facts.og or facts.g0 or plan.gravity, pitched_l(facts, plan)
    if gravity is None or gravity <= 1.0 or volume_l is None or volume_l <= 0.0:
        return
    label, demand = settings.nutrients, plan.yeast.demand
    factor, brix = label.demand_factor(demand), from_gravity(1.0, gravity).extract_mass_percent
    own = own_nitrogen_mg_per_l(
        volume_l,
        min(plan.juice_l or 0.0, volume_l),
        honey_mg_per_l=label.honey_mg_per_l,
        juice_mg_per_l=label.juice_mg_per_l,
    )
    totals = dose_totals(
        volume_l,
        brix,
        demand,
        factor=factor,
        own_mg_per_l=own,
        inorganic_share=label.inorganic_share,
        autolysate_n_percent=label.autolysate_n_percent,
        autolysate_effect=label.autolysate_effect,
    )
    need = nutrients.nitrogen_need(totals, brix, demand, factor)
    yield with_plus_minus(need, plus_minus.nitrogen_mg_per_l(totals.yan_mg_per_l))
    if plan.doses is None and part_left(facts, plan) == 1.0:
        yield from nutrients.nitrogen_grams(
            totals,
            volume_l,
            inorganic_share=label.inorganic_share,
            autolysate_n_percent=label.autolysate_n_percent,
            effect=label.autolysate_effect,
        )
        return
    part = part_left(facts, plan)
    whole = "the plan's own total" if plan.doses is not None else "the total reckoned for what was pitched"
    for field, mass_g in totals_g(facts, plan, label).items():
        reckoned = Input("reckoned for what was pitched", getattr(totals, field), "g")
        how = f"{whole}, times the part that a split left here; each dose is its share of it"
        if mass_g > 0.0:
            name, parts = f"{FIELDS[field].name}, all doses", (reckoned, Input("part left here", part))
            yield Explained(name, mass_g, "g", how, parts,
                            "vessel.toml, plan.doses" if plan.doses is not None else nutrients.YAN_SOURCE)  # fmt: skip


def fruit_loss(
    facts: Facts, _plan: Plan, _present: Present, _settings: Settings, _now: datetime
) -> Iterator[Explained]:
    """The mead that is going to leave with the fruit."""
    if not facts.fruit_in:
        return
    mass_g = sum(lot.mass_g for lot in facts.fruit if lot.pulled_at is None)
    yield Explained(
        "leaves with the fruit",
        clinging_l(facts.fruit),
        "L",
        f"the larger of {CLINGS_ML_PER_G_FRUIT:g} mL a gram of fruit and {CLINGS_ML_PER_G_PULP:g} a gram of its pulp",
        (Input("fruit", mass_g, "g"),),
        "estimates, no source: write what was lost (loss_l), or the level that stands there afterwards",
    )


def sulfite(facts: Facts, _plan: Plan, _present: Present, settings: Settings, _now: datetime) -> Iterator[Explained]:
    """Metabisulfite for what is in it now; nothing while the pH was never read."""
    must = _mead(facts)
    if must is None or facts.ph is None:
        return
    kind, free = settings.sulfite, measured_free_so2_mg_per_l(facts)
    dose = sulfite_dose(
        must.volume_l,
        facts.ph,
        must.abv_percent,
        dosing_temp_c(facts),
        molecular_mg_per_l=kind.molecular_mg_per_l,
        free_mg_per_l=free,
        total_mg_per_l=total_so2_mg_per_l(facts),
        salt=kind.salt,
    )
    need, grams = keeping.sulfite(
        dose,
        volume_l=must.volume_l,
        ph=facts.ph,
        abv_percent=must.abv_percent,
        molecular=kind.molecular_mg_per_l,
        salt=kind.salt,
        free=free,
    )
    molecular = kind.molecular_mg_per_l
    need_sd = plus_minus.free_so2_mg_per_l(facts.ph, dosing_temp_c(facts), must.abv_percent, molecular)
    yield with_plus_minus(need, need_sd)
    yield with_plus_minus(
        grams, plus_minus.metabisulfite_g(dose.metabisulfite_g, need_sd, must.volume_l, kind.salt)
    )


def sulfur_dioxide(
    facts: Facts, _plan: Plan, _present: Present, _settings: Settings, _now: datetime
) -> Iterator[Explained]:
    """Free and total SO2 of what was given, with what is bound where it was measured."""
    found = stabilised.sulfur_dioxide(facts)
    if found is not None:
        yield keeping.sulfur_dioxide(found)


def sorbate(facts: Facts, _plan: Plan, _present: Present, _settings: Settings, _now: datetime) -> Iterator[Explained]:
    """Potassium sorbate for what is in it now, or why there is no dose; nothing while the pH was never read."""
    must = _mead(facts)
    if must is None or facts.ph is None:
        return
    dose = sorbate_dose(must.volume_l, facts.ph, must.abv_percent, malolactic=facts.malolactic)
    steps = keeping.sorbate(dose, volume_l=must.volume_l, ph=facts.ph, abv_percent=must.abv_percent)
    yield from steps[:-1]
    if isinstance(dose, SorbateDose):
        yield with_plus_minus(steps[-1], plus_minus.sorbate_g(must.volume_l, facts.ph, must.abv_percent))
    else:
        yield steps[-1]


def honey(facts: Facts, plan: Plan, _present: Present, settings: Settings, _now: datetime) -> Iterator[Explained]:
    """Honey for the planned sweetness."""
    must = _mead(facts)
    if plan.sweet_to is None or must is None or plan.sweet_to <= must.sg:
        return
    moisture = plan.honey_moisture_percent or settings.honey_moisture_percent
    grams = honey_to_sweeten(must, plan.sweet_to, moisture)
    step = sugar.honey(grams, volume_l=must.volume_l, from_sg=must.sg, to_sg=plan.sweet_to, moisture_percent=moisture)
    yield with_plus_minus(step, plus_minus.honey_to_sweeten_g(must, plan.sweet_to, moisture))


def bottles(facts: Facts, plan: Plan, _present: Present, settings: Settings, _now: datetime) -> Iterator[Explained]:
    """Full bottles out of what is in it; what racking and lees will still take is not known yet."""
    must = _mead(facts)
    volume_l = facts.left_l if facts.lots and facts.left_l else None if must is None else must.volume_l
    if volume_l is not None:
        yield bottling.bottles(bottle_count(volume_l, _size_ml(plan, settings)), volume_l, 0.0)


def priming(facts: Facts, plan: Plan, _present: Present, settings: Settings, _now: datetime) -> Iterator[Explained]:
    """Sugar for the planned fizz, no more than its glass bears."""
    must = _mead(facts)
    volume_l = facts.left_l if facts.lots and facts.left_l else None if must is None else must.volume_l
    if volume_l is None or plan.co2_volumes is None:
        return
    kind = bottles_for(plan, settings)[1]
    glass = "sparkling" if kind is None else kind.glass
    made = priming_for(volume_l, plan.co2_volumes, facts, plan, glass)
    yield bottling.priming(
        made,
        volume_l=volume_l,
        volumes=plan.co2_volumes,
        warmest_c=warmest_c(facts, plan),
        kind="sucrose",
        most_volumes=most_volumes(glass),
    )


def pressure(facts: Facts, plan: Plan, present: Present, settings: Settings, now: datetime) -> Iterator[Explained]:
    """Pressure in a sealed bottle of what could ferment again, cool and warm: as the guard of bottling reckons it."""
    if present.refermentable_g_per_l is None or facts.pitched_at is None:
        return
    case = Case("bottle", {}, facts, plan, now)
    left = min(MOST_SUGAR_G_PER_L, max(present.refermentable_g_per_l, could_referment_g_per_l(case)))
    size_ml = _size_ml(plan, settings)
    for temp_c in PRESSURE_AT_C:
        bar = pressure_bar_excess(left, temp_c, bottle_ml=size_ml)
        sd = plus_minus.pressure_bar(
            left, temp_c, bottle_ml=size_ml, sugar_sd=present.refermentable_plus_minus or 0.0
        )
        step = bottling.pressure(bar, sugar_g_per_l=left, temp_c=temp_c, bottle_ml=size_ml, start="saturated",
                                 sealed_now=True, dry=sweet_end(case))  # fmt: skip
        yield with_plus_minus(step, sd)


def _mead(facts: Facts) -> Must | None:
    return None if facts.pitched_at is None or facts.emptied_at is not None else must_in_all(facts)


def _size_ml(plan: Plan, settings: Settings) -> float:
    kind = bottles_for(plan, settings)[1]
    return USUAL_BOTTLE.size_ml if kind is None else kind.size_ml
