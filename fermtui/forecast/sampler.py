"""Weighted points of one posterior: downhill to its peak, then two sets of fixed points drawn around it.

The target is a standard normal prior times a likelihood. The first set is drawn from the normal shape of the peak, the
second from where the first found the weight, each with a share of wider steps (importance sampling)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import exp, log, sqrt

from fermtui.forecast.likelihood import Scale
from fermtui.forecast.quasi_random import DIMENSIONS

Point = tuple[float, ...]
Matrix = list[list[float]]
_WIDE = 1.8
_WIDE_SHARE = 0.3
_STEP = 0.05
_LEAN = 25.0


def peak(scale: Scale, start: Sequence[float], size: int) -> tuple[list[float], Matrix, float]:
    """(peak, lower root of its covariance, log of the mass under it) by Gauss-Newton steps from `start`."""
    point = list(start)
    rest = [0.0] * (len(point) - size)
    value, misses = _cost(scale, point)
    hessian: Matrix = []
    for _ in range(7):
        slopes: Matrix = []
        for j in range(size):
            moved = point[:]
            moved[j] += _STEP
            slopes.append([(a[0] - b[0]) / _STEP for a, b in zip(misses, scale.misses(moved), strict=True)])
        trusts = [
            power * 5.0 / (4.0 * variance + off * off)
            for power, (off, variance) in zip(scale.powers, misses, strict=True)
        ]
        downhill, hessian = _normal_equations(slopes, trusts, misses, point)
        step = _solve(cholesky(hessian, size), downhill)
        longest = max(map(abs, step))
        if longest > 1.5:
            step = [1.5 * s / longest for s in step]
        for _ in range(4):
            tried = [p + s for p, s in zip(point, step, strict=False)] + rest
            tried_value, tried_misses = _cost(scale, tried)
            if tried_value < value:
                break
            step = [0.4 * s for s in step]
        else:
            break
        gain = value - tried_value
        point, value, misses = tried, tried_value, tried_misses
        if gain < 0.02:
            break
    root = cholesky(hessian, size)
    covariance_root = _inverse_root(root, size)
    return point, covariance_root, -value - sum(log(root[i][i]) for i in range(size))


def _normal_equations(
    slopes: Matrix, trusts: Sequence[float], misses: Sequence[tuple[float, float]], point: Sequence[float]
) -> tuple[list[float], Matrix]:
    """(gradient downhill, lower half of the Gauss-Newton matrix), the standard normal prior included."""
    pulls = [t * off for t, (off, _) in zip(trusts, misses, strict=True)]
    downhill: list[float] = []
    matrix: Matrix = []
    for i, row in enumerate(slopes):
        downhill.append(sum(map(float.__mul__, row, pulls)) - point[i])
        scaled = list(map(float.__mul__, row, trusts))
        matrix.append([sum(map(float.__mul__, scaled, other)) for other in slopes[: i + 1]])
        matrix[i][i] += 1.0
    return downhill, matrix


def _cost(scale: Scale, point: Sequence[float]) -> tuple[float, list[tuple[float, float]]]:
    misses = scale.misses(point)
    return 0.5 * sum(z * z for z in point) - scale.worth(misses), misses


def draw(
    scale: Scale, centre: Sequence[float], root: Matrix, normals: Sequence[Point]
) -> tuple[list[Point], list[float]]:
    """Points around `centre` and the log weight of each (target over density)."""
    size = len(root)
    log_det = sum(log(root[i][i]) for i in range(size))
    wide_log = log(_WIDE_SHARE) - size * log(_WIDE) - log_det
    narrow_log = log(1.0 - _WIDE_SHARE) - log_det
    rest = (0.0,) * (DIMENSIONS - size)
    at = _moved_by(centre, root)
    weigh = scale.weigh
    drawn: list[Point] = []
    logs: list[float] = []
    for number, normal in enumerate(normals):
        step = normal[:size]
        half = 0.5 * sum([z * z for z in step])
        if (number * 3) % 10 < 3:
            step = tuple([_WIDE * z for z in step])
            half *= _WIDE * _WIDE
        point, prior = at(step)
        a, b = narrow_log - half, wide_log - half / (_WIDE * _WIDE)
        density = a + log(1.0 + exp(b - a)) if a > b else b + log(1.0 + exp(a - b))
        drawn.append(point + rest)
        logs.append(weigh(point + rest) - prior - density)
    return drawn, logs


def _moved_by(centre: Sequence[float], root: Matrix) -> Callable[[Point], tuple[Point, float]]:
    """(centre + root step, half its squared length) as a function of a step. Written out for the eight numbers that
    every course has, because it runs hundreds of times a forecast; loops take three times as long."""
    (a0,), (b0, b1), (d0, d1, d2), (e0, e1, e2, e3), (f0, f1, f2, f3, f4) = root[:5]
    (g0, g1, g2, g3, g4, g5), (h0, h1, h2, h3, h4, h5, h6), (i0, i1, i2, i3, i4, i5, i6, i7) = root[5:8]
    c0, c1, c2, c3, c4, c5, c6, c7 = centre[:8]
    more = [(centre[i], root[i]) for i in range(8, len(root))]

    def at(step: Point) -> tuple[Point, float]:
        z0, z1, z2, z3, z4, z5, z6, z7 = step[:8]
        p0 = c0 + a0 * z0
        p1 = c1 + b0 * z0 + b1 * z1
        p2 = c2 + d0 * z0 + d1 * z1 + d2 * z2
        p3 = c3 + e0 * z0 + e1 * z1 + e2 * z2 + e3 * z3
        p4 = c4 + f0 * z0 + f1 * z1 + f2 * z2 + f3 * z3 + f4 * z4
        p5 = c5 + g0 * z0 + g1 * z1 + g2 * z2 + g3 * z3 + g4 * z4 + g5 * z5
        p6 = c6 + h0 * z0 + h1 * z1 + h2 * z2 + h3 * z3 + h4 * z4 + h5 * z5 + h6 * z6
        p7 = c7 + i0 * z0 + i1 * z1 + i2 * z2 + i3 * z3 + i4 * z4 + i5 * z5 + i6 * z6 + i7 * z7
        half = 0.5 * (p0 * p0 + p1 * p1 + p2 * p2 + p3 * p3 + p4 * p4 + p5 * p5 + p6 * p6 + p7 * p7)
        point = (p0, p1, p2, p3, p4, p5, p6, p7)
        if more:
            others = tuple([c + sum(map(float.__mul__, row, step)) for c, row in more])
            return point + others, half + 0.5 * sum([p * p for p in others])
        return point, half

    return at


def closer(
    points: Sequence[Point], logs: Sequence[float], centre: Sequence[float], root: Matrix
) -> tuple[list[float], Matrix]:
    """Centre and lower root of the covariance of weighted points, leaning on the earlier ones where few count."""
    size = len(root)
    weights = _softened(logs, min(60.0, 0.25 * len(points)))
    credit = 1.0 / sum([w * w for w in weights])
    trust = credit / (credit + _LEAN)
    kept = [(w, p) for w, p in zip(weights, points, strict=True) if w > 1e-5]
    found = [trust * sum(w * p[j] for w, p in kept) + (1.0 - trust) * centre[j] for j in range(size)]
    columns = [[p[j] - found[j] for _, p in kept] for j in range(size)]
    scaled = [[w * x for (w, _), x in zip(kept, column, strict=True)] for column in columns]
    spread = [
        [
            trust * sum(map(float.__mul__, scaled[i], columns[j]))
            + (1.0 - trust) * sum(map(float.__mul__, root[i][: j + 1], root[j]))
            for j in range(i + 1)
        ]
        for i in range(size)
    ]
    for i in range(size):
        spread[i][i] = 1.03 * spread[i][i] + 0.001
    return found, cholesky(spread, size)


def capped(logs: Sequence[float]) -> list[float]:
    """No weight above the mean times the root of their number: one lucky point must not speak for all."""
    most = log_mean(logs) + 0.5 * log(len(logs))
    return [min(value, most) for value in logs]


def counted(logs: Sequence[float]) -> float:
    """How many equal weights these are worth."""
    top = max(logs)
    weights = [exp(max(value - top, -700.0)) for value in logs]
    return sum(weights) ** 2 / sum(w * w for w in weights)


def log_mean(logs: Sequence[float]) -> float:
    """Logarithm of the mean of exp(logs)."""
    top = max(logs)
    return top + log(sum(exp(max(value - top, -700.0)) for value in logs) / len(logs))


def _softened(logs: Sequence[float], wanted: float) -> list[float]:
    top = max(logs)
    softness = 1.0
    while True:
        weights = [exp((value - top) * softness) for value in logs]
        total = sum(weights)
        if total * total / sum([w * w for w in weights]) >= wanted or softness < 1e-3:
            return [w / total for w in weights]
        softness *= 0.75


def cholesky(matrix: Matrix, size: int) -> Matrix:
    """Lower root of a symmetric positive matrix given by its lower half."""
    root: Matrix = []
    for i in range(size):
        row = matrix[i][: i + 1]
        for j in range(i):
            other = root[j]
            value = row[j]
            for m in range(j):
                value -= row[m] * other[m]
            row[j] = value / other[j]
        value = row[i]
        for m in range(i):
            value -= row[m] * row[m]
        row[i] = sqrt(value) if value > 1e-6 else 1e-3
        root.append(row)
    return root


def _solve(root: Matrix, right: Sequence[float]) -> list[float]:
    size = len(root)
    x: list[float] = []
    for i in range(size):
        row = root[i]
        value = right[i]
        for m in range(i):
            value -= row[m] * x[m]
        x.append(value / row[i])
    for i in range(size - 1, -1, -1):
        value = x[i]
        for m in range(i + 1, size):
            value -= root[m][i] * x[m]
        x[i] = value / root[i][i]
    return x


def _inverse_root(root: Matrix, size: int) -> Matrix:
    """Lower root of the inverse of root root^T."""
    columns = [_solve(root, [1.0 if i == j else 0.0 for i in range(size)]) for j in range(size)]
    return cholesky([[columns[j][i] for j in range(i + 1)] for i in range(size)], size)
