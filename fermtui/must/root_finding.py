"""Where a smooth, falling or rising curve crosses nought."""

from collections.abc import Callable

_TURNS = 100
_STRAIGHT = 6


def find_root(curve: Callable[[float], float], low: float, high: float, *, close: float) -> float | None:
    """The x in low..high at which `curve` is within `close` of nought, or None when it keeps one sign.

    Regula falsi with the weights of Anderson and Björck: four or five calls on the nearly straight curves here, never
    outside the bracket; on a bent curve every second step halves it. An end within `close` counts as the root.
    """
    y_low, y_high = curve(low), curve(high)
    if abs(y_low) <= close:
        return low
    if abs(y_high) <= close:
        return high
    if (y_low > 0.0) == (y_high > 0.0):
        return None
    for turn in range(_TURNS):
        if turn < _STRAIGHT or turn % 2:
            x = high - y_high * (high - low) / (y_high - y_low)
        else:
            x = 0.5 * (low + high)
        y = curve(x)
        if abs(y) <= close or x in (low, high):
            return x
        if (y > 0.0) == (y_high > 0.0):
            weight = 1.0 - y / y_high
            y_low *= weight if weight > 0.0 else 0.5
        else:
            low, y_low = high, y_high
        high, y_high = x, y
    return high
