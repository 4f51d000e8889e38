"""Ranges of the sums: OutOfRange for a number outside what the formulas or the craft allow."""

from math import isfinite


class OutOfRange(ValueError):
    """A value that must/ refuses; its text is one sentence with the range and the reason for it."""


def within(name: str, value: float, low: float, high: float, unit: str, why: str) -> float:
    """Return `value` when low <= value <= high, else raise OutOfRange (NaN and infinities too).

    `unit` stands behind the numbers ("" for a bare ratio), `why` gives the reason for the range:
    "temperature -80 °C is outside -5 to 40 °C: the density tables end there".
    """
    if low <= value <= high:
        return value
    mark = f" {unit}" if unit else ""
    shown = f"{_plainly(value)}{mark}" if isfinite(value) else "that is not a number"
    raise OutOfRange(f"{name} {shown} is outside {_plainly(low)} to {_plainly(high)}{mark}: {why}")


def volume_l(value: float) -> float:
    """Litres, 0.01 to 10,000."""
    return within("volume", value, 0.01, 10_000, "L", "vessels hold 0.01 to 10,000 L")


def part_l(value: float) -> float:
    """Litres that may be nothing, 0 to 10,000."""
    return within("volume", value, 0, 10_000, "L", "no volume is negative, and no vessel holds more than 10,000 L")


def mass_g(name: str, value: float) -> float:
    """Grams, 0 to 10,000,000."""
    return within(name, value, 0, 10_000_000, "g", "no mass is negative, and ten tonnes are the most here")


def ph(value: float) -> float:
    """PH of must, mead or fruit, 2 to 7."""
    return within("pH", value, 2, 7, "", "lemon juice has 2 and pure water 7; check the meter")


def abv_percent(value: float) -> float:
    """Per cent by volume, 0 to 25: what yeast can make, with room to spare."""
    return within("strength", value, 0, 25, "% vol", "no yeast goes further, and the tables of preserving end below")


def temp_c(value: float) -> float:
    """Degrees Celsius of a liquid vessel or bottle, -5 to 40."""
    return within("temperature", value, -5, 40, "°C", "mead freezes at the one end and the tables stop at the other")


def mg_per_l(name: str, value: float) -> float:
    """Milligrams a litre, 0 to 10,000."""
    return within(name, value, 0, 10_000, "mg/L", "no content is negative, and 1 % by mass is the most")


def share(name: str, value: float) -> float:
    """A share of the whole, 0 to 1."""
    return within(name, value, 0, 1, "", "it is a share of the whole")


def percent(name: str, value: float) -> float:
    """Per cent of the whole, 0 to 100."""
    return within(name, value, 0, 100, "%", "it is a part of the whole")


def _plainly(value: float) -> str:
    """Digits in groups for large numbers: 1e+07 g tells a mead maker nothing, and a comma would read as a point."""
    if 100_000 <= abs(value) < 1e15:
        return f"{value:,.0f}".replace(",", " ")
    return f"{value:.6g}"
