"""A hydrometer reading at some temperature -> SG 20/20."""

from fermtui.must.composition import CLOSE_SG, EXTRACT_PER_ETHANOL, Must, from_gravity
from fermtui.must.density import COLDEST_C, HOTTEST_C, RHO_WATER_20, curve_at, mixture_volume, rho_water
from fermtui.must.limits import OutOfRange, within
from fermtui.must.root_finding import find_root

GLASS_PER_C = 25e-6
"""Cubic expansion of soda-lime glass per °C: the conventional value of ISO 1768:1975."""
LOWEST_READING = 0.94
HIGHEST_READING = 1.40
READING_SD_SG = 0.001

_WHY_READING = "hydrometers for must end there, water reads 1.000 and honey must up to 1.2"
_WHY_CALIBRATED = "hydrometers are made for 15 to 27 °C; the temperature is printed on the scale"
_WHY_OFFSET = "an instrument that far off in water belongs in the bin"
_WHY_TEMP = "the density tables end there; let the sample come to room temperature and read again"


def measured_density(reading: float, temp_c: float, *, calibrated_c: float = 20.0) -> float:
    """kg/m3 at temp_c of what a glass hydrometer floats in: R * rho_water(t_cal) / (1 + 25e-6 (t - t_cal))."""
    return reading * rho_water(calibrated_c) / (1.0 + GLASS_PER_C * (temp_c - calibrated_c))


def true_sg(
    reading: float, temp_c: float | None, start: Must | None, *, calibrated_c: float = 20.0, offset_sg: float = 0.0
) -> float:
    """SG 20/20 of a reading (0.94 to 1.40) at temp_c (°C, -5 to 40; None: at the calibration temperature).

    `start` is what the ledger has at present. Along the way that this must can go (extract to ethanol; more extract
    when the reading is above it; more ethanol when below its last gram of extract) the mixture is found whose density
    at temp_c is the measured one, and its gravity at 20 °C returned: ethanol shrinks more in the cold than sugar does,
    and a correction for sugar alone is off by up to 0.0011. None or an empty must: sugar and water only.
    `offset_sg` is added to the reading (-0.05 to 0.05): an instrument that shows 1.002 in water has -0.002.
    Raises OutOfRange.
    """
    within("calibration temperature", calibrated_c, 10.0, 30.0, "°C", _WHY_CALIBRATED)
    t_c = within(
        "sample temperature", calibrated_c if temp_c is None else temp_c, COLDEST_C, HOTTEST_C, "°C", _WHY_TEMP
    )
    shown = within("reading", reading, LOWEST_READING, HIGHEST_READING, "SG", _WHY_READING)
    shown += within("offset of the hydrometer", offset_sg, -0.05, 0.05, "SG", _WHY_OFFSET)
    wanted = measured_density(shown, t_c, calibrated_c=calibrated_c)
    if t_c == 20.0:
        return wanted / RHO_WATER_20
    if start is None or start.is_empty:
        start = from_gravity(1.0, max(1.0, shown))
    water_g, sugar_g, ethanol_g = _on_the_way(start, wanted, t_c)
    volume = mixture_volume(water_g, sugar_g, ethanol_g, curve_at(20.0))
    return (water_g + sugar_g + ethanol_g) / volume / RHO_WATER_20


def _on_the_way(start: Must, wanted: float, t_c: float) -> tuple[float, float, float]:
    curve = curve_at(t_c)
    water_g, sugar_g, ethanol_g = start.water_g, start.sugar_g, start.ethanol_g

    def masses(fermented_g: float) -> tuple[float, float, float]:
        if fermented_g < 0.0:
            return water_g, sugar_g - fermented_g, ethanol_g
        return water_g, max(0.0, sugar_g - fermented_g), ethanol_g + fermented_g / EXTRACT_PER_ETHANOL

    def above(fermented_g: float) -> float:
        water, sugar, ethanol = masses(fermented_g)
        return (water + sugar + ethanol) / mixture_volume(water, sugar, ethanol, curve) - wanted

    whole_g = start.mass_g
    here = above(0.0)
    low, high = (-6.0 * whole_g, 0.0) if here < 0.0 else (0.0, sugar_g)
    if here > 0.0 and above(sugar_g) > 0.0:
        low, high = sugar_g, sugar_g + 4.0 * whole_g
    fermented_g = find_root(above, low, high, close=CLOSE_SG * RHO_WATER_20)
    if fermented_g is None:
        raise OutOfRange(f"a density of {wanted:.1f} kg/m3 at {t_c:g} °C fits no mixture of this must: read again")
    return masses(fermented_g)
