"""Nutrients, sulfite, sorbate, honey, fruit: how the grams come about."""

from __future__ import annotations

from fermtui.explain.explained import Explained, Input
from fermtui.must.fruit import FruitParts
from fermtui.must.nutrients import DAP_N_PERCENT, DoseTotals
from fermtui.must.preservatives import SO2_SHARE, SORBIC_SHARE, SorbateDose, SulfiteDose, WaysOut

YAN_SOURCE = (
    "UC Davis Viticulture & Enology: 200 mg/L at 21, 300 at 25, 400 from 28 °Brix, for grape must; below 21 in "
    "proportion; factors for yeast and what honey brings are defaults without a source"
)
OIV_PK = "pK by OIV-MA-AS323-04C, table I; SO2 in the salt by IUPAC atomic weights"
UNDERHILL = "T. Underhill, Making Better Wines (table); never above 200 mg/L of sorbic acid, OIV II.3.4.5"


def nitrogen_need(totals: DoseTotals, brix: float, demand: str, factor: float) -> Explained:
    """The assimilable nitrogen that the yeast wants."""
    return Explained(
        "nitrogen need",
        totals.yan_mg_per_l,
        "mg/L",
        "what a must of that sugar wants, times the factor of the yeast's demand",
        (Input("must", brix, "°Bx"), Input("demand", demand), Input("factor", factor)),
        YAN_SOURCE,
    )


def nitrogen_grams(
    totals: DoseTotals, volume_l: float, *, inorganic_share: float, autolysate_n_percent: float, effect: float = 1.0
) -> tuple[Explained, ...]:
    """Grams of each source, all doses together."""
    missing = (
        Input("need", totals.yan_mg_per_l, "mg/L"),
        Input("in the must already", totals.own_mg_per_l, "mg/L"),
        Input("volume", volume_l, "L"),
    )
    dap = Explained(
        "DAP, all doses",
        totals.dap_g,
        "g",
        "(need - own) x volume x inorganic share / nitrogen of DAP, and no more than the ceiling"
        + (": the ceiling holds here, the rest goes to autolysate" if totals.dap_capped else ""),
        (*missing, Input("inorganic share", inorganic_share), Input("nitrogen of DAP", DAP_N_PERCENT, "%")),
        "DAP by IUPAC atomic weights; ceiling 0.96 g/L by 27 CFR 24.246 (memory); the share is common practice",
    )
    autolysate = Explained(
        "autolysate, all doses",
        totals.autolysate_g,
        "g",
        "the nitrogen that DAP and complex nutrient leave open / nitrogen of the autolysate",
        (*missing, Input("nitrogen of the autolysate", autolysate_n_percent, "%"), Input("part that counts", effect)),
        "the label of the autolysate; its default is an estimate below the 12 % of OIV COEI-1-AUTLYS",
    )
    return (dap, autolysate) if totals.complex_g == 0.0 else (dap, autolysate, _complex(totals, missing))


def _complex(totals: DoseTotals, missing: tuple[Input, ...]) -> Explained:
    how = "(need - own) x volume x its share / nitrogen on its label"
    return Explained("complex nutrient, all doses", totals.complex_g, "g", how, missing, "the label of the nutrient")


def sulfite(
    dose: SulfiteDose, *, volume_l: float, ph: float, abv_percent: float, molecular: float, salt: str, free: float = 0.0
) -> tuple[Explained, ...]:
    """Free SO2 and the grams of metabisulfite for it."""
    need = Explained(
        "free SO2 wanted",
        dose.free_so2_mg_per_l,
        "mg/L",
        "molecular SO2 wanted x (1 + 10^(pH - pK))",
        (
            Input("molecular SO2 wanted", f"{molecular:g} mg/L"),
            Input("acidity", ph, "pH"),
            Input("strength", abv_percent, "% vol"),
            Input("temperature counted", dose.temp_used_c, "°C"),
            Input("molecular part of free", dose.molecular_percent, "%"),
        ),
        OIV_PK,
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
        ),
        OIV_PK,
    )
    return need, grams


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


def honey(grams: float, *, volume_l: float, from_sg: float, to_sg: float, moisture_percent: float) -> Explained:
    """Honey that lifts a gravity, its own water and volume counted."""
    return Explained(
        "honey",
        grams,
        "g",
        "so much that water, sugar and alcohol, with the honey's own water and sugar, have the wanted gravity",
        (
            Input("volume", volume_l, "L"),
            Input("from", from_sg, "SG"),
            Input("to", to_sg, "SG"),
            Input("moisture of the honey", moisture_percent, "%"),
        ),
        "mass balance; moisture 17.1 %: USDA nutrient data base 19296, unless another is given",
    )


def fruit(parts: FruitParts, mass_g: float) -> tuple[Explained, ...]:
    """Sugar, water and room of fruit."""
    of = parts.fruit
    given = Input(f"{of.name}, {of.form}", mass_g, "g")
    eaten = Input("edible part", parts.edible_g, "g")
    source = of.source + (f"; {of.counted_for} is counted as its relative" if of.counted_for else "")
    return (
        Explained("sugar of the fruit", parts.sugar_g, "g", "edible part x sugar", (
            given, eaten, Input("sugar", of.sugar_percent, "%"), Input("give or take", parts.sugar_sd_g, "g"),
        ), source),
        Explained("water of the fruit", parts.water_g, "g", "edible part x water", (
            given, eaten, Input("water", of.water_percent, "%"),
        ), source),
        Explained("room that the fruit takes", parts.displaces_l, "L", "mass / density / (1 - air in whole fruit)", (
            given, Input("density", f"{of.density_g_per_ml:g} g/mL"), Input("air in whole fruit", of.air_share),
        ), "density by Choi & Okos (1986) from the composition; air in whole fruit as the table says"),
    )  # fmt: skip
