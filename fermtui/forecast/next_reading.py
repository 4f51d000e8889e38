"""Which day to read next: how wide the window of the finish will be after a reading on a given day.

The possible courses are weighed anew by readings that they themselves foretell, so no course is computed twice."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from itertools import accumulate
from typing import NamedTuple

from fermtui.forecast.curve import gravities_at
from fermtui.forecast.likelihood import LEAST_DROP_SG, blur_of
from fermtui.forecast.posterior import Posterior
from fermtui.forecast.readoff import finish_days

AHEAD_DAYS = (1, 2, 3, 4, 6, 8, 11, 14)  # days from the last reading that are tried
NEVER_DAYS = 365.0  # a finish further off than this counts as so far off
_LIKE_THE_BEST = 1.1  # the first day that narrows nearly as much as the best is the day to read
_WORTH_SHARE = 0.85  # a reading that leaves more of the window than this is no use
_WORTH_DAYS = 2.0  # nor is one that takes less than this off it
_TRIED = 7  # readings foretold for each day


class ReadingDay(NamedTuple):
    """Days from pitching on which to read, and the 80 % width of the finish in days: now, and after that reading.
    A reading before `use_from` moves nothing."""

    day: float
    width_now: float
    width_after: float
    use_from: float


def best_reading_day(posterior: Posterior) -> ReadingDay | None:
    """The earliest day of the two weeks after the last reading on which another one narrows the finish nearly as much
    as on the best one. None where no reading is of use, where it has likely finished, and before the first reading.

    The last reading counts and not the clock: a day that is asked for must not move on with each day that goes by."""
    if not posterior.readings:
        return None
    now_day = max(posterior.readings[-1][0], posterior.feeds[-1] if posterior.feeds else 0.0)
    days = [min(max(day, now_day), now_day + NEVER_DAYS) for day, _ in finish_days(posterior)]
    order = sorted(range(len(days)), key=days.__getitem__)
    finish = [days[i] for i in order]
    now_width = _width(finish, [posterior.draws[i].count for i in order])
    if now_width < _WORTH_DAYS:
        return None
    asked = [now_day + ahead for ahead in AHEAD_DAYS]
    widths = list(zip(asked, _widths_after(posterior, asked, finish, order), strict=True))
    worth = min(_WORTH_SHARE * now_width, now_width - _WORTH_DAYS)
    use_from = next((day for day, width in widths if width <= worth), None)
    if use_from is None:
        return None
    enough = min(worth, _LIKE_THE_BEST * min(width for _, width in widths))
    day, width = next((day, width) for day, width in widths if width <= enough)
    return ReadingDay(round(day, 4), round(now_width, 2), round(width, 2), round(use_from, 4))


def _widths_after(
    posterior: Posterior, days: Sequence[float], finish: Sequence[float], order: Sequence[int]
) -> list[float]:
    """Mean width of the finish after a reading on each of these days. finish: a day for each draw, in `order`."""
    seen = posterior.seen_until
    taus = [posterior.clock.tau(day) for day in days]
    draws = [posterior.draws[i] for i in order]
    courses = [
        gravities_at(draw.curves[-1], [tau if tau <= seen else seen + (tau - seen) * draw.ahead for tau in taus])
        for draw in draws
    ]
    counts = [draw.count for draw in draws]
    drops = [draw.curves[-1].top - draw.curves[-1].end for draw in draws]
    ends = [draw.curves[-1].end for draw in draws]
    errors = [posterior.noise[draw.world] for draw in draws]
    found: list[float] = []
    for here in zip(*courses, strict=True):
        variances = [
            noise * noise + 0.001**2 + (blur * max(drop, LEAST_DROP_SG)) ** 2 * blur_of((sg - end) / drop)
            for sg, drop, end, (noise, blur) in zip(here, drops, ends, errors, strict=True)
        ]
        found.append(_mean_width(here, variances, counts, finish))
    return found


def _mean_width(
    here: Sequence[float], variances: Sequence[float], counts: Sequence[int], finish: Sequence[float]
) -> float:
    """Over readings that the courses foretell, each weighing them by Student t errors with 4 degrees of freedom."""
    heights = [count / math.sqrt(variance) for count, variance in zip(counts, variances, strict=True)]
    narrow = [0.25 / variance for variance in variances]
    rows = list(zip(here, heights, narrow, strict=True))
    by_gravity = sorted(range(len(here)), key=here.__getitem__)
    reach = list(accumulate(counts[i] for i in by_gravity))
    widths: list[float] = []
    for number in range(_TRIED):
        read = here[by_gravity[bisect_left(reach, (number + 0.5) * reach[-1] / _TRIED)]]
        weights = [
            height / ((odd := 1.0 + part * (read - sg) * (read - sg)) * odd * math.sqrt(odd))
            for sg, height, part in rows
        ]
        widths.append(_width(finish, weights))
    return sum(widths) / len(widths)


def _width(finish: Sequence[float], weights: Sequence[float]) -> float:
    """From the weighted 10 % to the weighted 90 % of days in order."""
    reach = list(accumulate(weights))
    return finish[bisect_left(reach, 0.9 * reach[-1])] - finish[bisect_left(reach, 0.1 * reach[-1])]
