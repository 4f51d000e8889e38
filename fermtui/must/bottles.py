"""Bottles: how many, closed with what, how full, and the pressure that sugar could make in them.

Solubility of CO2: Weiss (1974) in fresh water, times 0.90 for mead. All pressures are excess over 1 atm, in bar.
The bottle is taken as sealed and stiff: a figure for warnings, never a permission to put pressure into weak glass.
"""

from functools import cache
from math import exp, log
from typing import Literal, NamedTuple

from fermtui.must import limits
from fermtui.must.air import CO2_G_PER_G_SUGAR, CO2_G_PER_MOL
from fermtui.must.csv_tables import Row, keyed, rows
from fermtui.must.density import rho_water
from fermtui.must.limits import OutOfRange, within

Start = Literal["saturated", "degassed"]

MEAD_FACTOR = 0.90
"""Mead dissolves less than water. Measured Henry constants: a sparkling wine at 10 °C about 2.1 g/(L bar) and a lager
at 6 °C about 2.4 (PMC8047704, table 1), where water has 2.33 and 2.68 (Weiss 1974)."""
ATM_BAR = 1.01325
GAS_L_BAR = 0.0831446
"""L bar / (mol K)."""
ZERO_K = 273.15
CO2_G_PER_VOLUME = 1.9768
"""One litre of CO2 at 0 °C and 1 atm."""
SEALED_AT_C = 20.0
WARM_C = 30.0
"""A warm room: what is sealed at 20 °C has to bear it."""
ROUNDING_BAR = 1e-9
HEADSPACE_SHARE = 0.02
"""15 mL above 750: what a usual fill leaves."""

FERMENT_LOSS_PERCENT = 5.0
RACKING_LOSS_PERCENT = 2.0
"""Lees, and each later racking: estimates, no published number found (3 to 6 and 1 to 2 %)."""

FILL_MM_AT_68F = 63.5
FILL_MM_PER_C = 0.99
"""Cork trade council bulletin, standard 750 mL bottle: 0.55 mm for each °F."""
CORK_SITS_MM = 1.0
"""The bulletin's tables set a cork a millimetre below the rim."""


class BottleCount(NamedTuple):
    """Full bottles out of a volume."""

    size_ml: float
    count: int  # type: ignore[assignment]  # bottles, not the count method of a tuple
    filled_l: float
    left_l: float
    """What does not fill another bottle: to drink, or to top up with."""


class Closure(NamedTuple):
    """A closure, and whether it may be trusted for the planned years."""

    key: str
    years_low: float
    years_high: float
    holds: tuple[str, ...]
    """Kinds of mead whose pressure it is made for: still, beer, sparkling."""
    fact: str
    source: str

    def fits(self, years: float, kind: str = "still") -> bool:
        """Whether it suits that many years for that kind, judged by the shorter of its spans."""
        return kind in self.holds and years <= self.years_low


class Glass(NamedTuple):
    """A kind of bottle, the excess pressure at 20 °C to plan for at most, and the most that 30 °C may make of it."""

    key: str
    limit_bar: float
    warm_limit_bar: float
    source: str

    def holds(self, bar_at_20c: float, bar_at_30c: float) -> bool:
        """Whether both stay within its lines: a bottle that is sound in the cellar must be so in a warm room."""
        return bar_at_20c <= self.limit_bar + ROUNDING_BAR and bar_at_30c <= self.warm_limit_bar + ROUNDING_BAR


class Priming(NamedTuple):
    """Sugar for a wanted fizz."""

    sugar_g: float
    residual_volumes: float
    """CO2 that the mead holds already."""
    co2_g_per_l: float
    bar_at_20c: float
    bar_at_30c: float


def volume_after_losses_l(
    volume_l: float,
    *,
    rackings: int = 1,
    fruit_loss_l: float = 0.0,
    ferment_loss_percent: float = FERMENT_LOSS_PERCENT,
    racking_loss_percent: float = RACKING_LOSS_PERCENT,
) -> float:
    """Return what is left of `volume_l` after the lees, later rackings (0 to 20) and pulled fruit, never below 0."""
    limits.part_l(volume_l)
    within("rackings", rackings, 0, 20, "", "each one costs mead and air")
    left = volume_l - limits.part_l(fruit_loss_l)
    left *= 1 - limits.percent("loss to lees", ferment_loss_percent) / 100
    left *= (1 - limits.percent("loss of a racking", racking_loss_percent) / 100) ** rackings
    return max(left, 0.0)


def bottle_count(volume_l: float, size_ml: float = 750.0, loss_percent: float = 0.0) -> BottleCount:
    """Return the full bottles of `size_ml` (20 to 30,000) out of `volume_l` less a loss. Raises OutOfRange."""
    limits.part_l(volume_l)
    within("bottle size", size_ml, 20, 30_000, "mL", "bottles run from a miniature to a demijohn")
    have_l = volume_l * (1 - limits.percent("loss", loss_percent) / 100)
    # A hair of slack: 3 L is four bottles of 750 mL also where the sum before it was rounded.
    count = int(have_l * 1000 / size_ml + 1e-6)
    filled_l = count * size_ml / 1000
    return BottleCount(size_ml, count, filled_l, max(have_l - filled_l, 0.0))


