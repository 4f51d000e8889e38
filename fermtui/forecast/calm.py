"""When calm can be shown: from the days on which a course falls quiet, and the readings that could show it."""

from __future__ import annotations

import math
from collections.abc import Sequence

Three = tuple[float, float, float]
"""10, 50 and 90 %"""
CALM_DROP_SG = 0.001


def calm_days(
    quiet: Three,
    readings: Sequence[Sequence[float]],
    feeds: Sequence[float],
    over_days: float,
    now_day: float,
    drop_sg: float = CALM_DROP_SG,
) -> Three:
    """When a span of `over_days` without a fall could first be shown, from the days on which it falls quiet. Readings
    show it: a span counts from one that was taken in the quiet, else from the next, which is taken today or later.

    readings: (day, SG) after pitching; feeds: the days on which the course began anew."""
    segment = [r for r in readings if r[0] <= now_day and (not feeds or r[0] > feeds[-1])]
    begin = newest = segment[-1][0] if segment else -math.inf
    low = high = segment[-1][1] if segment else 0.0
    for day, sg in reversed(segment):
        low, high = min(low, sg), max(high, sg)
        if high - low > drop_sg + 1e-9:
            break
        begin = day

    def shown(day: float) -> float:
        return (max(day, begin) if day <= newest else max(day, now_day)) + over_days

    first, likely, last = quiet
    return shown(first), shown(likely), shown(last)
