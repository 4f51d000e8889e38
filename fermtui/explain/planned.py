"""What a vessel's coming acts ask for, explained: nutrient, sulfite, sorbate, honey, bottles, pressure."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from fermtui.daybook.head import Plan
from fermtui.daybook.settings import Settings
from fermtui.explain import bottling, feeding, keeping, sugar
from fermtui.explain.explained import Explained, Input
from fermtui.must.bottles import FERMENT_LOSS_PERCENT, bottle_count, pressure_bar_excess
from fermtui.must.composition import Must, from_gravity
from fermtui.must.honey import honey_to_sweeten
from fermtui.must.nutrients import dose_totals, own_nitrogen_mg_per_l
from fermtui.must.preservatives import sorbate_dose, sulfite_dose
from fermtui.story.facts import Facts
from fermtui.story.present import Present

CELLAR_TEMP_C = 20.0
BOTTLE_ML = 750.0
PRESSURE_AT_C = (20.0, 30.0)


def nitrogen(facts: Facts, plan: Plan, present: Present, settings: Settings, _now: datetime) -> Iterator[Explained]:
    """The need by sugar and demand, and the grams of it: the plan's own totals where they are fixed there."""
    gravity, volume_l = facts.g0 or plan.gravity, _liquid_l(facts, present) or plan.volume_l
    if gravity is None or gravity <= 1.0 or volume_l is None or volume_l <= 0.0:
        return
    set_by, demand = settings.nutrients, plan.yeast.demand
    factor, brix = set_by.demand_factor(demand), from_gravity(1.0, gravity).extract_mass_percent
    own = own_nitrogen_mg_per_l(
        volume_l,
        min(plan.juice_l or 0.0, volume_l),
        honey_mg_per_l=set_by.honey_mg_per_l,
        juice_mg_per_l=set_by.juice_mg_per_l,
    )
    totals = dose_totals(
        volume_l,
        brix,
        demand,
        factor=factor,
        own_mg_per_l=own,
        inorganic_share=set_by.inorganic_share,
        autolysate_n_percent=set_by.autolysate_n_percent,
        autolysate_effect=set_by.autolysate_effect,
    )
    yield feeding.nitrogen_need(totals, brix, demand, factor)
    if plan.doses is None:
        yield from feeding.nitrogen_grams(
            totals,
            volume_l,
            inorganic_share=set_by.inorganic_share,
            autolysate_n_percent=set_by.autolysate_n_percent,
            effect=set_by.autolysate_effect,
        )
        return
    for field, name in (("dap_g", "DAP"), ("autolysate_g", "autolysate"), ("complex_g", "complex nutrient")):
        if field in plan.doses:
            reckoned = Input("reckoned for what is in it now", getattr(totals, field), "g")
            how = "the plan's own total; each dose is its share of it"
            yield Explained(f"{name}, all doses", plan.doses[field], "g", how, (reckoned,), "vessel.toml, plan.doses")


def sulfite(facts: Facts, _plan: Plan, present: Present, settings: Settings, _now: datetime) -> Iterator[Explained]:
    """Metabisulfite for what is in it now; nothing while the pH was never read."""
    volume_l, abv = _liquid_l(facts, present), present.abv_percent
    if volume_l is None or abv is None or facts.ph is None or facts.pitched_at is None:
        return
    kind = settings.sulfite
    measured = [reading for reading in facts.readings if reading.free_so2_mg_per_l is not None]
    free = measured[-1].free_so2_mg_per_l or 0.0 if measured else 0.0
    dose = sulfite_dose(
        volume_l,
        facts.ph,
        abv,
        CELLAR_TEMP_C,
        molecular_mg_per_l=kind.molecular_mg_per_l,
        free_mg_per_l=free,
        salt=kind.salt,
    )
    yield from keeping.sulfite(
        dose,
        volume_l=volume_l,
        ph=facts.ph,
        abv_percent=abv,
        molecular=kind.molecular_mg_per_l,
        salt=kind.salt,
        free=free,
    )


def sorbate(facts: Facts, _plan: Plan, present: Present, _settings: Settings, _now: datetime) -> Iterator[Explained]:
    """Potassium sorbate for what is in it now, or why there is no dose; nothing while the pH was never read."""
    volume_l, abv = _liquid_l(facts, present), present.abv_percent
    if volume_l is None or abv is None or facts.ph is None or facts.pitched_at is None:
        return
    dose = sorbate_dose(volume_l, facts.ph, abv, malolactic=facts.malolactic)
    yield from keeping.sorbate(dose, volume_l=volume_l, ph=facts.ph, abv_percent=abv)


def honey(facts: Facts, plan: Plan, present: Present, settings: Settings, _now: datetime) -> Iterator[Explained]:
    """Honey for the planned sweetness."""
    must, volume_l = present.must, _liquid_l(facts, present)
    if plan.sweet_to is None or must is None or volume_l is None or plan.sweet_to <= must.sg:
        return
    moisture = plan.honey_moisture_percent or settings.honey_moisture_percent
    grams = honey_to_sweeten(must, plan.sweet_to, moisture)
    yield sugar.honey(grams, volume_l=volume_l, from_sg=must.sg, to_sg=plan.sweet_to, moisture_percent=moisture)


def bottles(facts: Facts, _plan: Plan, present: Present, settings: Settings, _now: datetime) -> Iterator[Explained]:
    """Full bottles of the maker's first size; what still stands on its lees loses some."""
    volume_l = facts.left_l if facts.left_l is not None else _liquid_l(facts, present)
    if volume_l is None or facts.pitched_at is None:
        return
    size_ml = settings.bottles[0].size_ml if settings.bottles else BOTTLE_ML
    loss = FERMENT_LOSS_PERCENT if facts.racked_at is None and facts.left_l is None else settings.rack_loss_percent
    yield bottling.bottles(bottle_count(volume_l, size_ml, loss), volume_l, loss)


def pressure(facts: Facts, _plan: Plan, present: Present, settings: Settings, _now: datetime) -> Iterator[Explained]:
    """Pressure in a sealed bottle of what could ferment again, cool and warm."""
    left = present.refermentable_g_per_l
    if left is None or facts.pitched_at is None:
        return
    size_ml = settings.bottles[0].size_ml if settings.bottles else BOTTLE_ML
    for temp_c in PRESSURE_AT_C:
        bar = pressure_bar_excess(left, temp_c, bottle_ml=size_ml)
        yield bottling.pressure(bar, sugar_g_per_l=left, temp_c=temp_c, bottle_ml=size_ml, start="saturated")


def _liquid_l(facts: Facts, present: Present) -> float | None:
    must: Must | None = present.must
    if must is None or not facts.volume_known or facts.emptied_at is not None:
        return None
    return must.volume_l
