"""What is weighed on the small scale: nitrogen, sulfite, sorbate."""

from __future__ import annotations

from fermtui.bench.asked import Asked
from fermtui.bench.result import Sum, Value
from fermtui.explain import additions as how
from fermtui.must import preservatives as keep
from fermtui.must.composition import from_gravity
from fermtui.must.limits import within
from fermtui.must.nutrients import (
    LAST_INORGANIC_ABV,
    LAST_INORGANIC_SPENT,
    SPENT_SLACK,
    DoseTotals,
    dap_room_g,
    demand_factors,
    dose_share,
    dose_totals,
    late_dose,
    own_nitrogen_mg_per_l,
    rehydration,
)


def nitrogen(asked: Asked) -> Sum:
    """What the yeast wants and the grams for it; what is left of a late dose; nutrient for waking dry yeast."""
    volume_l, demand = asked.number("volume"), asked.word("demand")
    brix = from_gravity(1.0, asked.number("gravity")).extract_mass_percent
    share, label = asked.number("inorganic") / 100, asked.number("autolysate-n")
    doses = within("doses", asked.number("doses"), 1, 20, "", "a must is fed once to a few times")
    factor = asked.maybe("factor")
    factor = demand_factors()[demand] if factor is None else factor
    totals = dose_totals(
        volume_l,
        brix,
        demand,
        factor=factor,
        own_mg_per_l=own_nitrogen_mg_per_l(volume_l, asked.number("juice"), honey_mg_per_l=asked.number("own")),
        inorganic_share=share,
        complex_share=asked.number("complex") / 100,
        complex_n_percent=asked.maybe("complex-n"),
        autolysate_n_percent=label,
        autolysate_effect=asked.number("effect"),
    )
    values: dict[str, Value] = {
        "yan_mg_per_l": totals.yan_mg_per_l,
        "own_mg_per_l": totals.own_mg_per_l,
        "added_mg_per_l": totals.added_mg_per_l,
        "dap_g": totals.dap_g,
        "autolysate_g": totals.autolysate_g,
        "complex_g": totals.complex_g,
        "dap_per_dose_g": totals.dap_g / doses,
        "autolysate_per_dose_g": totals.autolysate_g / doses,
        "dap_ceiling_g": dap_room_g(volume_l, 0.0),
        "dap_capped": totals.dap_capped,
        "brix": brix,
    }
    keys = ["dose_foam"]
    if asked.given & {"spent", "abv", "dap-given"}:
        values |= _now(asked, totals, 1 / doses)
        late = asked.number("spent") / 100 > LAST_INORGANIC_SPENT + SPENT_SLACK
        if late or asked.number("abv") > LAST_INORGANIC_ABV:
            keys.append("no_more_dap")
    yeast_g = asked.maybe("yeast")
    if yeast_g is not None:
        wake = rehydration(yeast_g)
        values |= {"rehydration_nutrient_g": wake.nutrient_g, "rehydration_water_ml": wake.water_ml}
    steps = (
        how.nitrogen_need(totals, brix, demand, factor),
        *how.nitrogen_grams(
            totals, volume_l, inorganic_share=share, autolysate_n_percent=label, effect=asked.number("effect")
        ),
    )
    return Sum("nitrogen", values, tuple(keys), steps)


def _now(asked: Asked, totals: DoseTotals, share: float) -> dict[str, Value]:
    late = late_dose(
        dose_share(totals, share),
        sugar_spent=asked.number("spent") / 100,
        abv_percent=asked.number("abv"),
        volume_l=asked.number("volume"),
        dap_given_g=asked.number("dap-given"),
    )
    return {
        "dap_now_g": late.dose.dap_g,
        "autolysate_now_g": late.dose.autolysate_g,
        "complex_now_g": late.dose.complex_g,
        "verdict": late.verdict,
        "only_if_slow": late.only_if_slow,
    }


def sulfite(asked: Asked) -> Sum:
    """Metabisulfite for a molecular SO2 at a pH, strength and temperature."""
    volume_l, ph, abv, salt = asked.number("volume"), asked.number("ph"), asked.number("abv"), asked.word("salt")
    molecular, free = asked.number("molecular"), asked.number("free")
    dose = keep.sulfite_dose(
        volume_l,
        ph,
        abv,
        asked.number("temp"),
        molecular_mg_per_l=molecular,
        free_mg_per_l=free,
        total_mg_per_l=asked.maybe("total"),
        salt=salt,
        bound_share=asked.number("bound") / 100,
    )
    values: dict[str, Value] = {
        "free_so2_mg_per_l": dose.free_so2_mg_per_l,
        "metabisulfite_g": dose.metabisulfite_g,
        "solution_10_percent_ml": keep.as_solution_ml(dose.metabisulfite_g),
        "add_so2_mg_per_l": dose.add_so2_mg_per_l,
        "molecular_percent": dose.molecular_percent,
        "free_after_mg_per_l": dose.free_after_mg_per_l,
        "total_after_mg_per_l": dose.total_after_mg_per_l,
        "free_so2_by_plain_pk_mg_per_l": dose.free_so2_by_plain_pk_mg_per_l,
        "level": dose.level,
    }
    steps = how.sulfite(dose, volume_l=volume_l, ph=ph, abv_percent=abv, molecular=molecular, salt=salt, free=free)
    return Sum("sulfite", values, ("sulfite_fumes",), steps)


def sorbate(asked: Asked) -> Sum:
    """Potassium sorbate inside its table; outside it no dose but the ways out."""
    volume_l, ph, abv = asked.number("volume"), asked.number("ph"), asked.number("abv")
    dose = keep.sorbate_dose(volume_l, ph, abv, malolactic=asked.flag("malolactic"))
    steps = how.sorbate(dose, volume_l=volume_l, ph=ph, abv_percent=abv)
    values: dict[str, Value]
    if isinstance(dose, keep.WaysOut):
        values = {
            "potassium_sorbate_g": None,
            "sorbic_acid_mg_per_l": None,
            "because": dose.because,
            "ways_out": dose.ways,
        }
    else:
        values = {
            "potassium_sorbate_g": dose.potassium_sorbate_g,
            "sorbic_acid_mg_per_l": dose.sorbic_acid_mg_per_l,
            "capped": dose.capped,
            "ph_used": dose.ph_used,
            "abv_used_percent": dose.abv_used_percent,
        }
    return Sum("sorbate", values, ("sorbate_use",), steps)
