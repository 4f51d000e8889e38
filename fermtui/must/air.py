"""Carbon dioxide in a closed room: how much a ferment gives off and which published limit that reaches.

The rise is the worst case of a sealed, evenly mixed room; a normal room exchanges its air every few hours, while a
cupboard, a pit or a cellar floor does not. Ideal gas; weights from IUPAC.
"""

from typing import Literal, NamedTuple

from fermtui.must import limits
from fermtui.must.csv_tables import keyed
from fermtui.must.limits import within

Passed = Literal["none", "eight_hours", "fifteen_minutes", "danger_to_life", "unconscious"]

CO2_G_PER_G_SUGAR = 0.48857
"""From hexose, with nothing kept by the yeast: the most that there can be."""
CO2_G_PER_G_ETHANOL = 0.95532
CO2_G_PER_MOL = 44.009
GAS_L_ATM = 0.0820574
"""L atm / (mol K)."""


PURE_PPM = 1e6


class RoomAir(NamedTuple):
    """CO2 of one or more ferments in a room, if none of it leaves."""

    co2_g: float
    co2_l: float
    rise_ppm: float
    level_ppm: float
    """The rise on top of outdoor air; no more than pure gas, a million."""
    passed: Passed
    """The highest published limit that the level is above."""


def co2_of_sugar_g(sugar_g: float) -> float:
    """Return the CO2 from `sugar_g` of fermented hexose (0 to 1e7 g), g."""
    return limits.mass_g("sugar", sugar_g) * CO2_G_PER_G_SUGAR


def co2_of_ethanol_g(ethanol_g: float) -> float:
    """Return the CO2 that was given off while `ethanol_g` was made (0 to 1e7 g), g: one molecule for each."""
    return limits.mass_g("ethanol", ethanol_g) * CO2_G_PER_G_ETHANOL


def room_air(co2_g: float, room_m3: float, temp_c: float = 20.0) -> RoomAir:
    """Return what `co2_g` (0 to 1e7) does to the air of a closed room of 0.05 to 10,000 m3 at 1 atm.

    Raises OutOfRange. Limits: OSHA PEL 5,000, NIOSH/ACGIH short-term 30,000, NIOSH IDLH 40,000 ppm (tables/co2.csv).
    """
    limits.mass_g("CO2", co2_g)
    within("room", room_m3, 0.05, 10_000, "m3", "it is a closed space, from a small cupboard to a hall")
    limits.temp_c(temp_c)
    co2_l = co2_g / CO2_G_PER_MOL * GAS_L_ATM * (temp_c + 273.15)
    rise_ppm = min(co2_l / (room_m3 * 1000) * 1e6, PURE_PPM)
    level_ppm = min(rise_ppm + limit_ppm("outdoor"), PURE_PPM)
    return RoomAir(co2_g, co2_l, rise_ppm, level_ppm, limit_passed(level_ppm))


def limit_ppm(key: str) -> float:
    """Return a line of tables/co2.csv: outdoor, eight_hours, fifteen_minutes, danger_to_life, unconscious."""
    return float(keyed("co2")[key]["ppm"])


def limit_passed(level_ppm: float) -> Passed:
    """Return the highest published limit that a level lies above."""
    found: Passed = "none"
    keys: tuple[Passed, ...] = ("eight_hours", "fifteen_minutes", "danger_to_life", "unconscious")
    for key in keys:
        if level_ppm > limit_ppm(key):
            found = key
    return found
