"""What a posterior says at a clock: windows, chances, the band to draw."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from fermtui.forecast.alarms import STALL_ABOVE_SG, Alarms, alarms
from fermtui.forecast.calm import calm_days
from fermtui.forecast.curve import Curve, gravities_at, gravity_at, tau_at
from fermtui.forecast.likelihood import LEAST_DROP_SG, blur_of
from fermtui.forecast.posterior import Draw, Posterior, finish_tau
from fermtui.forecast.thermal import ThermalClock

SOON_DAYS, HARDLY_MOVES_SG = 4.0, 0.006  # stalled: hardly moves within so many days
_BEGUN_SHARE = 0.12  # of the sugar: a course that stops before that has not begun, and has no finish
_HARDLY_BEGUN_SG = 0.004  # below the top: no more than a first reading errs, with honey not yet dissolved
_SECOND = 1.0 / 86400.0  # readings are kept to the second
_KNOT_SHARE = 0.18  # of the days since the start of a segment: how far apart the band is computed
_LAG_OVER = 7.0  # widths after which nothing is left of the lag
Confidence = Literal["little", "fair", "good"]
_T4 = ((-1.5332, 0.2), (-0.5686, 0.2), (0.0, 0.2), (0.5686, 0.2), (1.5332, 0.2))
"""Student t, 4 degrees of freedom, quantiles .1 .3 .5 .7 .9 (published tables, from memory)."""


@dataclass(frozen=True, slots=True)
class DayWindow:
    """Days since pitching with 10, 50 and 90 % chance to have come by then. `latest_day` (and only it) may be
    infinite: with more than 10 % chance it never comes."""

    earliest_day: float
    likely_day: float
    latest_day: float


@dataclass(frozen=True, slots=True)
class Outlook:
    """A vessel at one clock. Chances from 0 to 1.

    finish       when the gravity comes within 0.002 of its own end, which may lie before now
    end          10, 50, 90 % of the gravity at which it ends
    finished     it is there: stopped, not necessarily dry, so show it beside stalled
    stalled      it hardly moves although it stands well above where a healthy one ends
    slow         at its last readings it fell less than the slowest tenth of healthy musts would from there
    is_stalled, is_slow   whether the readings, in their sequence, say so
    not_started  the gravity has not moved yet
    confidence   'little' before two readings or when the window is very wide
    worlds       chance of each world of musts, by name
    learned_from weighted count of the maker's own vessels behind it
    """

    finish: DayWindow | None
    end: tuple[float, float, float]
    finished: float
    stalled: float
    slow: float
    is_stalled: bool
    is_slow: bool
    not_started: float
    confidence: Confidence
    n_readings: int
    worlds: tuple[tuple[str, float], ...]
    learned_from: float


def read_off(posterior: Posterior, now_day: float) -> Outlook:
    """Everything that does not depend on a wanted gravity. now_day: days since pitching."""
    clock, total = posterior.clock, _total(posterior)
    now = clock.tau(now_day)
    soon = clock.tau(now_day + SOON_DAYS)
    finish = finish_days(posterior)
    ends: list[tuple[float, int]] = []
    finished = stalled = waiting = 0
    far, high = posterior.expected_end + STALL_ABOVE_SG, posterior.expected_end + 0.006
    seen = posterior.seen_until
    for draw, (day, count) in zip(posterior.draws, finish, strict=True):
        curve = draw.curves[-1]
        begins = bool(posterior.feeds) or _begins(curve)
        ends.append((curve.end, count))
        here = gravity_at(curve, _worth(now, draw.ahead, seen))
        if day <= now_day:
            finished += count
        if here > curve.top - _HARDLY_BEGUN_SG or not begins:
            waiting += count
        elif here > far and curve.end > high:
            still = here - gravity_at(curve, _worth(soon, draw.ahead, seen)) < HARDLY_MOVES_SG
            stalled += count if still else 0
    window = _window(finish, total)
    count = len(posterior.readings)
    last = [(day, sg) for day, sg in posterior.readings if day <= now_day + _SECOND]
    now_alarms = alarms_of(posterior, now_day)
    return Outlook(
        finish=window,
        end=_three(ends, total),
        finished=min(finished / total, 1.0 - now_alarms.moving * _still_fresh(last, now_day)),
        stalled=_in_line(stalled / total if last else 0.0, now_alarms),
        slow=now_alarms.slow,
        is_stalled=now_alarms.is_stalled,
        is_slow=now_alarms.is_slow,
        not_started=0.0 if posterior.feeds else waiting / total,  # after a feed it has been going before
        confidence=_confidence(window, now_day, count),
        n_readings=count,
        worlds=tuple(zip(posterior.worlds, posterior.weights, strict=True)),
        learned_from=posterior.learned_from,
    )


def alarms_of(posterior: Posterior, now_day: float) -> Alarms:
    """Slow and stalled by the readings up to `now_day` (see `alarms`)."""
    until = now_day + _SECOND
    fed = [day for day in posterior.feeds if day <= until]
    start = fed[-1] if fed else None if posterior.og_known else 0.0
    seen = [row for row in posterior.readings if row[0] <= until]
    return alarms(posterior.healthy, seen, posterior.clock, start, posterior.expected_end)


def _in_line(share: float, seen: Alarms) -> float:
    """The chance of a stall, on the side of one half where the readings have put it."""
    return max(share, seen.stalled, 0.5) if seen.is_stalled else min(share, 0.5)


def _still_fresh(readings: Sequence[tuple[float, float]], now_day: float) -> float:
    """How much of what the last two readings showed still holds: all of it on that day, little after as long again."""
    if len(readings) < 2:
        return 0.0
    between = max(readings[-1][0] - readings[-2][0], 2.0)
    return math.exp(-max(now_day - readings[-1][0], 0.0) / between)


def finish_window(posterior: Posterior) -> DayWindow | None:
    """When it comes within 0.002 of its own end, which may lie in the past; None where it likely never begins."""
    return _window(finish_days(posterior), _total(posterior))


def finish_days(posterior: Posterior) -> list[tuple[float, int]]:
    """(day of the finish, how often it counts) of every possible course; infinite for one that has not begun."""
    clock, seen = posterior.clock, posterior.seen_until
    found: list[tuple[float, int]] = []
    for draw in posterior.draws:
        curve = draw.curves[-1]
        begins = bool(posterior.feeds) or _begins(curve)
        found.append((clock.day(_lived(finish_tau(curve), draw.ahead, seen)) if begins else math.inf, draw.count))
    return found


def _begins(curve: Curve) -> bool:
    """Whether a course without an addition ever gets under way."""
    return curve.top - curve.end > _BEGUN_SHARE * (curve.top - 1.0)


def _confidence(window: DayWindow | None, now_day: float, count: int) -> Confidence:
    if count < 2 or window is None or window.latest_day == math.inf:
        return "little"
    width = window.latest_day - max(window.earliest_day, min(now_day, window.likely_day))
    if count >= 4 and width <= max(7.0, 0.5 * window.likely_day):
        return "good"
    return "fair" if width <= max(21.0, 2.0 * window.likely_day) else "little"


def crossing(posterior: Posterior, sg: float, now_day: float) -> DayWindow | None:
    """When the gravity comes down to sg in the present segment. None when it more likely than not has done so by now,
    or never will. Courses that never get there count as infinitely late."""
    window = crossing_days(posterior, sg)
    return None if window is None or window.likely_day <= now_day else window


def crossing_days(posterior: Posterior, sg: float) -> DayWindow | None:
    """When the gravity comes down to sg, past or to come: no clock in it. None: likely never."""
    clock, seen = posterior.clock, posterior.seen_until
    days = [(clock.day(_lived(_comes_down(draw, sg), draw.ahead, seen)), draw.count) for draw in posterior.draws]
    return _window(days, _total(posterior))


def _comes_down(draw: Draw, sg: float) -> float:
    """Thermal day of the curve at which it last came down to sg: before an addition, or with it, where that left it
    below."""
    until = math.inf
    for curve in reversed(draw.curves):
        if curve.top > sg:
            return min(tau_at(curve, sg), until)
        until = curve.tau0
    return 0.0


def calm(posterior: Posterior, drop: float = 0.001, over_days: float = 7.0, now_day: float = 0.0) -> DayWindow | None:
    """The day on which a quiet span of `over_days`, in which the gravity falls less than `drop`, could first be shown
    (see `calm_days`). None when it is more likely than not shown by now, or never comes."""
    quiet = quiet_days(posterior, drop, over_days)
    if quiet is None:
        return None
    three = (quiet.earliest_day, quiet.likely_day, quiet.latest_day)
    window = DayWindow(*calm_days(three, posterior.readings, posterior.feeds, over_days, now_day, drop))
    return None if window.likely_day <= now_day else window


def quiet_days(posterior: Posterior, drop: float, over_days: float) -> DayWindow | None:
    """The first day from which the gravity falls less than `drop` in `over_days`, the lag left out: no clock in it."""
    clock, seen = posterior.clock, posterior.seen_until
    days = [(_quiet_from(draw, clock, seen, drop, over_days), draw.count) for draw in posterior.draws]
    return _window(days, _total(posterior))


def _quiet_from(draw: Draw, clock: ThermalClock, seen: float, drop: float, over_days: float) -> float:
    """First day, the lag left out, from which the course falls less than `drop` in `over_days`."""
    curve = draw.curves[-1]
    found = _quiet_tail(draw, clock, seen, drop, over_days)
    if found is not None:
        return found

    def gravity(day: float) -> float:
        return gravity_at(curve, _worth(clock.tau(day), draw.ahead, seen))

    def day_of(tau: float) -> float:
        return clock.day(_lived(tau, draw.ahead, seen))

    def moves(day: float) -> bool:
        return gravity(day) - gravity(day + over_days) >= drop

    under_way = day_of(curve.tau0 + curve.lag + 2.0 * curve.width)
    low = min(under_way, day_of(tau_at(curve, 0.5 * (curve.top + curve.end))))
    if not moves(low):
        return low
    high = low + max(over_days, 7.0)
    for _ in range(12):
        if not moves(high):
            break
        low, high = high, low + 2.0 * (high - low)
    else:
        return math.inf
    for _ in range(9):
        middle = 0.5 * (low + high)
        if moves(middle):
            low = middle
        else:
            high = middle
    return high


def _quiet_tail(draw: Draw, clock: ThermalClock, seen: float, drop: float, over_days: float) -> float | None:
    """The same in closed form where the day lies in the exponential tail, after the last temperature known and the
    last reading; None elsewhere."""
    curve = draw.curves[-1]
    left = drop / -math.expm1(-curve.tail * draw.ahead * clock.pace * over_days)
    if left > (curve.top - curve.end) * curve.turn:
        return None
    tau = tau_at(curve, curve.end + left)
    if tau - curve.tau0 - curve.lag < _LAG_OVER * curve.width or (seen < math.inf and tau < seen):
        return None
    tau = _lived(tau, draw.ahead, seen)
    return clock.day(tau) if tau >= clock.taus[-1] else None


def band(
    posterior: Posterior, from_day: float, to_day: float, step: float = 1.0
) -> list[tuple[float, float, float, float]]:
    """(day, low, likely, high): 80 % band of the true gravity. Far apart days are joined by straight lines."""
    if not (math.isfinite(from_day) and math.isfinite(to_day)) or to_day < from_day or step <= 0.0:
        return []
    days = [from_day + i * step for i in range(int((to_day - from_day) / step + 1e-9) + 1)]
    rows: list[tuple[float, float, float, float]] = []
    starts = [0.0, *posterior.feeds]
    for number, start in enumerate(starts):
        until = starts[number + 1] if number + 1 < len(starts) else math.inf
        here = [day for day in days if (day >= start or number == 0) and day < until]
        if here:
            rows.extend(_segment_band(posterior, number, here, start))
    return rows


def _segment_band(
    posterior: Posterior, number: int, days: Sequence[float], start: float
) -> list[tuple[float, float, float, float]]:
    seen = posterior.seen_until
    knot_days: list[float] = []
    for day in days:
        if not knot_days or day == days[-1] or day - knot_days[-1] >= _KNOT_SHARE * (day - start) - 1e-9:
            knot_days.append(day)
    taus = [posterior.clock.tau(day) for day in knot_days]
    courses: list[list[float]] = []
    for draw in posterior.draws:
        lived = [_worth(tau, draw.ahead, seen) for tau in taus] if taus[-1] > seen else taus
        courses += [gravities_at(draw.curves[number], lived)] * draw.count
    knots = [(day, *_quantiles(sorted(here))) for day, here in zip(knot_days, zip(*courses, strict=True), strict=True)]
    rows: list[tuple[float, float, float, float]] = []
    i = 0
    for day in days:
        while i + 1 < len(knots) and knots[i + 1][0] <= day:
            i += 1
        a = knots[i]
        if a[0] == day or i + 1 == len(knots):
            rows.append((day, a[1], a[2], a[3]))
            continue
        b = knots[i + 1]
        f = (day - a[0]) / (b[0] - a[0])
        rows.append((day, a[1] + f * (b[1] - a[1]), a[2] + f * (b[2] - a[2]), a[3] + f * (b[3] - a[3])))
    return rows


def next_reading_distribution(posterior: Posterior, day: float) -> tuple[float, float, float]:
    """10, 50, 90 % of a reading taken on `day`, its error included."""
    tau, seen = posterior.clock.tau(day), posterior.seen_until
    segment = sum(1 for start in posterior.feeds if day > start)
    values: list[tuple[float, int]] = []
    for draw in posterior.draws:
        curve = draw.curves[segment]
        here = gravity_at(curve, _worth(tau, draw.ahead, seen))
        noise, blur = posterior.noise[draw.world]
        drop = curve.top - curve.end
        share = (here - curve.end) / drop
        blur *= max(drop, LEAST_DROP_SG)
        scale = math.sqrt(noise * noise + 0.001**2 + blur * blur * blur_of(share))
        values.extend((here + scale * t, draw.count) for t, _ in _T4)
    return _three(values, 5 * _total(posterior))


def _worth(tau: float, ahead: float, seen: float) -> float:
    """Thermal day on the curve at thermal day `tau` of the clock: after the last reading it goes at its own pace."""
    return tau if tau <= seen else seen + (tau - seen) * ahead


def _lived(tau: float, ahead: float, seen: float) -> float:
    """The other way: thermal day of the clock on which the curve has come to its own `tau`."""
    return tau if tau <= seen else seen + (tau - seen) / ahead


def _total(posterior: Posterior) -> int:
    return sum(draw.count for draw in posterior.draws)


def _three(values: list[tuple[float, int]], total: int) -> tuple[float, float, float]:
    """10, 50 and 90 % of weighted values, halfway between the two that a level falls between."""
    values.sort()
    found: list[float] = []
    reach = 0
    wanted = [0.1 * total, 0.5 * total, 0.9 * total]
    for i, (value, count) in enumerate(values):
        reach += count
        while len(found) < 3 and reach > wanted[len(found)] - 1e-9:
            exact = abs(reach - wanted[len(found)]) < 1e-9 and i + 1 < len(values)
            found.append(0.5 * (value + values[i + 1][0]) if exact else value)
    return found[0], found[1], found[2]


def _quantiles(ordered: Sequence[float]) -> tuple[float, float, float]:
    """10, 50 and 90 % of sorted values, halfway between the two that a level falls between."""
    total = len(ordered)
    low, middle, high = (ordered[min(total * tenths // 10, total - 1)] for tenths in (1, 5, 9))
    if total % 10 == 0:
        return (
            0.5 * (low + ordered[total // 10 - 1]),
            0.5 * (middle + ordered[total // 2 - 1]),
            0.5 * (high + ordered[9 * total // 10 - 1]),
        )
    return low, middle, high


def _window(days: list[tuple[float, int]], total: int) -> DayWindow | None:
    earliest, likely, latest = _three(days, total)
    if likely == math.inf or math.isnan(likely):
        return None
    return DayWindow(earliest, likely, latest)
