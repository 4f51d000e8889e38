"""Nitrogen for the yeast: the need, grams of each source, shares for timed doses, and what a late dose may still be.

YAN is yeast assimilable nitrogen in mg/L. The need comes from grape must data (UC Davis, tables/yan.csv); a mead must
has the same need and starts from near zero. Demand factors, honey's own nitrogen, the autolysate's content and the
inorganic share have no published source: each is an argument with a visible default.
"""

from collections.abc import Mapping
from functools import cache
from itertools import pairwise
from typing import Literal, NamedTuple

from fermtui.must import limits
from fermtui.must.csv_tables import keyed, limit, rows
from fermtui.must.density import rho_sugar_water
from fermtui.must.limits import OutOfRange, within
from fermtui.must.root_finding import find_root

Demand = Literal["low", "medium", "high"]
Verdict = Literal["as planned", "autolysate instead", "no inorganic", "at the ceiling"]

DAP_N_PERCENT = 21.2
AUTOLYSATE_N_PERCENT = 8.0
"""Estimate, no source: below the 12 % ceiling of OIV COEI-1-AUTLYS; the label goes first."""
HONEY_MG_PER_L = 20.0
"""What the honey of a must brings by itself: assumption, published musts are only said to be very low."""
APPLE_JUICE_MG_PER_L = 80.0
"""Assumption from memory; cider juices are reported from about 30 to 300."""
INORGANIC_SHARE = 0.5
"""Half of the nitrogen from DAP and half from autolysate: common practice, no source."""
LAST_INORGANIC_SPENT = 1 / 3
"""The one-third sugar break: common practice; UC Davis says that ethanol inhibits nitrogen transport."""
SPENT_SLACK = 0.005
"""A hydrometer mark near the break: a dose at the break itself is not late."""
LAST_INORGANIC_ABV = 9.0
"""Memory, no text seen: above it yeast hardly takes up ammonium."""
ORGANIC_MOST_G_PER_L = 5.0
"""Of one organic nutrient in all. No source for the grams: at 8 % they are the 400 mg/L of nitrogen that UC Davis
recommends for the ripest must, and half of that comes from elsewhere."""
REHYDRATION_G_PER_G = 1.25
"""Rehydration nutrient per gram of dry yeast: common practice, no source; the label goes first."""
REHYDRATION_WATER_ML_PER_G = 20.0
REHYDRATION_C = (35.0, 40.0)
REHYDRATION_MINUTES = (15.0, 30.0)
"""Water, warmth and time of rehydrating: common practice, no source."""


class NutrientDose(NamedTuple):
    """Grams of each source in one dose, or in all of them together."""

    dap_g: float = 0.0
    autolysate_g: float = 0.0
    complex_g: float = 0.0


class DoseTotals(NamedTuple):
    """All doses of one ferment together, with the sums that they come from (mg/L of nitrogen)."""

    dap_g: float
    autolysate_g: float
    complex_g: float
    yan_mg_per_l: float
    """The need at pitching, what the must brings included."""
    own_mg_per_l: float
    added_mg_per_l: float
    dap_capped: bool
    """Whether the ceiling moved a part from DAP to autolysate."""


class LateDose(NamedTuple):
    """What a planned dose may be now."""

    dose: NutrientDose
    verdict: Verdict
    only_if_slow: bool
    """True above about 9 % vol: nothing at all unless the ferment lags, and then organic only."""


class Rehydration(NamedTuple):
    """How dry yeast is woken: never with an ammonium salt, so there are no grams of DAP here."""

    nutrient_g: float
    water_ml: float
    temp_low_c: float
    temp_high_c: float
    minutes_low: float
    minutes_high: float


def demand_factors() -> Mapping[str, float]:
    """Return the default factor of each demand class (low, medium, high): estimates, no published source."""
    return {row["demand"]: float(row["factor"]) for row in rows("demand")}


