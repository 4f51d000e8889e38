"""What the forecast is told about one vessel, and the same made tidy: sorted, merged, within what is possible."""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import dataclass
from heapq import heapify, heappop, heappush

LOWEST_SG, HIGHEST_SG = 0.950, 1.300  # what a daybook may hold
UNKNOWN_OG = 1.094  # where nothing is known; common practice, no source
UNKNOWN_OG_SD = 0.030
_SAME_MOMENT_DAYS = 2.0 / 24.0
_MOST_READINGS = 16
_NEWEST_KEPT = 4
_MOST_FEEDS = 6
_LEAST_THINNING_SG = 0.0015  # topping up a mead that is done moves it less, and is no new course
_LEAST_OG = 1.005  # with less there is nothing to forecast
_SECONDS = 86400.0


@dataclass(frozen=True, slots=True)
class Evidence:
    """One vessel as the forecast sees it. Days are counted from the moment of pitching and may be negative.

    og                original gravity at 20 °C, None when never taken nor planned
    og_sd             its standard deviation in SG
    readings          (day, SG at 20 °C, standard deviation in SG)
    temps             (day, °C) of the must; empty when unknown
    plan_temp_c       the temperature that the plan means to hold
    tolerance_abv     alcohol tolerance of the yeast as given by the maker, % vol
    yan_mg_per_l      nitrogen planned or given
    doses_*           nutrient doses in the schedule, and those given by now
    feeds             (day, added gravity points as SG difference, its standard deviation): fruit, feeding, sweetening;
                      below 0 for what thins the must
    repitched         days on which yeast was pitched once more
    end_sg            the end that the plan wants
    fed               whether the maker says that it has nutrient and warmth as it needs them; None: not said
    yeast             what the maker calls the yeast; only compared with the maker's own past vessels
    """

    og: float | None = None
    og_sd: float = 0.002
    readings: tuple[tuple[float, float, float], ...] = ()
    temps: tuple[tuple[float, float], ...] = ()
    plan_temp_c: float | None = None
    tolerance_abv: float | None = None
    yan_mg_per_l: float | None = None
    doses_planned: int = 0
    doses_given: int = 0
    feeds: tuple[tuple[float, float, float], ...] = ()
    repitched: tuple[float, ...] = ()
    end_sg: float | None = None
    fed: bool | None = None
    yeast: str | None = None


@dataclass(frozen=True, slots=True)
class Tidy:
    """Evidence with readings after pitching only, merged and sorted; the earlier ones are folded into the gravity.

    feeds hold every day on which the course begins anew: sugar, water, and with no points at all fresh yeast."""

    og: float
    og_sd: float
    og_known: bool
    readings: tuple[tuple[float, float, float], ...]
    feeds: tuple[tuple[float, float, float], ...]


def tidy(evidence: Evidence) -> Tidy:
    """Sort, drop what is impossible (not finite, outside 0.950 to 1.300 SG), merge readings within two hours,
    and fold readings at or before pitching into the original gravity. Never raises."""
    points = sorted(
        (_to_second(day), round(sg, 6), sd if math.isfinite(sd) and sd > 0.0 else 0.001)
        for day, sg, sd in evidence.readings
        if math.isfinite(day) and math.isfinite(sg) and LOWEST_SG <= sg <= HIGHEST_SG and abs(day) < 20000.0
    )
    before = [(sg, sd) for day, sg, sd in points if day <= 0.02]
    after = [point for point in points if point[0] > 0.02]
    feeds = _merge_feeds(evidence)
    edges = [day for day, _, _ in feeds]
    readings = _thin(_merge(after, edges), edges)
    og, og_sd, known = _original_gravity(evidence, before, readings)
    return Tidy(og, og_sd, known, tuple(readings), tuple(feeds))


def _to_second(day: float) -> float:
    return round(day * _SECONDS) / _SECONDS


def _merge_feeds(evidence: Evidence) -> list[tuple[float, float, float]]:
    found = [
        (max(_to_second(day), 0.0), round(points, 6), abs(sd) if math.isfinite(sd) else 0.003)
        for day, points, sd in evidence.feeds
        if math.isfinite(day) and math.isfinite(points) and abs(day) < 20000.0
        if 0.0002 < points < 0.3 or -0.3 < points < -_LEAST_THINNING_SG
    ]
    found += [(_to_second(day), 0.0, 0.0) for day in evidence.repitched if math.isfinite(day) and 0.5 < day < 20000.0]
    found.sort()
    merged: list[tuple[float, float, float]] = []
    for day, points, sd in found:
        if merged and (day - merged[-1][0] < 1.0 or len(merged) == _MOST_FEEDS):
            first, earlier, earlier_sd = merged[-1]
            merged[-1] = (first, earlier + points, math.hypot(earlier_sd, sd))
        else:
            merged.append((day, points, sd))
    return merged


