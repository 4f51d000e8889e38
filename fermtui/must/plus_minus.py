"""How sure the sums are that a maker acts on: one standard deviation, by moving each input by its own.

First-order propagation: independent errors add as squares. The spreads of the inputs are common practice, no source,
where nothing else stands beside them.
"""

from collections.abc import Callable
from math import hypot

from fermtui.must.bottles import MEAD_FACTOR, SEALED_AT_C, Start, pressure_bar_excess, residual_volumes, volumes_to_bar
from fermtui.must.composition import Must, with_gravity
from fermtui.must.final_gravity import STRENGTH_SD_ABV
from fermtui.must.honey import honey_to_sweeten
from fermtui.must.hydrometer import READING_SD_SG, true_sg
from fermtui.must.limits import OutOfRange
from fermtui.must.preservatives import SO2_SHARE, SorbateDose, free_so2_needed_mg_per_l, sorbate_dose
from fermtui.must.strength import HONEY_REL_SD

TEMP_SD_C = 1.0
PH_SD = 0.05
"""Of a meter that was checked in its buffers."""
VOLUME_REL_SD = 0.02
NEED_REL_SD = 0.2
"""Of the nitrogen that a yeast needs: the tables are of grapes, and those of several authors differ by that much."""
MEAD_FACTOR_SD = 0.03
"""Two drinks were measured, and mead was not."""
SUGAR_REL_SD = 0.05


def spread(of: Callable[[float], float], at: float, sd: float) -> float:
    """How much `of` moves where its input moves by `sd`: half of both sides, or the one side that is in its range."""
    found = []
    for moved in (at - sd, at + sd):
        try:
            found.append(of(moved))
        except OutOfRange:
            continue
    if len(found) == 2:
        return abs(found[1] - found[0]) / 2.0
    return abs(found[0] - of(at)) if found else 0.0


def corrected_sg(
    reading: float, temp_c: float, start: Must | None, *, calibrated_c: float = 20.0, offset_sg: float = 0.0
) -> float:
    """Of a hydrometer reading brought to 20 °C, in SG: how it is read, and the temperature of the sample."""
    by_temp = spread(
        lambda c: true_sg(reading, c, start, calibrated_c=calibrated_c, offset_sg=offset_sg), temp_c, TEMP_SD_C
    )
    return hypot(READING_SD_SG, by_temp)


def free_so2_mg_per_l(ph: float, temp_c: float, abv_percent: float, molecular_mg_per_l: float) -> float:
    """Of the free SO2 wanted, in mg/L: pH, temperature and strength as they are measured."""
    return hypot(
        spread(lambda x: free_so2_needed_mg_per_l(x, temp_c, abv_percent, molecular_mg_per_l), ph, PH_SD),
        spread(lambda c: free_so2_needed_mg_per_l(ph, c, abv_percent, molecular_mg_per_l), temp_c, TEMP_SD_C),
        spread(lambda a: free_so2_needed_mg_per_l(ph, temp_c, a, molecular_mg_per_l), abv_percent, STRENGTH_SD_ABV),
    )


def metabisulfite_g(metabisulfite: float, free_sd_mg_per_l: float, volume_l: float, salt: str) -> float:
    """Of the grams of metabisulfite: the free SO2 wanted, and the volume. 0 where none is wanted."""
    by_need = free_sd_mg_per_l * volume_l / 1000.0 / SO2_SHARE[salt]
    return hypot(by_need, VOLUME_REL_SD * metabisulfite) if metabisulfite else 0.0


def sorbate_g(volume_l: float, ph: float, abv_percent: float) -> float:
    """Of the grams of potassium sorbate: pH, strength and volume."""

    def grams(acidity: float, strength: float) -> float:
        dose = sorbate_dose(volume_l, acidity, strength)
        if not isinstance(dose, SorbateDose):
            raise OutOfRange("the table has no dose there")
        return dose.potassium_sorbate_g

    return hypot(
        spread(lambda x: grams(x, abv_percent), ph, PH_SD),
        spread(lambda a: grams(ph, a), abv_percent, STRENGTH_SD_ABV),
        VOLUME_REL_SD * grams(ph, abv_percent),
    )


def nitrogen_mg_per_l(need_mg_per_l: float) -> float:
    """Of the nitrogen that the yeast needs."""
    return NEED_REL_SD * need_mg_per_l


def honey_to_sweeten_g(before: Must, to_sg: float, moisture_percent: float) -> float:
    """Of the honey for a wanted gravity: the gravity as it is read, the volume, and the honey."""
    honey_g = honey_to_sweeten(before, to_sg, moisture_percent)

    def from_gravity(sg: float) -> float:
        return honey_to_sweeten(with_gravity(before, sg), max(sg, to_sg), moisture_percent)

    return hypot(spread(from_gravity, before.sg, READING_SD_SG), VOLUME_REL_SD * honey_g, HONEY_REL_SD * honey_g)


def pressure_bar(
    sugar_g_per_l: float, temp_c: float, *, start: Start = "saturated", bottle_ml: float = 750.0, sugar_sd: float = 0.0
) -> float:
    """Of the pressure in a bottle, in bar: the sugar (`sugar_sd` in g/L) and how much gas mead holds.

    The mead was saturated by the same factor when it was sealed, so what that factor moves is the gas of the sugar.
    """
    full = pressure_bar_excess(sugar_g_per_l, temp_c, start=start, bottle_ml=bottle_ml)
    empty = pressure_bar_excess(0.0, temp_c, start=start, bottle_ml=bottle_ml)
    by_sugar = spread(
        lambda g: pressure_bar_excess(g, temp_c, start=start, bottle_ml=bottle_ml), sugar_g_per_l, sugar_sd
    )
    return hypot(by_sugar, (full - empty) * MEAD_FACTOR_SD / MEAD_FACTOR)


def primed_bar(volumes: float, temp_c: float, warmest_c: float = SEALED_AT_C) -> float:
    """Of the pressure of a primed bottle at `temp_c`, in bar: what it held already, and how much gas mead holds."""
    bar = volumes_to_bar(volumes, temp_c)
    by_residual = spread(
        lambda factor: volumes_to_bar(volumes - residual_volumes(warmest_c) + residual_volumes(warmest_c, factor),
                                      temp_c), MEAD_FACTOR, MEAD_FACTOR_SD,
    )  # fmt: skip
    return hypot(by_residual, abs(bar) * MEAD_FACTOR_SD / MEAD_FACTOR)