YEAST_G_PER_L = 0.5
YEAST_LEAST_G = 2.0
YEAST_MORE_FROM_SG, YEAST_TWICE_AT_SG = 1.100, 1.130
"""Dry yeast: about a gram for two litres, more for a must that is hard on it. Common practice, no source."""


def yeast_g(volume_l: float, sg: float | None = None) -> float:
    """Return the dry yeast (g) for a must: half a gram a litre and no less than 2 g; from SG 1.100 on more, twice as
    much at 1.130 and above.
    """
    more = 0.0 if sg is None else (sg - YEAST_MORE_FROM_SG) / (YEAST_TWICE_AT_SG - YEAST_MORE_FROM_SG)
    return max(YEAST_LEAST_G, YEAST_G_PER_L * volume_l) * (1.0 + min(1.0, max(0.0, more)))


def brix_of_sugar(sugar_g_per_l: float) -> float:
    """Turn sugar in g/L (0 to 900) into °Brix, per cent by mass."""
    within("sugar", sugar_g_per_l, 0, 900, "g/L", "beyond it is honey and no must")
    brix = find_root(lambda b: 10 * b * rho_sugar_water(b / 100, 20.0) / 1000 - sugar_g_per_l, 0.0, 70.0, close=1e-7)
    return 0.0 if brix is None else brix


def yan_need_mg_per_l(
    *,
    brix: float | None = None,
    sugar_g_per_l: float | None = None,
    demand: str = "medium",
    factor: float | None = None,
) -> float:
    """Return the nitrogen that a must needs at pitching, mg/L, for its sugar as °Brix (0 to 70) or g/L.

    Source: UC Davis, 200 mg/L at 21, 300 at 25, 400 at 28 °Brix and above; in proportion to the sugar below 21.
    `factor` (0.3 to 3) replaces the default of the demand class. Raises OutOfRange.
    """
    if brix is None:
        brix = brix_of_sugar(0.0 if sugar_g_per_l is None else sugar_g_per_l)
    within("must", brix, 0, 70, "°Brix", "beyond it is honey and no must")
    if factor is None:
        factor = _factor(demand)
    within("demand factor", factor, 0.3, 3, "", "no yeast is reported to need a tenth or ten times the usual")
    return factor * _recommended(brix)


def own_nitrogen_mg_per_l(
    volume_l: float,
    juice_l: float = 0.0,
    *,
    honey_mg_per_l: float = HONEY_MG_PER_L,
    juice_mg_per_l: float = APPLE_JUICE_MG_PER_L,
) -> float:
    """Return what honey and juice bring by themselves to a must of `volume_l`, mg/L."""
    limits.volume_l(volume_l)
    within("juice", juice_l, 0, volume_l, "L", "it cannot be more than the must that it is in")
    limits.mg_per_l("nitrogen of the honey must", honey_mg_per_l)
    limits.mg_per_l("nitrogen of the juice", juice_mg_per_l)
    return (honey_mg_per_l * (volume_l - juice_l) + juice_mg_per_l * juice_l) / volume_l


