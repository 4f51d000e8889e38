"""Whether a must is slow, or has stalled: each new fall of the gravity against healthy musts, judged in sequence.

The measure is what the slowest tenth of healthy musts falls from the same share of sugar in the same thermal time. An
alarm that is on stays on until the fall recovers, so that one reading within the noise does not make it blink. The
limits are judgement, chosen on other series than those that tests/bench/score_forecast.py reports."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from fermtui.forecast.curve import Curve, gravity_at, tau_at
from fermtui.forecast.thermal import ThermalClock

STALL_ABOVE_SG = 0.016  # a stalled one stands more than this above the expected end
HARDLY_SG_PER_DAY = 0.0014  # at 20 °C
SLOW_UNTIL_SHARE = 2.0 / 3.0  # of the sugar spent: after that a must may take its time
_HARDLY_DAYS = 6.0  # a longer span must show no more than this: its mean says little of its end
_HARDLY_SHARE = 0.35  # of the healthy fall
_BEGUN_SHARE = 0.08  # of the sugar spent: before that it has not started, which is another alarm
_SLOW_START_SHARE, _SLOW_START_DAYS = 0.06, 5.5  # of the sugar, at 20 °C: some healthy musts begin so late, then run
_READ_SG = 0.0015  # error of one reading
_BLUR_SHARE = 0.10  # of the healthy fall: steep courses are read less surely
_MARGIN = 0.60  # musts of other shapes than the model's are healthy too
_STALL_DAYS = 3.0  # least span in thermal days that can show a stall
_LATE_SHARE, _LATE_STALL_DAYS = 0.75, 5.0  # of the sugar spent: after that it takes longer to tell
_SLOW_DAYS = 2.5
_SURE_STALL, _NO_STALL = 0.75, 0.20
_SURE_SLOW, _NOT_SLOW = 0.75, 0.35
_LONG_DAYS, _VERY_SURE = 3.4, 0.97  # a span that speaks for two readings
_WRONG_SG = 0.006  # above an earlier reading: one of the two is wrong, and the next will tell
_RECOVERED_SG = 0.005  # a reading so far below all earlier ones, and the next one as far below it: it falls again
_LOWER_SG = 0.005  # a new lowest reading: without one a stall goes on
_RECOVERED_AT_ONCE_SG = 0.015  # more than a wrong reading is off
_STILL_ABOVE_SG = 0.010  # a stall that was named stays one down to here


class Alarms(NamedTuple):
    """stalled, slow: chances from 0 to 1 by the newest readings; is_stalled, is_slow: what the sequence says;
    moving: chance that it still fell by more than a finished one does when it was last read."""

    stalled: float
    slow: float
    is_stalled: bool
    is_slow: bool
    moving: float


def healthy_fall(healthy: Curve, from_tau: float, from_sg: float, taus: float) -> float:
    """What the slowest tenth of healthy musts falls in `taus` thermal days from that gravity. A lag is granted only
    once: whoever still stands at the top after it is held to have had it."""
    if from_sg <= healthy.end:
        return 0.0
    begin = tau_at(healthy, min(from_sg, healthy.top))
    begin = max(begin, min(from_tau, healthy.tau0 + healthy.lag + healthy.width))
    there, later = gravity_at(healthy, begin), gravity_at(healthy, begin + taus)
    left = (later - healthy.end) / max(there - healthy.end, 1e-6)
    return (from_sg - healthy.end) * (1.0 - left)


def alarms(
    healthy: Curve,
    readings: Sequence[tuple[float, float]],
    clock: ThermalClock,
    feed_day: float | None,
    sg_at_end: float,
) -> Alarms:
    """Walk through the readings (day, SG) since the last addition, the start of the segment being the first point.

    healthy: the slowest tenth of healthy musts in this segment; sg_at_end: where a healthy one ends."""
    start = 0.0 if feed_day is None else feed_day
    rows = [(healthy.tau0, healthy.top)] if feed_day is None else []
    rows += [(clock.tau(day), sg) for day, sg in readings if day > start]
    stalled = stalled_before = slow = before = moving = 0.0
    is_stalled = is_slow = False
    lowest = math.inf
    for i in range(1, len(rows)):
        sg = rows[i][1]
        spent = (healthy.top - sg) / (healthy.top - sg_at_end)
        stalled = _stall_chance(healthy, rows[: i + 1])
        if sg <= sg_at_end + (_STILL_ABOVE_SG if is_stalled else STALL_ABOVE_SG) or spent < _BEGUN_SHARE:
            stalled, is_stalled = 0.0, False
        elif is_stalled:
            one_before = rows[i - 1][1]
            going = one_before <= lowest - _RECOVERED_SG and sg <= one_before - _RECOVERED_SG
            recovered = going or sg <= lowest - _RECOVERED_AT_ONCE_SG
            quiet = max(stalled, stalled_before) >= _NO_STALL or sg > lowest - _LOWER_SG
            is_stalled = quiet and not recovered
        else:
            is_stalled = stalled >= _SURE_STALL and sg - min(lowest, rows[i - 1][1]) < _WRONG_SG
            lowest = min(lowest, sg)
        stalled_before = stalled
        lowest = min(lowest, rows[i - 1][1])
        before, slow, long = slow, *_slow_chance(healthy, rows[: i + 1])
        if spent > SLOW_UNTIL_SHARE:
            slow, is_slow = 0.0, False
        elif is_slow:
            is_slow = slow >= _NOT_SLOW
        else:
            is_slow = slow >= _SURE_SLOW and (before >= _SURE_SLOW or (long and slow >= _VERY_SURE))
        moving = _moved_chance(rows[i - 1], rows[i])
    return Alarms(stalled, min(slow, 1.0), is_stalled, is_slow, moving)


def _stall_chance(healthy: Curve, rows: Sequence[tuple[float, float]]) -> float:
    """The surest of the spans that end with the newest reading: chance that the gravity hardly moved in it."""
    tau, sg = rows[-1]
    best = 0.0
    lowest = min(gravity for _, gravity in rows[-3:])
    high = (healthy.top - sg) / (healthy.top - healthy.end) < _LATE_SHARE
    for from_tau, from_sg in reversed(rows[:-1]):
        days = tau - from_tau
        if days < (_STALL_DAYS if high else _LATE_STALL_DAYS):
            continue
        fall = max(from_sg - sg, from_sg - lowest if sg > lowest else 0.0)
        limit = min(
            _HARDLY_SHARE * healthy_fall(healthy, from_tau, from_sg, days), HARDLY_SG_PER_DAY * min(days, _HARDLY_DAYS)
        )
        best = max(best, _chance(limit - fall, 0.0))
    return best


def _slow_chance(healthy: Curve, rows: Sequence[tuple[float, float]]) -> tuple[float, bool]:
    """(chance that it fell less than the slowest tenth of healthy musts since the last reading that is far enough
    back, whether that span is long enough to speak for two readings)"""
    tau, sg = rows[-1]
    back = [row for row in rows[:-1] if tau - row[0] >= _SLOW_DAYS]
    if not back:
        return 0.0, False
    from_tau, from_sg = back[-1]
    begun = healthy.top - sg >= _SLOW_START_SHARE * (healthy.top - healthy.end)
    if not begun and tau - healthy.tau0 < _SLOW_START_DAYS:
        return 0.0, False
    expected = _MARGIN * healthy_fall(healthy, from_tau, from_sg, tau - from_tau)
    return _chance(expected - (from_sg - sg), _BLUR_SHARE * expected), tau - from_tau >= _LONG_DAYS


def _moved_chance(before: tuple[float, float], last: tuple[float, float]) -> float:
    return max(2.0 * _chance(before[1] - last[1] - 0.003, 0.0) - 1.0, 0.0)


def _chance(above: float, blur: float) -> float:
    """Chance that a difference of two readings is truly above 0."""
    sd = math.hypot(_READ_SG * math.sqrt(2.0), blur)
    return 0.5 * math.erfc(-above / (sd * math.sqrt(2.0)))
