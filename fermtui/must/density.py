"""Water + sugar + ethanol -> density.

Two published binary mixtures (coefficients and sources in tables/density.csv) are joined by adding their volumes and
taking the water that they share off once, so the sum is exact wherever sugar or ethanol is absent. Sugar is reckoned
as sucrose, as degrees Plato and Brix are; a honey must of 24 % by mass is about 0.0005 lighter.
"""

from functools import cache, lru_cache

from fermtui.must.csv_tables import rows
from fermtui.must.limits import OutOfRange, within

RHO_WATER_20 = 998.20123
"""kg/m3 at 20 °C: the first coefficient of OIML R 22."""
RHO_ETHANOL_20 = 789.2391233
"""kg/m3 at 20 °C: OIML R 22 at a mass fraction of 1; what '% vol' divides by."""
COLDEST_C = -5.0
HOTTEST_C = 40.0
LEAST_L = 1e-12
MOST_G = 1e8
"""A hundred tonnes: no home vessel comes near, and sums of such masses stay finite."""

Curve = tuple[float, ...]
"""Density at one temperature: water, eleven powers of the ethanol fraction, six of the sugar fraction."""

_WHY_TEMP = "the density tables end at 40 °C and mead freezes at the other end; let the sample come to room temperature"
_WHY_SHARE = "it is a share by mass"
_WHY_MASS = "a vessel holds no less than nothing and less than a hundred tonnes"


@cache
def _tables() -> tuple[list[float], list[float], list[list[float]], list[list[float]]]:
    table = {row["series"]: [float(number) for number in row["coefficients"].split()] for row in rows("density")}
    return table["A"], table["B"], [table[f"C{i}"] for i in range(1, 6)], [table[f"c{j}"] for j in range(5)]


@lru_cache(maxsize=256)
def curve_at(t_c: float) -> Curve:
    """Collapse the tables to one temperature (°C, -5 to 40); some 15 us once, then free."""
    within("temperature", t_c, COLDEST_C, HOTTEST_C, "°C", _WHY_TEMP)
    a, b, c, s = _tables()
    dt = t_c - 20.0
    water = a[0] + sum(bk * dt ** (k + 1) for k, bk in enumerate(b))
    ethanol = [
        a[k + 1] + sum(ci[k] * dt ** (i + 1) for i, ci in enumerate(c) if k < len(ci)) for k in range(len(a) - 1)
    ]
    tau = dt / 100.0
    sugar = [sum(sj[i] * tau**j for j, sj in enumerate(s) if i < len(sj)) for i in range(len(s[0]))]
    return (water, *ethanol, *sugar)


def mixture_volume(water_g: float, sugar_g: float, ethanol_g: float, curve: Curve) -> float:
    """Litres of a mixture on a curve from `curve_at`. Unchecked, for inner loops: masses in g, none negative."""
    w, e1, e2, e3, e4, e5, e6, e7, e8, e9, e10, e11, s1, s2, s3, s4, s5, s6 = curve
    volume = -water_g / w
    with_sugar_g = water_g + sugar_g
    if with_sugar_g > 0.0:
        x = sugar_g / with_sugar_g
        volume += with_sugar_g / (w + x * (s1 + x * (s2 + x * (s3 + x * (s4 + x * (s5 + x * s6))))))
    with_ethanol_g = water_g + ethanol_g
    if with_ethanol_g > 0.0:
        p = ethanol_g / with_ethanol_g
        r = e5 + p * (e6 + p * (e7 + p * (e8 + p * (e9 + p * (e10 + p * e11)))))
        volume += with_ethanol_g / (w + p * (e1 + p * (e2 + p * (e3 + p * (e4 + p * r)))))
    return volume


def mixture_density(water_g: float, sugar_g: float, ethanol_g: float, t_c: float = 20.0) -> float:
    """kg/m3 of water, sugar and ethanol (g, each 0 to 1e8, not all nothing) at t_c (°C, -5 to 40).

    Raises OutOfRange. Source: OIML R 22 and ICUMSA SPS-4, joined as said above.
    """
    for name, mass_g in (("water", water_g), ("sugar", sugar_g), ("ethanol", ethanol_g)):
        within(name, mass_g, 0.0, MOST_G, "g", _WHY_MASS)
    volume = mixture_volume(water_g, sugar_g, ethanol_g, curve_at(t_c))
    if volume < LEAST_L:
        raise OutOfRange("nothing has no density: give some water, sugar or ethanol")
    return (water_g + sugar_g + ethanol_g) / volume


def rho_water(t_c: float) -> float:
    """kg/m3 of water at t_c (°C, -5 to 40). Source: OIML R 22 at a mass fraction of 0."""
    return curve_at(t_c)[0]


def rho_ethanol_water(mass_fraction: float, t_c: float) -> float:
    """kg/m3 of ethanol in water by mass fraction (0 to 1) at t_c (°C, -5 to 40). Source: OIML R 22."""
    p = within("ethanol", mass_fraction, 0.0, 1.0, "", _WHY_SHARE)
    return mixture_density(1.0 - p, 0.0, p, t_c)


def rho_sugar_water(mass_fraction: float, t_c: float) -> float:
    """kg/m3 of sucrose in water by mass fraction (0 to 1; published to 0.85) at t_c (°C, -5 to 40). ICUMSA SPS-4."""
    w = within("sugar", mass_fraction, 0.0, 1.0, "", _WHY_SHARE)
    return mixture_density(1.0 - w, w, 0.0, t_c)
