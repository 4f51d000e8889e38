"""A refractometer reading -> SG 20/20, and degrees Brix or Plato <-> SG for must without alcohol."""

from collections.abc import Sequence
from functools import cache
from math import hypot

from fermtui.must.composition import EXTRACT_PER_ETHANOL, Must, from_gravity
from fermtui.must.csv_tables import open_table
from fermtui.must.density import RHO_WATER_20, curve_at, mixture_volume
from fermtui.must.limits import OutOfRange, within
from fermtui.must.root_finding import find_root

HIGHEST_BRIX = 50.0
READING_SD_BRIX = 0.2
"""A hand refractometer, read once (common practice, no source)."""
MODEL_SD_BRIX = 0.3
"""What the additive index may be off in a fermenting must: it was never measured for sugar and ethanol together."""
_CLOSE_INDEX = 1e-9
_WHY_BRIX = "hand refractometers for must end at 32, and the tables used here at 50"
_WHY_TEMP = "the published correction starts at 5 °C and is carried on to 30 °C only"


def sg_from_plato(plato: float) -> float:
    """SG 20/20 of a must without alcohol, from g extract per 100 g (0 to 50). Source: ICUMSA SPS-4."""
    within("extract", plato, 0.0, HIGHEST_BRIX, "°P", _WHY_BRIX)
    return Must(100.0 - plato, plato, 0.0).sg


def plato_from_sg(sg: float) -> float:
    """g extract per 100 g of a must without alcohol, from SG 20/20 (1.000 to 1.450). Source: ICUMSA SPS-4."""
    return from_gravity(1.0, sg).extract_mass_percent


def refractive_index(sugar_percent: float, ethanol_percent: float = 0.0) -> float:
    """n at 20 °C, 589 nm of % by mass of sugar (0 to 50) and ethanol (0 to 40). Source: CRC, added up."""
    within("sugar", sugar_percent, 0.0, HIGHEST_BRIX, "% by mass", _WHY_BRIX)
    within("ethanol", ethanol_percent, 0.0, 40.0, "% by mass", "the fitted table ends there")
    sucrose, ethanol, _ = _tables()
    return _polynomial(sucrose, sugar_percent) + _polynomial(ethanol, ethanol_percent)


def brix_at_20(brix: float, temp_c: float) -> float:
    """A reading (°Bx) of an instrument WITHOUT automatic temperature compensation, brought to 20 °C from 5 to 30 °C.

    Source: OIV-MA-AS2-02 Table I, seen for 5 to 16 °C and carried on above (then 0.05 °Bx wide).
    """
    within("refractometer reading", brix, 0.0, HIGHEST_BRIX, "°Bx", _WHY_BRIX)
    within("sample temperature", temp_c, 5.0, 30.0, "°C", _WHY_TEMP)
    dt, (_, _, rows) = temp_c - 20.0, _tables()
    change = sum(c * dt ** (i + 1) * brix**j for i, row in enumerate(rows) for j, c in enumerate(row))
    return max(0.0, brix + change)


def sg_from_brix(brix: float, start: Must | None, *, fermented: bool) -> tuple[float, float]:
    """(SG 20/20, standard uncertainty) of a reading at 20 °C in °Bx (0 to 50).

    fermented=False: sugar and water, the reading is the extract; about 0.001 wide.
    fermented=True: along the way that `start` (the present ledger) can go, the mixture is found whose refractive
    indices add up to the reading. Ethanol bends light too, so the result hangs on the original gravity, and nobody has
    published measured values for the three together: about 0.002 to 0.003 wide. A hydrometer is better here.
    Raises OutOfRange, also for a reading more than 0.5 °Bx below the must with all extract fermented.
    """
    within("refractometer reading", brix, 0.0, HIGHEST_BRIX, "°Bx", _WHY_BRIX)
    if not fermented or start is None or start.is_empty:
        step = 0.05 if brix < 1.0 else -0.05
        sg = sg_from_plato(brix)
        return sg, READING_SD_BRIX * abs((sg_from_plato(brix + step) - sg) / step)
    return _on_the_way(brix, start)


def _on_the_way(brix: float, start: Must) -> tuple[float, float]:
    sucrose, ethanol, _ = _tables()
    water_g, sugar_g, ethanol_g, curve = start.water_g, start.sugar_g, start.ethanol_g, curve_at(20.0)
    wanted = _polynomial(sucrose, brix)

    def masses(eaten_g: float) -> tuple[float, float]:
        if eaten_g < 0.0:
            return sugar_g - eaten_g, ethanol_g
        return max(0.0, sugar_g - eaten_g), ethanol_g + eaten_g / EXTRACT_PER_ETHANOL

    def above(eaten_g: float) -> float:
        sugar, spirit = masses(eaten_g)
        percent = 100.0 / (water_g + sugar + spirit)
        return _polynomial(sucrose, sugar * percent) + _polynomial(ethanol, spirit * percent) - wanted

    def sg(eaten_g: float) -> float:
        sugar, spirit = masses(eaten_g)
        return (water_g + sugar + spirit) / mixture_volume(water_g, sugar, spirit, curve) / RHO_WATER_20

    dry = above(sugar_g)
    if dry > 0.0:
        driest_brix = brix + dry / _SLOPE
        if driest_brix - brix > 0.5:
            raise OutOfRange(
                f"refractometer reading {brix:.1f} °Bx is below {driest_brix:.1f} °Bx, which this must shows with no "
                "sugar left: alcohol reads as sugar, so take a hydrometer"
            )
        eaten_g = sugar_g
    else:
        found = find_root(above, -2.0 * start.mass_g, sugar_g, close=_CLOSE_INDEX)
        if found is None:
            raise OutOfRange(f"refractometer reading {brix:.1f} °Bx fits no mixture of this must: read again")
        eaten_g = found
    step_g = 0.001 * start.mass_g
    per_brix = (sg(eaten_g) - sg(eaten_g - step_g)) / (above(eaten_g) - above(eaten_g - step_g)) * _SLOPE
    return sg(eaten_g), abs(per_brix) * hypot(READING_SD_BRIX, MODEL_SD_BRIX)


_SLOPE = 0.00145
"""Refractive index per °Bx near water: only for saying how wide a result is."""


def _polynomial(high_to_low: Sequence[float], x: float) -> float:
    y = 0.0
    for c in high_to_low:
        y = y * x + c
    return y


@cache
def _tables() -> tuple[list[float], list[float], list[list[float]]]:
    import tomllib  # as in density.py: not on the way to the first paint

    with open_table("refractometer.toml") as file:
        table = tomllib.load(file)
    return table["index"]["sucrose"], table["index"]["ethanol"], table["temperature"]["c"]
