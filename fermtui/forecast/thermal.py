"""Thermal time: how many days at 20 °C a stretch at another temperature is worth."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

PER_DEGREE = math.log(6.0) / 24.0
"""Rates grow sixfold from 11 to 35 °C: Coleman, Fish and Block 2007, Appl Environ Microbiol 73:5875 (second hand)."""
ROOM_C = 20.0
COLDEST_C = 4.0  # colder counts as this: a must that is read as colder and still ferments was read wrongly
_MOST_KNOTS = 48


def pace_at(temp_c: float) -> float:
    """Speed relative to 20 °C: sixfold from 11 to 35 °C, flat from 28 to 31, falling outside 10 to 31 (judgement)."""
    temp_c = max(temp_c, COLDEST_C)
    pace = math.exp(PER_DEGREE * (min(temp_c, 28.0) - 20.0))
    if temp_c > 31.0:
        pace *= math.exp(-0.15 * (min(temp_c, 50.0) - 31.0))
    if temp_c < 10.0:
        pace *= math.exp(-0.15 * (10.0 - temp_c))
    return pace


@dataclass(frozen=True, slots=True)
class ThermalClock:
    """Knots of (day, thermal day) from pitching, straight in between; `pace` holds after the last knot."""

    days: tuple[float, ...]
    taus: tuple[float, ...]
    pace: float

    def tau(self, day: float) -> float:
        """Thermal days from pitching to `day`; 0 before pitching."""
        if day <= 0.0:
            return 0.0
        days, taus = self.days, self.taus
        i = bisect_right(days, day)
        if i == len(days):
            return taus[-1] + (day - days[-1]) * self.pace
        a, b = days[i - 1], days[i]
        return taus[i - 1] + (taus[i] - taus[i - 1]) * (day - a) / (b - a)

    def day(self, tau: float) -> float:
        """The day on which `tau` thermal days have gone by; infinite stays infinite."""
        days, taus = self.days, self.taus
        if tau >= taus[-1]:
            return days[-1] + (tau - taus[-1]) / self.pace
        if tau <= 0.0:
            return 0.0
        i = bisect_right(taus, tau)
        a, b = taus[i - 1], taus[i]
        return days[i - 1] + (days[i] - days[i - 1]) * (tau - a) / (b - a)


def thermal_clock(temps: Sequence[tuple[float, float]], plan_temp_c: float | None) -> ThermalClock:
    """Each temperature holds halfway to its neighbours; what comes is the mean of the last five days known.

    temps: (day, °C), any order; plan_temp_c stands in before the first and when there is none (else 20 °C)."""
    plan = plan_temp_c if plan_temp_c is not None and math.isfinite(plan_temp_c) else None
    known = sorted(
        (round(max(day, 0.0), 5), temp)
        for day, temp in temps
        if math.isfinite(day) and math.isfinite(temp) and -5.0 <= temp <= 50.0 and abs(day) < 20000.0
    )
    if not known:
        return ThermalClock((0.0,), (0.0,), _round(pace_at(ROOM_C if plan is None else plan)))
    known = _daily(known)
    stretches: list[tuple[float, float]] = []  # (from day, pace)
    first_day = known[0][0]
    if plan is not None and first_day > 3.0:
        stretches.append((0.0, pace_at(plan)))
    for i, (day, temp) in enumerate(known):
        start = 0.5 * (known[i - 1][0] + day) if i else (0.5 * first_day if stretches else 0.0)
        stretches.append((start, pace_at(temp)))
    last_day = known[-1][0]
    recent = [temp for day, temp in known if day >= last_day - 5.0]
    coming = pace_at(sum(recent) / len(recent))
    stretches.append((last_day + 1e-3, coming))
    days, taus = [0.0], [0.0]
    for (_, pace), (until, _) in pairwise(stretches):
        if until > days[-1]:
            taus.append(_round(taus[-1] + (until - days[-1]) * pace))
            days.append(_round(until))
    return ThermalClock(tuple(days), tuple(taus), _round(coming))


def _round(value: float) -> float:
    return round(value, 6)


def _daily(known: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """One mean a day, and coarser when there are very many."""
    span = max(1.0, (known[-1][0] - known[0][0]) / _MOST_KNOTS)
    means: list[tuple[float, float]] = []
    group: list[tuple[float, float]] = []
    for point in known:
        if group and point[0] - group[0][0] >= span:
            means.append((sum(d for d, _ in group) / len(group), sum(t for _, t in group) / len(group)))
            group = []
        group.append(point)
    means.append((sum(d for d, _ in group) / len(group), sum(t for _, t in group) / len(group)))
    return means
