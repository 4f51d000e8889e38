"""How much a vessel holds: by tape where it is round, by weight of water where it is not."""

from math import pi

from fermtui.must.density import rho_water
from fermtui.must.limits import within


def round_volume_l(around_cm: float, height_cm: float, wall_mm: float) -> float:
    """Litres of a cylinder by the tape around it (10 to 1000 cm), its inner height and its wall. Raises OutOfRange."""
    within("tape", around_cm, 10.0, 1000.0, "cm", "a vessel is 3 cm to 3 m across")
    within("height", height_cm, 1.0, 500.0, "cm", "a vessel is 1 cm to 5 m high")
    within("wall", wall_mm, 0.0, 50.0, "mm", "glass is 3 to 5 mm, a barrel's staves 25 to 30 mm")
    inside_cm = around_cm / pi - wall_mm / 5.0
    within("width inside", inside_cm, 0.5, 320.0, "cm", "the wall takes all of it: mind mm and cm")
    return pi * inside_cm**2 / 4.0 * height_cm / 1000.0


def volume_by_weight_l(water_kg: float, temp_c: float) -> float:
    """Litres that so much water (0.01 to 2000 kg) fills at a temperature from 0 to 40 °C. Raises OutOfRange."""
    within("water", water_kg, 0.01, 2000.0, "kg", "weigh the vessel empty and full and take the difference")
    within("temperature", temp_c, 0.0, 40.0, "°C", "water freezes at the one end, and the table stops at the other")
    return 1000.0 * water_kg / rho_water(temp_c)
