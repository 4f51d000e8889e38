"""One possible course of the gravity: a smooth lag, decay of order p, and an exponential tail, in thermal days.

    s = w ln[(1 + e^((tau - lag)/w)) / (1 + e^(-lag/w))]
    u = (1 + (p - 1) k s)^(-1/(p - 1)) down to u = turn, then turn e^(-tail (s - s_turn))
    SG = end + (top - end) u

The tail of its own is there because the last few points ferment slower than the bulk would make one think: sugar runs
short and alcohol is high. Both directions are closed forms, so that a crossing costs as much as a point."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, expm1, inf, log, log1p
from typing import NamedTuple


class Curve(NamedTuple):
    """From one addition of sugar to the next. Rates per thermal day; tau0 is the thermal day at which it begins."""

    tau0: float
    k: float
    lag: float
    width: float
    order: float
    turn: float
    tail: float
    top: float
    end: float


def turn_s(k: float, order: float, turn: float) -> float:
    """s at which the share left has come down to `turn`."""
    q = order - 1.0
    return -log(turn) / k if -1e-4 < q < 1e-4 else (turn**-q - 1.0) / (q * k)


def gravity_at(curve: Curve, tau: float) -> float:
    """SG on thermal day tau, never rising with it."""
    tau0, k, lag, width, order, turn, tail, top, end = curve
    x = (tau - tau0 - lag) / width
    x0 = -lag / width
    if x <= x0:
        return top
    s = width * ((x + log1p(exp(-x)) if x > 0.0 else log1p(exp(x))) - log1p(exp(x0)))
    late = s - turn_s(k, order, turn)
    if late > 0.0:
        return end + (top - end) * turn * exp(-tail * late)
    q = order - 1.0
    if -1e-4 < q < 1e-4:
        return end + (top - end) * exp(-k * s)
    return float(end + (top - end) * (1.0 + q * k * s) ** (-1.0 / q))


def gravities_at(curve: Curve, taus: Sequence[float]) -> list[float]:
    """`gravity_at` for many thermal days of one curve, at half the price."""
    tau0, k, lag, width, order, turn, tail, top, end = curve
    q = order - 1.0
    if -1e-4 < q < 1e-4:
        q = 1e-4
    power = -1.0 / q
    qkw = q * k * width
    last = (turn**-q - 1.0) / qkw
    tail *= width
    drop = top - end
    start = tau0 + lag
    x0 = -lag / width
    base = log1p(exp(x0))
    found: list[float] = []
    for tau in taus:
        x = (tau - start) / width
        if x <= x0:
            found.append(top)
            continue
        s = (x + log1p(exp(-x)) if x > 0.0 else log1p(exp(x))) - base
        found.append(end + drop * ((1.0 + qkw * s) ** power if s < last else turn * exp(tail * (last - s))))
    return found


def tau_at(curve: Curve, sg: float) -> float:
    """Thermal day on which the curve comes down to sg: infinite when never, its beginning when it starts below."""
    tau0, k, lag, width, order, turn, tail, top, end = curve
    if sg >= top:
        return tau0
    if sg <= end:
        return inf
    u = (sg - end) / (top - end)
    s = turn_s(k, order, turn) + log(turn / u) / tail if u < turn else turn_s(k, order, u)
    z = s / width + log1p(exp(-lag / width))
    return tau0 + lag + width * (z + log1p(-exp(-z)) if z > 1.0 else log(expm1(z)))
