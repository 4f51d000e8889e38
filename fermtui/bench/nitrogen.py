"""What the yeast is fed: nitrogen."""

from __future__ import annotations

from fermtui.bench.options import GivenOptions
from fermtui.bench.result import Sum, Value
from fermtui.explain import nutrients as how
from fermtui.must.composition import from_gravity
from fermtui.must.limits import within
from fermtui.must.nutrients import (
    LAST_INORGANIC_ABV,
    LAST_INORGANIC_SPENT,
    SPENT_SLACK,
    DoseTotals,
    dap_room_g,
    dose_share,
    dose_totals,
    late_dose,
    own_nitrogen_mg_per_l,
    rehydration,
)
from fermtui.must.plus_minus import nitrogen_mg_per_l


def nitrogen(given: GivenOptions) -> Sum:
    """What the yeast wants and the grams for it; what is left of a late dose; nutrient for waking dry yeast."""
    volume_l, demand = given.number("volume"), given.word("demand")
    brix = from_gravity(1.0, given.number("gravity")).extract_mass_percent
    share, label = given.number("inorganic") / 100, given.number("autolysate-n")
    doses = within("doses", given.number("doses"), 1, 20, "", "a must is fed once to a few times")
    factor = given.maybe("factor")
    nutrients = given.settings.nutrients
    factor = nutrients.demand_factor(demand) if factor is None else factor
    totals = dose_totals(
        volume_l,
        brix,
        demand,
        factor=factor,
        own_mg_per_l=own_nitrogen_mg_per_l(
            volume_l,
            given.number("juice"),
            honey_mg_per_l=given.number("own"),
            juice_mg_per_l=nutrients.juice_mg_per_l,
        ),
        inorganic_share=share,
        complex_share=given.number("complex") / 100,
        complex_n_percent=given.maybe("complex-n"),
        autolysate_n_percent=label,
        autolysate_effect=given.number("effect"),
    )
    values: dict[str, Value] = {
        "yan_mg_per_l": totals.yan_mg_per_l,
        "yan_plus_minus_mg_per_l": nitrogen_mg_per_l(totals.yan_mg_per_l),
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
    if given.given & {"spent", "abv", "dap-given"}:
        values |= _now(given, totals, 1 / doses)
        late = given.number("spent") / 100 > LAST_INORGANIC_SPENT + SPENT_SLACK
        if late or given.number("abv") > LAST_INORGANIC_ABV:
            keys.append("no_more_dap")
    yeast_g = given.maybe("yeast")
    if yeast_g is not None:
        wake = rehydration(yeast_g)
        values |= {"rehydration_nutrient_g": wake.nutrient_g, "rehydration_water_ml": wake.water_ml}
    steps = (
        how.nitrogen_need(totals, brix, demand, factor),
        *how.nitrogen_grams(
            totals, volume_l, inorganic_share=share, autolysate_n_percent=label, effect=given.number("effect")
        ),
    )
    return Sum("nitrogen", values, tuple(keys), steps)


def _now(given: GivenOptions, totals: DoseTotals, share: float) -> dict[str, Value]:
    late = late_dose(
        dose_share(totals, share),
        sugar_spent=given.number("spent") / 100,
        abv_percent=given.number("abv"),
        volume_l=given.number("volume"),
        dap_given_g=given.number("dap-given"),
    )
    return {
        "dap_now_g": late.dose.dap_g,
        "autolysate_now_g": late.dose.autolysate_g,
        "complex_now_g": late.dose.complex_g,
        "verdict": late.verdict,
        "only_if_slow": late.only_if_slow,
    }
