"""Points that fill a cube evenly without chance, as standard normal numbers."""

from __future__ import annotations

import math
from functools import lru_cache

DIMENSIONS = 10
_SET_SIZE = 1100


def normal_quantile(p: float) -> float:
    """Standard normal quantile for 0 < p < 1, to 5e-4 (Abramowitz and Stegun 1964, 26.2.23, from memory) and one
    Newton step on erfc, which brings it to 1e-7."""
    lower = min(p, 1.0 - p)
    t = math.sqrt(-2.0 * math.log(lower))
    z = t - (2.515517 + 0.802853 * t + 0.010328 * t * t) / (1.0 + t * (1.432788 + t * (0.189269 + 0.001308 * t)))
    off = 0.5 * math.erfc(z / math.sqrt(2.0)) - lower
    z += off * math.sqrt(2.0 * math.pi) * math.exp(0.5 * z * z)
    return z if p > 0.5 else -z


@lru_cache(maxsize=1)
def normal_points() -> tuple[tuple[float, ...], ...]:
    """The same points in every process: steps along powers of the generalised golden ratio, folded into the cube."""
    ratio = 1.5
    for _ in range(60):
        ratio = (1.0 + ratio) ** (1.0 / (DIMENSIONS + 1))
    steps = [ratio ** -(j + 1) for j in range(DIMENSIONS)]
    return tuple(
        tuple(normal_quantile(min(max((0.5 + (i + 1) * step) % 1.0, 1e-5), 1.0 - 1e-5)) for step in steps)
        for i in range(_SET_SIZE)
    )
