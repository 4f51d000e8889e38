"""How far down a must may still ferment: the lowest end that is plausible, with its error."""

from typing import NamedTuple

from fermtui.must.composition import EXTRACT_PER_ETHANOL, Must, ferment
from fermtui.must.density import RHO_ETHANOL_20

UNFERMENTABLE_SHARE = 0.03
UNFERMENTABLE_SD = 0.01
"""The part of a honey's extract that no yeast takes. US honeys, survey of 1980: of 82.8 g of solids 1.5 g are higher
sugars, 3.2 g undetermined and 0.2 g ash: between 1.8 and 5.9 %. One standard deviation above the least keeps the end
low."""
PAST_TOLERANCE_ABV = 2.0
"""How far a yeast may go past the tolerance that is stated for it, in % vol: common practice, no source."""
STRONGEST_ABV = 19.0
"""What no yeast is expected to pass where its tolerance is not known, in % vol: common practice, no source."""
STRENGTH_SD_ABV = 0.3
"""How well the strength of a mead is known, in % vol."""
SUGAR_G_PER_L_PER_SG = 2500.0
"""Extract that ferments for a fall of 1 in SG, about: 2.5 g/L a point, by Balling and the density tables."""


class Left(NamedTuple):
    """Extract that may still ferment, in g, with one standard deviation; `end_sg` is the SG 20/20 it would reach."""

    extract_g: float
    sd_g: float
    end_sg: float
    by_tolerance: bool  # whether the yeast's tolerance is what bounds it, not what no yeast takes


def left_to_ferment(must: Must, original_extract_g: float, tolerance_abv: float | None, sd_sg: float = 0.001) -> Left:
    """Extract that may still ferment in `must`, down to the lowest end that is plausible.

    original_extract_g: all extract that went in, before any of it fermented. tolerance_abv: the yeast's, 0 to 25 % vol,
    or None. sd_sg: how well the gravity of the must is known. Bounded by what no yeast takes and by the tolerance.
    """
    if must.is_empty:
        return Left(0.0, 0.0, 1.0, by_tolerance=False)
    volume_l = must.volume_l
    by_sugar = must.sugar_g - UNFERMENTABLE_SHARE * original_extract_g
    strongest = STRONGEST_ABV if tolerance_abv is None else tolerance_abv + PAST_TOLERANCE_ABV
    ethanol_most_g = max(0.0, strongest - must.abv_percent) / 100.0 * volume_l * RHO_ETHANOL_20
    by_strength = ethanol_most_g * EXTRACT_PER_ETHANOL
    extract_g = max(0.0, min(by_sugar, by_strength, must.sugar_g))
    bound = by_strength < by_sugar
    of_strength = STRENGTH_SD_ABV / 100.0 * volume_l * RHO_ETHANOL_20 * EXTRACT_PER_ETHANOL
    spread = of_strength if bound else UNFERMENTABLE_SD * original_extract_g
    by_reading = sd_sg * SUGAR_G_PER_L_PER_SG * volume_l
    return Left(extract_g, (spread**2 + by_reading**2) ** 0.5, ferment(must, extract_g).sg, bound)
