"""How sure a strength is, and what the trade calls it."""

from functools import cache
from math import hypot

from fermtui.must.composition import EXTRACT_PER_ETHANOL, Must, unferment
from fermtui.must.csv_tables import open_table
from fermtui.must.density import RHO_ETHANOL_20, RHO_WATER_20, curve_at, mixture_volume
from fermtui.must.limits import OutOfRange, within

YIELD_REL_SD = 0.02
"""Ethanol per extract varies that much between yeasts and musts: 16.83 to 17 g/L per % vol and somewhat more."""
FRUIT_REL_SD = 0.20
"""One lot of fruit against the average in a food table (common practice, no source)."""
HONEY_REL_SD = 0.02
"""Moisture of 15 to 20 % in the honey, weighed but not measured in the must."""
OG_NOT_READ_SD = 0.004
"""SG of a must that was mixed by weight and never read: estimate, no source."""
_WHY_SD = "it is a standard uncertainty in SG"
_WHY_REL = "it is a share of the whole"


def abv_plus_minus(
    must: Must,
    *,
    fermented_g: float,
    og_sd: float = 0.001,
    sg_sd: float = 0.001,
    yield_rel_sd: float = YIELD_REL_SD,
    fruit_sugar_g: float = 0.0,
    fruit_rel_sd: float = FRUIT_REL_SD,
    honey_added_unmeasured_g: float = 0.0,
    honey_rel_sd: float = HONEY_REL_SD,
) -> float:
    """Standard uncertainty of the strength in % vol (two times in three the truth lies within it); 0.3 as a rule.

    `fermented_g` is the extract that the yeast took of what is here now; `fruit_sugar_g` the sugar that came with fruit
    and `honey_added_unmeasured_g` the honey (g) fed without a reading just before and after. First-order propagation:
    the last reading pins the gravity, so whatever was wrong with the sugar is made up by more or less fermentation.
    Independent errors add as squares. 0.0 while there is no ethanol and nothing has fermented. Raises OutOfRange.
    """
    within("original gravity's uncertainty", og_sd, 0.0, 0.1, "SG", _WHY_SD)
    within("gravity's uncertainty", sg_sd, 0.0, 0.1, "SG", _WHY_SD)
    for name, share in (("yield", yield_rel_sd), ("fruit", fruit_rel_sd), ("honey", honey_rel_sd)):
        within(f"{name} uncertainty", share, 0.0, 1.0, "", _WHY_REL)
    within("fruit sugar", fruit_sugar_g, 0.0, 1e8, "g", "it is the sugar of the fruit")
    within("honey", honey_added_unmeasured_g, 0.0, 1e8, "g", "it is the honey that was added")
    if must.water_g < 0.1 * must.held_g:
        raise OutOfRange("less than a tenth of it is water, so it is no must: check what was written as mixed in")
    if fermented_g <= 0.0 and must.ethanol_g == 0.0:
        return 0.0
    sg_per_sugar, abv_per_sugar, sg_per_ethanol, abv_per_ethanol = _slopes(must)
    sg_per_eaten = sg_per_ethanol / EXTRACT_PER_ETHANOL - sg_per_sugar
    abv_per_eaten = abv_per_ethanol / EXTRACT_PER_ETHANOL - abv_per_sugar
    per_sg = abv_per_eaten / sg_per_eaten
    per_sugar = abv_per_sugar - sg_per_sugar * per_sg
    per_ethanol = abv_per_ethanol - sg_per_ethanol * per_sg
    og_sugar_g = og_sd / _slopes(unferment(must, fermented_g))[0]
    return hypot(
        per_sg * sg_sd,
        per_sugar * og_sugar_g,
        per_ethanol * yield_rel_sd * fermented_g / EXTRACT_PER_ETHANOL,
        per_sugar * fruit_rel_sd * fruit_sugar_g,
        per_sugar * honey_rel_sd * 0.83 * honey_added_unmeasured_g,
    )


def strength_band(abv_percent: float) -> str | None:
    """hydromel, standard or sack, None below 3.5 and above 18 % vol. Source: BJCP mead guidelines, 2008."""
    named = [name for name, (low, high) in _bands()["strength_abv_percent"].items() if low <= abv_percent <= high]
    return named[-1] if named else None  # on a border the stronger one


def sweetness_band(end_sg: float) -> str:
    """dry, semi-sweet or sweet by final gravity; below 0.990 is dry and above 1.040 sweet. Source: as above."""
    named = "dry"
    for name, (low, _high) in _bands()["sweetness_sg"].items():
        if end_sg >= low:
            named = name
    return named


def _slopes(must: Must) -> tuple[float, float, float, float]:
    water_g, sugar_g, ethanol_g, curve = must.water_g, must.sugar_g, must.ethanol_g, curve_at(20.0)
    step_g = 1e-4 * must.held_g

    def figures(sugar: float, ethanol: float) -> tuple[float, float]:
        litres = mixture_volume(water_g, sugar, ethanol, curve)
        return (water_g + sugar + ethanol) / litres / RHO_WATER_20, 100.0 * ethanol / RHO_ETHANOL_20 / litres

    sg, abv = figures(sugar_g, ethanol_g)
    sg_s, abv_s = figures(sugar_g + step_g, ethanol_g)
    sg_e, abv_e = figures(sugar_g, ethanol_g + step_g)
    return (sg_s - sg) / step_g, (abv_s - abv) / step_g, (sg_e - sg) / step_g, (abv_e - abv) / step_g


@cache
def _bands() -> dict[str, dict[str, tuple[float, float]]]:
    import tomllib

    with open_table("mead_bands.toml") as file:
        table = tomllib.load(file)
    return {kind: {name: (low, high) for name, (low, high) in rows.items()} for kind, rows in table.items()}
