"""Sulfite and sorbate: how the grams come about."""

from __future__ import annotations

from fermtui.explain.explained import Explained, Input
from fermtui.must.preservatives import SO2_SHARE, SORBIC_SHARE, SorbateDose, SulfiteDose, WaysOut
from fermtui.replay.stabilised import SulfurDioxide

SO2_SOURCES = (
    "OIV-MA-AS323-04C, table I; UC Cooperative Extension 1982; SO2 in the salt by IUPAC atomic weights. What an "
    "addition binds is not known before it is measured a day later"
)
_COLD = "; the OIV's table begins at 20 °C, below it its slope is carried on, no further than 10 °C"
UNDERHILL = "T. Underhill, Making Better Wines (table); never above 200 mg/L of sorbic acid, OIV II.3.4.5"


def sulfite(
    dose: SulfiteDose, *, volume_l: float, ph: float, abv_percent: float, molecular: float, salt: str, free: float = 0.0
) -> tuple[Explained, ...]:
    """Free SO2 and the grams of metabisulfite for it."""
    need = Explained(
        "free SO2 wanted",
        dose.free_so2_mg_per_l,
        "mg/L",
        "molecular SO2 wanted x (1 + 10^(pH - pK)), by the OIV's pK for strength and temperature and by the fixed 1.81 "
        f"of the printed table: the larger counts{_COLD if dose.extrapolated else ''}",
        (
            Input("molecular SO2 wanted", f"{molecular:g} mg/L"),
            Input("acidity", ph, "pH"),
            Input("strength", abv_percent, "% vol"),
            Input("temperature counted", dose.temp_used_c, "°C"),
            Input("by the OIV", dose.free_so2_by_oiv_mg_per_l, "mg/L"),
            Input("by pK 1.81", dose.free_so2_by_plain_pk_mg_per_l, "mg/L"),
            Input("molecular part of free", dose.molecular_percent, "%"),
        ),
        SO2_SOURCES,
    )
    grams = Explained(
        f"{salt} metabisulfite",
        dose.metabisulfite_g,
        "g",
        "(free wanted - free there) x volume / SO2 in the salt; what binds is made up for",
        (
            Input("free there", free, "mg/L"),
            Input("to add", dose.add_so2_mg_per_l, "mg/L"),
            Input("volume", volume_l, "L"),
            Input("SO2 in the salt", 100 * SO2_SHARE[salt], "%"),
            Input("free afterwards", dose.free_after_mg_per_l, "mg/L"),
            Input("total afterwards", dose.total_after_mg_per_l, "mg/L"),
            Input("of which bound", dose.bound_percent, "%"),
        ),
        SO2_SOURCES,
    )
    return need, grams


def sulfur_dioxide(found: SulfurDioxide) -> Explained:
    """Free SO2 in the vessel, with the total and the share that is bound; not measured, the free is what is left at
    most.
    """
    bound = found.bound_percent
    share = Input("share bound", "unknown") if bound is None else Input("share bound", bound, "%")
    how = (
        "as it was measured after the last dose"
        if found.measured
        else "all that was given since pitching or since it was measured, as if none had bound or faded: measure it"
    )
    return Explained(
        "free SO2" if found.measured else "free SO2 at most",
        found.free_mg_per_l,
        "mg/L",
        how,
        (Input("total given", found.total_mg_per_l, "mg/L"), share),
        "SO2 in the salt by IUPAC atomic weights; how much binds is not to be reckoned",
    )


def sorbate(dose: SorbateDose | WaysOut, *, volume_l: float, ph: float, abv_percent: float) -> tuple[Explained, ...]:
    """Grams of potassium sorbate, or why there is no dose."""
    inputs = (Input("volume", volume_l, "L"), Input("acidity", ph, "pH"), Input("strength", abv_percent, "% vol"))
    if isinstance(dose, WaysOut):
        how = f"none: {', '.join(dose.because)}; the table ends at pH 3.5 and at 10 % vol, and no dose is invented"
        return (Explained("potassium sorbate", None, "g", how, inputs, UNDERHILL),)
    acid = Explained(
        "sorbic acid",
        dose.sorbic_acid_mg_per_l,
        "mg/L",
        "read off the table between its rows and columns; stronger or more acid mead takes the table's edge",
        (*inputs, Input("pH of the table", dose.ph_used, "pH"), Input("of the table", dose.abv_used_percent, "% vol")),
        UNDERHILL,
    )
    grams = Explained(
        "potassium sorbate",
        dose.potassium_sorbate_g,
        "g",
        f"sorbic acid x volume / {SORBIC_SHARE}",
        (Input("sorbic acid", dose.sorbic_acid_mg_per_l, "mg/L"), inputs[0]),
        "sorbic acid in the salt by IUPAC atomic weights",
    )
    return acid, grams