def dose_totals(
    volume_l: float,
    brix: float,
    demand: str = "medium",
    *,
    factor: float | None = None,
    own_mg_per_l: float = HONEY_MG_PER_L,
    inorganic_share: float = INORGANIC_SHARE,
    complex_share: float = 0.0,
    complex_n_percent: float | None = None,
    autolysate_n_percent: float = AUTOLYSATE_N_PERCENT,
    autolysate_effect: float = 1.0,
    dap_ceiling_g_per_l: float | None = None,
) -> DoseTotals:
    """Return the grams of each source for all doses of a must of `volume_l` at `brix` before fermentation.

    The shares divide the missing nitrogen; autolysate takes the rest. `complex_n_percent` is the label's value.
    `autolysate_effect` is the part of its nitrogen that counts (0.1 to 4). DAP stops at the ceiling (default
    0.96 g/L, the lower of the remembered US and EU limits), the rest goes to autolysate. Raises OutOfRange.
    """
    limits.volume_l(volume_l)
    limits.mg_per_l("nitrogen of the must", own_mg_per_l)
    limits.share("inorganic share", inorganic_share)
    within("share of complex nutrient", complex_share, 0, 1 - inorganic_share + 1e-9, "", "all shares make one")
    organic_g_per_g = _organic(autolysate_n_percent, autolysate_effect)
    need = yan_need_mg_per_l(brix=brix, demand=demand, factor=factor)
    missing_g = max(need - own_mg_per_l, 0.0) * volume_l / 1000
    complex_g = 0.0
    if complex_share > 0:
        complex_g = missing_g * complex_share / (_label(complex_n_percent) / 100)
    wanted_dap_g = missing_g * inorganic_share / (DAP_N_PERCENT / 100)
    dap_g = min(wanted_dap_g, dap_room_g(volume_l, 0.0, dap_ceiling_g_per_l))
    rest_g = missing_g * (1 - complex_share) - dap_g * DAP_N_PERCENT / 100
    return DoseTotals(
        dap_g=dap_g,
        autolysate_g=max(rest_g, 0.0) / organic_g_per_g,
        complex_g=complex_g,
        yan_mg_per_l=need,
        own_mg_per_l=own_mg_per_l,
        added_mg_per_l=max(need - own_mg_per_l, 0.0),
        dap_capped=dap_g < wanted_dap_g,
    )


def dose_share(totals: DoseTotals | NutrientDose, share: float) -> NutrientDose:
    """Return one dose: `share` (0 to 1) of the totals."""
    limits.share("share of a dose", share)
    return NutrientDose(totals.dap_g * share, totals.autolysate_g * share, totals.complex_g * share)


def nitrogen_given_mg_per_l(
    dose: NutrientDose,
    volume_l: float,
    *,
    autolysate_n_percent: float = AUTOLYSATE_N_PERCENT,
    autolysate_effect: float = 1.0,
    complex_n_percent: float = 0.0,
) -> float:
    """Return the mg/L of nitrogen that doses put into `volume_l`; a complex nutrient counts by its label's value."""
    limits.volume_l(volume_l)
    _checked(dose)
    limits.percent("nitrogen of the complex nutrient", complex_n_percent)
    nitrogen_g = dose.dap_g * DAP_N_PERCENT / 100 + dose.complex_g * complex_n_percent / 100
    nitrogen_g += dose.autolysate_g * _organic(autolysate_n_percent, autolysate_effect)
    return nitrogen_g * 1000 / volume_l


def dap_room_g(volume_l: float, dap_given_g: float, ceiling_g_per_l: float | None = None) -> float:
    """Return the grams of DAP that `volume_l` may still get under the ceiling, never below 0.

    Default ceiling: the lower of 0.96 g/L (27 CFR 24.246, memory) and 1 g/L (Reg (EU) 2019/934, memory).
    """
    limits.volume_l(volume_l)
    limits.mass_g("DAP", dap_given_g)
    ceiling = min(limit("dap_us"), limit("dap_eu")) if ceiling_g_per_l is None else ceiling_g_per_l
    within("DAP ceiling", ceiling, 0, 5, "g/L", "no rule allows that much; beyond it is a slip of the decimal point")
    return max(volume_l * ceiling - dap_given_g, 0.0)


def instead_autolysate_g(
    dap_g: float, *, autolysate_n_percent: float = AUTOLYSATE_N_PERCENT, autolysate_effect: float = 1.0
) -> float:
    """Return the grams of autolysate with the nitrogen of `dap_g`."""
    return limits.mass_g("DAP", dap_g) * DAP_N_PERCENT / 100 / _organic(autolysate_n_percent, autolysate_effect)


