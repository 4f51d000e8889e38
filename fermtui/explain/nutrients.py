"""Nutrients: how the need and the grams come about."""

from __future__ import annotations

from fermtui.explain.explained import Explained, Input
from fermtui.must.nutrients import DAP_N_PERCENT, DoseTotals

YAN_SOURCE = (
    "UC Davis Viticulture & Enology: 200 mg/L at 21, 300 at 25, 400 from 28 °Brix, for grape must; below 21 in "
    "proportion; factors for yeast and what honey brings are defaults without a source"
)


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
        "DAP by IUPAC atomic weights; ceiling 0.96 g/L by 27 CFR 24.246, 1 g/L by Reg (EU) 2019/934, both from memory; "
        "the share is common practice",
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
