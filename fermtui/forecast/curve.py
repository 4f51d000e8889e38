"""One possible course of the gravity: a smooth lag, then decay of order p towards an end, in thermal days.

    s = w ln[(1 + e^((tau - lag)/w)) / (1 + e^(-lag/w))]
    u = (1 + (p - 1) k s)^(-1/(p - 1)), e^(-k s) at p = 1
    SG = end + (top - end) u

Both directions are closed forms, so that a crossing costs as much as a point."""

from __future__ import annotations

from math import exp, expm1, inf, log, log1p
from typing import NamedTuple


class Curve(NamedTuple):
    """From one addition of sugar to the next. Rates per thermal day; tau0 is the thermal day at which it begins."""

    tau0: float
    k: float
    lag: float
    width: float
    order: float
    top: float
    end: float


def gravity_at(curve: Curve, tau: float) -> float:
    """SG on thermal day tau, never rising with it."""
    tau0, k, lag, width, order, top, end = curve
    x = (tau - tau0 - lag) / width
    x0 = -lag / width
    if x <= x0:
        return top
    s = (x + log1p(exp(-x)) if x > 0.0 else log1p(exp(x))) - log1p(exp(x0))
    return end + (top - end) * left(k * width * s, order)


def left(ks: float, order: float) -> float:
    """Share of the drop that is left after k s."""
    q = order - 1.0
    if -1e-4 < q < 1e-4:
        return exp(-ks)
    base = 1.0 + q * ks
    if base <= 0.0:
        return 0.0
    return float(base ** (-1.0 / q))


def tau_at(curve: Curve, sg: float) -> float:
    """Thermal day on which the curve comes down to sg: infinite when never, its beginning when it starts below."""
    tau0, k, lag, width, order, top, end = curve
    if sg >= top:
        return tau0
    if sg <= end:
        return inf
    u = (sg - end) / (top - end)
    q = order - 1.0
    ks = -log(u) if -1e-4 < q < 1e-4 else (u**-q - 1.0) / q
    z = ks / (k * width) + log1p(exp(-lag / width))
    return tau0 + lag + width * (z + log1p(-exp(-z)) if z > 1.0 else log(expm1(z)))