def late_dose(
    dose: NutrientDose,
    *,
    sugar_spent: float,
    abv_percent: float,
    volume_l: float,
    dap_given_g: float,
    ceiling_g_per_l: float | None = None,
) -> LateDose:
    """Return what a dose may be now, whether on time, late or made up for a missed one.

    `sugar_spent` is a share, 0 to 1. After the one-third break DAP becomes autolysate of equal nitrogen; above about
    9 % vol DAP is gone and the organic part is given only if the ferment lags; over the ceiling what has no room
    becomes autolysate. Raises OutOfRange.
    """
    _checked(dose)
    limits.share("sugar spent", sugar_spent)
    limits.abv_percent(abv_percent)
    room_g = dap_room_g(volume_l, dap_given_g, ceiling_g_per_l)
    if abv_percent > LAST_INORGANIC_ABV:
        return LateDose(NutrientDose(0.0, dose.autolysate_g, dose.complex_g), "no inorganic", only_if_slow=True)
    if dose.dap_g > 0 and sugar_spent > LAST_INORGANIC_SPENT + SPENT_SLACK:
        return LateDose(_without(dose, dose.dap_g), "autolysate instead", only_if_slow=False)
    if dose.dap_g > room_g:
        return LateDose(_without(dose, dose.dap_g - room_g), "at the ceiling", only_if_slow=False)
    return LateDose(dose, "as planned", only_if_slow=False)


def rehydration(yeast_g: float, nutrient_g_per_g: float = REHYDRATION_G_PER_G) -> Rehydration:
    """Return how to wake `yeast_g` of dry yeast. Common practice, no source: the packet goes first."""
    limits.mass_g("yeast", yeast_g)
    within("rehydration nutrient", nutrient_g_per_g, 0, 3, "g per g of yeast", "no label asks for more")
    return Rehydration(
        nutrient_g=yeast_g * nutrient_g_per_g,
        water_ml=yeast_g * REHYDRATION_WATER_ML_PER_G,
        temp_low_c=REHYDRATION_C[0],
        temp_high_c=REHYDRATION_C[1],
        minutes_low=REHYDRATION_MINUTES[0],
        minutes_high=REHYDRATION_MINUTES[1],
    )


@cache
def _points() -> tuple[tuple[float, float], ...]:
    return tuple((float(row["brix"]), float(row["recommended_mg_per_l"])) for row in rows("yan"))


def _recommended(brix: float) -> float:
    points = ((0.0, 0.0), *_points())
    for (x0, y0), (x1, y1) in pairwise(points):
        if brix <= x1:
            return y0 + (y1 - y0) * (brix - x0) / (x1 - x0)
    return points[-1][1]


def _factor(demand: str) -> float:
    row = keyed("demand").get(demand)
    if row is None:
        raise OutOfRange(f"demand {demand[:40]!r} is not known: the nitrogen demand of a yeast is low, medium or high")
    return float(row["factor"])


def _organic(n_percent: float, effect: float) -> float:
    within("nitrogen of the autolysate", n_percent, 1, 12, "%", "OIV COEI-1-AUTLYS ends at 12 % of dry matter")
    within("effect of the autolysate", effect, 0.1, 4, "", "it is the part of the label's nitrogen that counts")
    return n_percent / 100 * effect


def _label(n_percent: float | None) -> float:
    if n_percent is None:
        raise OutOfRange("the nitrogen of the complex nutrient is missing: its label says how many per cent it holds")
    return within("nitrogen of the complex nutrient", n_percent, 0.5, 30, "%", "labels lie between")


def _without(dose: NutrientDose, dap_g: float) -> NutrientDose:
    return NutrientDose(dose.dap_g - dap_g, dose.autolysate_g + instead_autolysate_g(dap_g), dose.complex_g)


def _checked(dose: NutrientDose) -> None:
    limits.mass_g("DAP", dose.dap_g)
    limits.mass_g("autolysate", dose.autolysate_g)
    limits.mass_g("complex nutrient", dose.complex_g)
