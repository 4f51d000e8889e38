"""Pasteurising units: what heat does to yeast, by its temperature and time."""

from fermtui.must.limits import within

REFERENCE_C = 60.0
FACTOR_PER_C = 1.393
"""A degree more kills so much faster (z = 6.94 °C): Del Vecchio, Dayharsh and Baselt 1951, as quoted in handbooks."""
LEAST_C = 50.0
"""Below it the formula is doubtful, and nothing is counted."""
ENOUGH_UNITS = 50.0
"""For a drink with sugar left, as is usual for sweet cider: common practice, no source. Beer gets about 15."""


def pasteurising_units(minutes: float, temp_c: float) -> float:
    """Pasteurising units of so many minutes at a temperature in °C of the drink itself. Raises OutOfRange."""
    within("time", minutes, 0.0, 10_000.0, "min", "heat for minutes, not days")
    within("temperature", temp_c, -10.0, 100.0, "°C", "an open pan gets no hotter")
    return 0.0 if temp_c < LEAST_C else minutes * FACTOR_PER_C ** (temp_c - REFERENCE_C)