@cache
def closures() -> tuple[Closure, ...]:
    """Return the closures of tables/closures.csv; their years are common practice, no source."""
    return tuple(_closure(row) for row in rows("closures"))


def closures_for(years: float, kind: str = "still") -> tuple[Closure, ...]:
    """Return the closures that suit a planned age of 0 to 50 years for a kind of mead (still, beer, sparkling)."""
    within("planned age", years, 0, 50, "years", "no closure is trusted that long")
    return tuple(closure for closure in closures() if closure.fits(years, kind))


def glass(key: str) -> Glass:
    """Return the pressure line of a glass (still, beer, sparkling). Raises OutOfRange for another."""
    row = keyed("glass").get(key)
    if row is None:
        raise OutOfRange(f"glass {key[:40]!r} is not known: it is one of {', '.join(keyed('glass'))}")
    return Glass(key, float(row["limit_bar"]), float(row["warm_limit_bar"]), row["status_and_source"])


def line_bar(key: str) -> float:
    """Return a line of tables/pressure_lines.csv in bar excess (cork_pushed, still_warn, sparkling_uk, ...)."""
    return float(keyed("pressure_lines")[key]["bar"])


def solubility_g_per_l_bar(temp_c: float, factor: float = MEAD_FACTOR) -> float:
    """Return the CO2 that a litre holds for each bar of it, g, at -5 to 40 °C.

    Weiss (1974) times the density of water; `factor` 0.5 to 1.2 (1 = water, 0.90 = mead). Raises OutOfRange.
    """
    limits.temp_c(temp_c)
    within("solubility factor", factor, 0.5, 1.2, "", "water is 1 and mead about 0.9")
    t = (temp_c + ZERO_K) / 100
    mol_per_kg_atm = exp(-60.2409 + 93.4517 / t + 23.3585 * log(t))
    return mol_per_kg_atm * CO2_G_PER_MOL * rho_water(temp_c) / 1000 / ATM_BAR * factor


def pressure_bar_excess(
    sugar_g_per_l: float,
    temp_c: float = 20.0,
    *,
    start: Start = "saturated",
    bottle_ml: float = 750.0,
    headspace_ml: float | None = None,
    co2_g_per_g: float = CO2_G_PER_G_SUGAR,
) -> float:
    """Return the excess pressure at `temp_c` once all refermentable sugar (0 to 300 g/L of hexose) has fermented.

    "saturated": mead as it comes from a ferment, full of CO2 at 20 °C and 1 atm. "degassed": none dissolved and air
    above. Below 0 the bottle draws in. Weiss (1974), ideal gas above; the mead's own swelling is left out, so a bottle
    filled to the cork stands higher when warm. Raises OutOfRange.
    """
    within("refermentable sugar", sugar_g_per_l, 0, 300, "g/L", "no still mead leaves more for a second ferment")
    within("CO2 of the sugar", co2_g_per_g, 0, 0.6, "g/g", "no sugar gives more")
    liquid_l, gas_l = _spaces(bottle_ml, headspace_ml)
    kelvin = temp_c + ZERO_K
    co2_g = sugar_g_per_l * co2_g_per_g * liquid_l
    air_bar = 0.0
    if start == "degassed":
        air_bar = ATM_BAR * kelvin / (SEALED_AT_C + ZERO_K)
    else:
        co2_g += ATM_BAR * _held_g_per_bar(SEALED_AT_C, liquid_l, gas_l)
    return co2_g / _held_g_per_bar(temp_c, liquid_l, gas_l) + air_bar - ATM_BAR


def sugar_for_bar_g_per_l(
    bar_excess: float, temp_c: float = 20.0, *, bottle_ml: float = 750.0, headspace_ml: float | None = None
) -> float:
    """Return the hexose (g/L) that brings a saturated bottle to 0 to 16 bar excess at `temp_c`, never below 0."""
    within("pressure", bar_excess, 0, 16, "bar", "above it even glass for sparkling wine bursts")
    liquid_l, gas_l = _spaces(bottle_ml, headspace_ml)
    co2_g = (bar_excess + ATM_BAR) * _held_g_per_bar(temp_c, liquid_l, gas_l)
    co2_g -= ATM_BAR * _held_g_per_bar(SEALED_AT_C, liquid_l, gas_l)
    return max(co2_g / liquid_l / CO2_G_PER_G_SUGAR, 0.0)


