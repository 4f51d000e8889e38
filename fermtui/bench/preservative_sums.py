"""What keeps a finished mead: sulfite, sorbate."""

from __future__ import annotations

from fermtui.bench.options import GivenOptions
from fermtui.bench.result import Sum, Value
from fermtui.explain import preservatives as how
from fermtui.must import plus_minus
from fermtui.must import preservatives as keep


def sulfite(given: GivenOptions) -> Sum:
    """Metabisulfite for a molecular SO2 at a pH, strength and temperature."""
    volume_l, ph, abv, salt = given.number("volume"), given.number("ph"), given.number("abv"), given.word("salt")
    molecular, free = given.number("molecular"), given.number("free")
    dose = keep.sulfite_dose(
        volume_l,
        ph,
        abv,
        given.number("temp"),
        molecular_mg_per_l=molecular,
        free_mg_per_l=free,
        total_mg_per_l=given.maybe("total"),
        salt=salt,
        bound_share=given.number("bound") / 100,
    )
    free_sd = plus_minus.free_so2_mg_per_l(ph, given.number("temp"), abv, molecular)
    values: dict[str, Value] = {
        "metabisulfite_g": dose.metabisulfite_g,
        "metabisulfite_plus_minus_g": plus_minus.metabisulfite_g(dose.metabisulfite_g, free_sd, volume_l, salt),
        "solution_10_percent_ml": keep.as_solution_ml(dose.metabisulfite_g),
        "free_so2_mg_per_l": dose.free_so2_mg_per_l,
        "free_so2_plus_minus_mg_per_l": free_sd,
        "free_so2_by_oiv_mg_per_l": dose.free_so2_by_oiv_mg_per_l,
        "free_so2_by_plain_pk_mg_per_l": dose.free_so2_by_plain_pk_mg_per_l,
        "temp_used_c": dose.temp_used_c,
        "temp_extrapolated": dose.extrapolated,
        "add_so2_mg_per_l": dose.add_so2_mg_per_l,
        "molecular_percent": dose.molecular_percent,
        "free_after_mg_per_l": dose.free_after_mg_per_l,
        "total_after_mg_per_l": dose.total_after_mg_per_l,
        "bound_percent": dose.bound_percent,
        "level": dose.level,
    }
    steps = how.sulfite(dose, volume_l=volume_l, ph=ph, abv_percent=abv, molecular=molecular, salt=salt, free=free)
    return Sum("sulfite", values, ("sulfite_fumes",), steps)


def sorbate(given: GivenOptions) -> Sum:
    """Potassium sorbate inside its table; outside it no dose but the ways out."""
    volume_l, ph, abv = given.number("volume"), given.number("ph"), given.number("abv")
    dose = keep.sorbate_dose(volume_l, ph, abv, malolactic=given.flag("malolactic"))
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
            "potassium_sorbate_plus_minus_g": plus_minus.sorbate_g(volume_l, ph, abv),
            "sorbic_acid_mg_per_l": dose.sorbic_acid_mg_per_l,
            "capped": dose.capped,
            "ph_used": dose.ph_used,
            "abv_used_percent": dose.abv_used_percent,
        }
    return Sum("sorbate", values, ("sorbate_use",), steps)
