"""Weighted points of one posterior: downhill to its peak, then two sets of fixed points drawn around it.

The target is a standard normal prior times a likelihood. The first set is drawn from the normal shape of the peak, the
second from where the first found the weight, each with a share of wider steps (importance sampling)."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log, sqrt

from fermtui.forecast.likelihood import Scale

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
        pulls = [t * off for t, (off, _) in zip(trusts, misses, strict=True)]
        downhill = [sum(map(float.__mul__, row, pulls)) - point[j] for j, row in enumerate(slopes)]
        hessian = [
            [sum(t * a * b for t, a, b in zip(trusts, slopes[i], slopes[j], strict=True)) for j in range(i + 1)]
            for i in range(size)
        ]
        for i in range(size):
            hessian[i][i] += 1.0
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


def _cost(scale: Scale, point: Sequence[float]) -> tuple[float, list[tuple[float, float]]]:
    misses = scale.misses(point)
    return 0.5 * sum(z * z for z in point) - scale.worth(misses), misses


def draw(
    scale: Scale, centre: Sequence[float], root: Matrix, normals: Sequence[Point]
) -> tuple[list[Point], list[float]]:
    """Points around `centre` and the log weight of each (target over density)."""
    size = len(root)
    log_det = sum(log(root[i][i]) for i in range(size))
    wide_log = log(_WIDE_SHARE) - size * log(_WIDE)
    narrow_log = log(1.0 - _WIDE_SHARE)
    rows = [(centre[i], root[i][: i + 1]) for i in range(size)]
    drawn: list[Point] = []
    logs: list[float] = []
    for number, normal in enumerate(normals):
        step = normal[:size]
        if (number * 3) % 10 < 3:
            step = tuple([_WIDE * z for z in step])
        point = tuple([c + sum(map(float.__mul__, row, step)) for c, row in rows])
        if size < len(normal):
            point += (0.0,) * (len(normal) - size)
        half = 0.5 * sum(map(float.__mul__, step, step))
        a, b = narrow_log - half, wide_log - half / (_WIDE * _WIDE)
        density = (a + log(1.0 + exp(b - a)) if a > b else b + log(1.0 + exp(a - b))) - log_det
        drawn.append(point)
        logs.append(scale.weigh(point) - 0.5 * sum(map(float.__mul__, point, point)) - density)
    return drawn, logs


def closer(
    points: Sequence[Point], logs: Sequence[float], centre: Sequence[float], root: Matrix
) -> tuple[list[float], Matrix]:
    """Centre and lower root of the covariance of weighted points, leaning on the earlier ones where few count."""
    size = len(root)
    weights = _softened(logs, min(60.0, 0.25 * len(points)))
    credit = 1.0 / sum(w * w for w in weights)
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
        weights = [exp(max((value - top) * softness, -700.0)) for value in logs]
        total = sum(weights)
        if total * total / sum(w * w for w in weights) >= wanted or softness < 1e-3:
            return [w / total for w in weights]
        softness *= 0.75


def cholesky(matrix: Matrix, size: int) -> Matrix:
    """Lower root of a symmetric positive matrix given by its lower half."""
    root: Matrix = []
    for i in range(size):
        row = matrix[i][: i + 1]
        for j in range(i + 1):
            other = row if j == i else root[j]
            value = row[j] - sum(row[m] * other[m] for m in range(j))
            row[j] = sqrt(max(value, 1e-6)) if i == j else value / other[j]
        root.append(row)
    return root


def _solve(root: Matrix, right: Sequence[float]) -> list[float]:
    size = len(root)
    y: list[float] = []
    for i in range(size):
        y.append((right[i] - sum(root[i][m] * y[m] for m in range(i))) / root[i][i])
    x = [0.0] * size
    for i in reversed(range(size)):
        x[i] = (y[i] - sum(root[m][i] * x[m] for m in range(i + 1, size))) / root[i][i]
    return x


def _inverse_root(root: Matrix, size: int) -> Matrix:
    """Lower root of the inverse of root root^T."""
    columns = [_solve(root, [1.0 if i == j else 0.0 for i in range(size)]) for j in range(size)]
    return cholesky([[columns[j][i] for j in range(i + 1)] for i in range(size)], size)