def most_sugar_g_per_l(key: str, bottle_ml: float = 750.0) -> float:
    """Return the hexose (g/L) that a saturated bottle of this glass bears at 20 and at 30 °C, never below 0."""
    kind = glass(key)
    cool = sugar_for_bar_g_per_l(kind.limit_bar, SEALED_AT_C, bottle_ml=bottle_ml)
    return min(cool, sugar_for_bar_g_per_l(kind.warm_limit_bar, WARM_C, bottle_ml=bottle_ml))


def most_volumes(key: str) -> float:
    """Return the volumes of CO2 in mead that this glass bears at 20 and at 30 °C."""
    kind = glass(key)

    def held(bar_excess: float, temp_c: float) -> float:
        return (bar_excess + ATM_BAR) * solubility_g_per_l_bar(temp_c) / CO2_G_PER_VOLUME

    return min(held(kind.limit_bar, SEALED_AT_C), held(kind.warm_limit_bar, WARM_C))


def volumes_to_bar(volumes: float, temp_c: float = 20.0) -> float:
    """Return the excess pressure over mead that holds `volumes` (0 to 12) of CO2 at `temp_c`."""
    within("fizz", volumes, 0, 12, "volumes of CO2", "above six even sparkling glass is at its limit")
    return volumes * CO2_G_PER_VOLUME / solubility_g_per_l_bar(temp_c) - ATM_BAR


def residual_volumes(warmest_c: float, factor: float = MEAD_FACTOR) -> float:
    """Return the CO2 that still mead holds, in volumes, from the warmest temperature since its ferment ended.

    `factor` 1 is water, by which the usual polynomials of brewing reckon: a tenth more.
    """
    return solubility_g_per_l_bar(warmest_c, factor) * ATM_BAR / CO2_G_PER_VOLUME


def priming(volume_l: float, volumes: float, warmest_c: float, kind: str = "sucrose") -> Priming:
    """Return the priming sugar for wanted volumes of CO2 (0 to 12) in `volume_l` that ferments it all.

    `kind`: sucrose, dextrose (monohydrate) or honey. `warmest_c` as in `residual_volumes`. The pressures count all
    CO2 as dissolved; compare with `glass(...).limit_bar`. Raises OutOfRange.
    """
    limits.volume_l(volume_l)
    row = keyed("priming").get(kind)
    if row is None:
        raise OutOfRange(f"priming sugar {kind[:40]!r} is not known: it is one of {', '.join(keyed('priming'))}")
    within("fizz", volumes, 0, 12, "volumes of CO2", "above six even sparkling glass is at its limit")
    there = residual_volumes(warmest_c)
    add_g_per_l = max(volumes - there, 0.0) * CO2_G_PER_VOLUME
    total = max(volumes, there)
    return Priming(
        sugar_g=add_g_per_l * volume_l / float(row["co2_g_per_g"]),
        residual_volumes=there,
        co2_g_per_l=total * CO2_G_PER_VOLUME,
        bar_at_20c=volumes_to_bar(total, 20.0),
        bar_at_30c=volumes_to_bar(total, 30.0),
    )


def fill_level_mm(mead_c: float = 20.0) -> float:
    """Return how far below the rim a 750 mL bottle is filled, mm, for mead of 0 to 30 °C: cold mead will swell."""
    within("mead", mead_c, 0, 30, "°C", "the rule of the bulletin is for filling at cellar or room temperature")
    return FILL_MM_AT_68F - FILL_MM_PER_C * (mead_c - 20.0)


def ullage_mm(mead_c: float = 20.0, cork_mm: float = 45.0) -> float:
    """Return the gap below a cork of 20 to 60 mm in a bottle filled as in `fill_level_mm`, mm, never below 0."""
    within("cork", cork_mm, 20, 60, "mm", "corks for bottles lie between")
    return max(fill_level_mm(mead_c) - cork_mm - CORK_SITS_MM, 0.0)


def _spaces(bottle_ml: float, headspace_ml: float | None) -> tuple[float, float]:
    within("bottle size", bottle_ml, 20, 30_000, "mL", "bottles run from a miniature to a demijohn")
    gas_ml = bottle_ml * HEADSPACE_SHARE if headspace_ml is None else headspace_ml
    within("headspace", gas_ml, 0, bottle_ml, "mL", "a bottle that is more air than mead is no full bottle")
    return bottle_ml / 1000, gas_ml / 1000


def _held_g_per_bar(temp_c: float, liquid_l: float, gas_l: float) -> float:
    """Return the CO2 in mead and headspace together for each bar of it, g."""
    return liquid_l * solubility_g_per_l_bar(temp_c) + gas_l * CO2_G_PER_MOL / (GAS_L_BAR * (temp_c + ZERO_K))


def _closure(row: Row) -> Closure:
    return Closure(
        row["key"],
        float(row["years_low"]),
        float(row["years_high"]),
        tuple(row["holds"].split()),
        row["fact"],
        row["status_and_source"],
    )
