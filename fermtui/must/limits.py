"""The one refusal of the chemistry: a number that lies outside what its formulas or the craft allow."""

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


def _plainly(value: float) -> str:
    """Digits in groups for large numbers: 1e+07 g tells a mead maker nothing, and a comma would read as a point."""
    if 100_000 <= abs(value) < 1e15:
        return f"{value:,.0f}".replace(",", " ")
    return f"{value:.6g}"