def _segment(day: float, edges: list[float]) -> int:
    return bisect_left(edges, day)  # they are in order of time


def _merge(points: list[tuple[float, float, float]], edges: list[float]) -> list[tuple[float, float, float]]:
    """Readings within two hours say one thing: the middle one, with little credit for their number."""
    merged: list[tuple[float, float, float]] = []
    group: list[tuple[float, float, float]] = []
    for point in [*points, None]:
        if group and (
            point is None
            or point[0] - group[0][0] > _SAME_MOMENT_DAYS
            or _segment(point[0], edges) != _segment(group[0][0], edges)
        ):
            values = sorted(sg for _, sg, _ in group)
            middle = 0.5 * (values[(len(values) - 1) // 2] + values[len(values) // 2])
            sd = min(sd for _, _, sd in group) / min(math.sqrt(len(group)), 1.5)
            day = sum(day for day, _, _ in group) / len(group)
            merged.append((day, middle, sd))
            group = []
        if point is not None:
            group.append(point)
    return merged


def _thin(points: list[tuple[float, float, float]], edges: list[float]) -> list[tuple[float, float, float]]:
    """Join near neighbours until few enough are left: a floating hydrometer that reads each hour must not cost more
    time, nor count as so many independent witnesses. The newest four stay as they are."""
    left = len(points)
    if left <= _MOST_READINGS:
        return list(points)
    kept: list[tuple[float, float, float] | None] = list(points)
    behind = list(range(1, left + 1))  # the next point that is left, by place
    before = list(range(-1, left - 1))
    last = left - _NEWEST_KEPT  # no pair reaches so far

    def cost(at: int) -> tuple[float, int, int] | None:
        """What it costs to join the point at this place with the next one, and the places of the two."""
        then = behind[at]
        one, other = kept[at], kept[then] if then < last else None
        if one is None or other is None or _segment(one[0], edges) != _segment(other[0], edges):
            return None
        return (other[0] - one[0]) * (abs(one[1] - other[1]) + 0.001), at, then

    nearest = [pair for at in range(last) if (pair := cost(at)) is not None]
    heapify(nearest)
    while left > _MOST_READINGS and nearest:
        pair = heappop(nearest)
        _, at, then = pair
        if cost(at) != pair:
            continue  # one of the two was joined with another meanwhile
        (a, sg_a, sd_a), (b, sg_b, sd_b) = kept[at] or points[at], kept[then] or points[then]
        kept[at], kept[then] = (0.5 * (a + b), 0.5 * (sg_a + sg_b), 0.75 * max(sd_a, sd_b)), None
        behind[at] = behind[then]
        if behind[at] < len(before):
            before[behind[at]] = at
        left -= 1
        for again in (at, before[at]):
            if again >= 0 and (pair_again := cost(again)) is not None:
                heappush(nearest, pair_again)
    return [point for point in kept if point is not None]


def _original_gravity(
    evidence: Evidence, before: list[tuple[float, float]], after: list[tuple[float, float, float]]
) -> tuple[float, float, bool]:
    """(gravity, standard deviation, whether anything was known of it)"""
    seen: list[tuple[float, float]] = []
    og = evidence.og
    if og is not None and math.isfinite(og) and LOWEST_SG <= og <= HIGHEST_SG:
        sd = evidence.og_sd if math.isfinite(evidence.og_sd) else 0.002
        seen.append((max(round(og, 6), _LEAST_OG), max(sd, 0.0012)))
    if before:
        values = sorted(sg for sg, _ in before)
        middle = 0.5 * (values[(len(values) - 1) // 2] + values[len(values) // 2])
        seen.append((max(middle, _LEAST_OG), 0.002))
    if not seen:
        centre = UNKNOWN_OG
        if after:
            first_day, first_sg, _ = after[0]
            centre = max(centre, first_sg + 0.004 + 0.002 * min(first_day, 8.0))
        return centre, UNKNOWN_OG_SD, False
    if len(seen) == 1:
        return seen[0][0], seen[0][1], True
    (a, sd_a), (b, sd_b) = seen
    weight = sd_b * sd_b / (sd_a * sd_a + sd_b * sd_b)
    together = weight * a + (1.0 - weight) * b
    sd = math.hypot(sd_a * sd_b / math.hypot(sd_a, sd_b), 0.5 * max(abs(a - b) - 2.0 * math.hypot(sd_a, sd_b), 0.0))
    return together, max(sd, 0.0012), True
