"""Where a mead begins to freeze.

Ideal depression by all that is dissolved, 1.86 K kg/mol, up to 5 % vol; above it ethanol in water by the table of the
CRC Handbook (from memory), lowered by what the sugar adds. Good to about a degree: ice forms a little below it, and
a vessel that is stirred or full of lees sooner.
"""

from itertools import pairwise

from fermtui.must.composition import Must
from fermtui.must.limits import within

K_KG_PER_MOL = 1.86
ETHANOL_G_PER_MOL, SUGAR_G_PER_MOL = 46.07, 180.16
IDEAL_TO_PERCENT = 4.0  # by mass: 5 % vol
ETHANOL_TABLE = ((4.0, -1.7), (8.0, -3.6), (10.0, -4.7), (12.0, -5.8), (16.0, -8.2), (20.0, -10.9), (25.0, -15.0))
"""% of ethanol by mass and °C: CRC Handbook, concentrative properties of aqueous solutions, from memory."""
PLUS_MINUS_C = 1.0


def freezing_point_c(must: Must) -> float:
    """The temperature at which ice begins to form in °C, for 0 to 25 % of ethanol by mass. Raises OutOfRange."""
    by_mass = within("alcohol", must.ethanol_mass_percent, 0.0, 25.0, "% by mass", "the table ends there")
    sugar = K_KG_PER_MOL * 1000.0 * must.sugar_g / SUGAR_G_PER_MOL / must.water_g
    if by_mass <= IDEAL_TO_PERCENT:
        return -K_KG_PER_MOL * 1000.0 * must.ethanol_g / ETHANOL_G_PER_MOL / must.water_g - sugar
    for (low, warm), (high, cold) in pairwise(ETHANOL_TABLE):
        if by_mass <= high:
            return warm + (cold - warm) * (by_mass - low) / (high - low) - sugar
    return ETHANOL_TABLE[-1][1] - sugar
