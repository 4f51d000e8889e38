"""Which day to read next: how wide the window of the finish will be after a reading on a given day.

The possible courses are weighed anew by readings that they themselves foretell, so no course is computed twice."""

from __future__ import annotations

import math
from typing import NamedTuple

from fermtui.forecast.curve import gravity_at
from fermtui.forecast.likelihood import LEAST_DROP_SG, blur_of
from fermtui.forecast.posterior import Posterior
from fermtui.forecast.readoff import finish_days

AHEAD_DAYS = (1, 2, 3, 4, 5, 6, 8, 10, 14)  # days from now that are tried
NEVER_DAYS = 365.0  # a finish further off than this counts as so far off
_LIKE_THE_BEST = 1.1  # the first day that narrows nearly as much as the best is the day to read
_WORTH_SHARE = 0.85  # a reading that leaves more of the window than this is no use
_WORTH_DAYS = 2.0  # nor is one that takes less than this off it
_TRIED = 15  # readings foretold for each day


class ReadingDay(NamedTuple):
    """Days from pitching on which to read, and the 80 % width of the finish in days: now, and after that reading."""

    day: float
    width_now: float
    width_after: float


def best_reading_day(posterior: Posterior, now_day: float) -> ReadingDay | None:
    """The earliest day of the next two weeks on which a reading narrows the finish nearly as much as on the best one.
    None where no reading is of use, where it has likely finished, and before the first reading."""
    if not posterior.readings:
        return None
    finish = [min(max(day, now_day), now_day + NEVER_DAYS) for day, _ in finish_days(posterior)]
    order = sorted(range(len(finish)), key=finish.__getitem__)
    counts = [float(draw.count) for draw in posterior.draws]
    now_width = _width(finish, order, counts)
    widths = [(now_day + ahead, width_after(posterior, now_day + ahead, finish, order)) for ahead in AHEAD_DAYS]
    least = min(width for _, width in widths)
    if least > _WORTH_SHARE * now_width or now_width - least < _WORTH_DAYS:
        return None
    day, width = next((day, width) for day, width in widths if width <= _LIKE_THE_BEST * least)
    return ReadingDay(round(day, 4), round(now_width, 2), round(width, 2))


def width_after(posterior: Posterior, day: float, finish: list[float], order: list[int]) -> float:
    """Mean width of the finish after a reading on `day`. finish: a day for each draw; order: draws sorted by it."""
    tau, seen = posterior.clock.tau(day), posterior.seen_until
    here: list[float] = []
    variances: list[float] = []
    for draw in posterior.draws:
        curve = draw.curves[-1]
        sg = gravity_at(curve, tau if tau <= seen else seen + (tau - seen) * draw.ahead)
        noise, blur = posterior.noise[draw.world]
        drop = curve.top - curve.end
        blur *= max(drop, LEAST_DROP_SG)
        here.append(sg)
        variances.append(noise * noise + 0.001**2 + blur * blur * blur_of((sg - curve.end) / drop))
    counts = [draw.count for draw in posterior.draws]
    by_gravity = sorted(range(len(here)), key=here.__getitem__)
    total = sum(counts)
    widths: list[float] = []
    reach, wanted = 0.0, 0.5 * total / _TRIED
    for i in by_gravity:
        reach += counts[i]
        if reach < wanted:
            continue
        wanted += total / _TRIED
        read = here[i]
        weights = [
            count / (math.sqrt(variance) * (1.0 + 0.25 * (read - sg) ** 2 / variance) ** 2.5)
            for count, sg, variance in zip(counts, here, variances, strict=True)
        ]
        widths.append(_width(finish, order, weights))
    return sum(widths) / len(widths)


def _width(finish: list[float], order: list[int], weights: list[float]) -> float:
    """From the weighted 10 % to the weighted 90 %."""
    total = sum(weights)
    reach = 0.0
    first: float | None = None
    for i in order:
        reach += weights[i]
        if first is None and reach >= 0.1 * total:
            first = finish[i]
        if reach >= 0.9 * total:
            return finish[i] - (finish[i] if first is None else first)
    return 0.0
