"""How far a sensor is off: its readings beside those by hand, and an offset that may drift.

A floating sensor shows the same must a few points too high or too low, and not always by as much. Each hand reading
within twelve hours of its own tells how much; between them the offset may wander (a random walk, filtered and smoothed
as R. E. Kalman 1960 and H. E. Rauch, F. Tung and C. T. Striebel 1965 have it).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from math import hypot, sqrt
from typing import NamedTuple

from fermtui.replay.facts import Reading, SensorOffset

NEAR = timedelta(hours=12)
SLOPE_WITHIN = timedelta(hours=36)
DAY = timedelta(days=1)
HAND_SD_SG = 0.0006
"""One look at a hydrometer marked in 0.001: a third of a step for the scale, and half a point besides."""
MEDIAN_SD_SG = 0.0005
"""What a median of many rows is off by, beside its scatter: bubbles and foam move all rows together. No source."""
LEAST_SD_SG = 0.0015
"""The least that a sensor's reading counts for: more than a hand reading (0.001), which outweighs it."""
UNKNOWN_SD_SG = 0.004
"""How far a sensor may be off that no hand reading was held against: common practice, no source."""
DRIFT_SG_PER_ROOT_DAY = 0.0003
"""How far the offset wanders in a day, one sd; 1.6 points in thirty days. A guess, no source."""


class Known(NamedTuple):
    """The offset (what it shows too much) at one moment, with one standard deviation."""

    at: datetime
    offset_sg: float
    sd_sg: float


class _Pair(NamedTuple):
    at: datetime
    difference_sg: float
    sd_sg: float


def sensor_offsets(
    readings: Sequence[Reading], added: Iterable[datetime], followed: Iterable[str]
) -> tuple[SensorOffset, ...]:
    """What each sensor of these readings (in order of time) shows too much, as far as hand readings tell.

    `added`: when something went in that moved the gravity; `followed`: the sensors that are corrected by it.
    """
    found, added, followed = [], tuple(added), frozenset(followed)
    for name in dict.fromkeys(reading.by for reading in readings if reading.by):
        pairs = _pairs(readings, name, added)
        if pairs:
            last = _smoothed(pairs)[-1]
            found.append(SensorOffset(name, last.offset_sg, last.sd_sg, len(pairs), last.at, name in followed))
    return tuple(found)


def offset_now(readings: Sequence[Reading], name: str, added: Iterable[datetime], at: datetime) -> Known | None:
    """The offset of this sensor at `at`, from the readings so far; None where no hand reading tells."""
    pairs = _pairs(readings, name, tuple(added))
    return _widened(_filtered(pairs)[-1], at) if pairs else None


def corrected_by_hand(
    readings: Sequence[Reading], added: Iterable[datetime], followed: Iterable[str]
) -> tuple[Reading, ...]:
    """The readings, those of `followed` sensors less the offset that all hand readings tell for their time."""
    added = tuple(added)
    known = {name: _smoothed(pairs) for name in followed if (pairs := _pairs(readings, name, added))}
    return tuple(_corrected(one, known[one.by]) if one.by in known else one for one in readings) if known else (
        tuple(readings)
    )  # fmt: skip


def plus_minus_of(spread_sg: float | None, rows: int | None, offset_sd_sg: float) -> float:
    """One standard deviation of a sensor's reading: its rows, and what its offset may be off by."""
    return hypot(LEAST_SD_SG, (spread_sg or 0.0) / sqrt(max(1, rows or 1)), offset_sd_sg)


def _corrected(reading: Reading, known: Sequence[Known]) -> Reading:
    if reading.sg is None:
        return reading
    here = _between(known, reading.at)
    sd = plus_minus_of(reading.spread_sg, reading.rows, here.sd_sg)
    return reading._replace(sg=_raw(reading) - here.offset_sg, offset_sg=here.offset_sg, plus_minus=sd)


def _raw(reading: Reading) -> float:
    return (reading.sg or 0.0) + reading.offset_sg


def _between(known: Sequence[Known], at: datetime) -> Known:
    """Between two moments in proportion to time, before the first and after the last as there; less sure far off."""
    after = next((place for place, one in enumerate(known) if one.at >= at), len(known))
    if after in (0, len(known)):
        return _widened(known[0] if after == 0 else known[-1], at)
    first, last = known[after - 1], known[after]
    share = (at - first.at) / (last.at - first.at) if last.at > first.at else 0.0
    nearer = min(at - first.at, last.at - at) / DAY
    offset = first.offset_sg + share * (last.offset_sg - first.offset_sg)
    sd = first.sd_sg + share * (last.sd_sg - first.sd_sg)
    return Known(at, offset, hypot(sd, DRIFT_SG_PER_ROOT_DAY * sqrt(nearer)))


def _widened(known: Known, at: datetime) -> Known:
    days = abs(at - known.at) / DAY
    return Known(at, known.offset_sg, hypot(known.sd_sg, DRIFT_SG_PER_ROOT_DAY * sqrt(days)))


def _pairs(readings: Sequence[Reading], name: str, added: Sequence[datetime]) -> list[_Pair]:
    """What the sensor showed more than each hand reading near it, with the error of that."""
    own = [reading for reading in readings if reading.by == name and reading.sg is not None]
    found = []
    for hand in readings:
        if hand.by is not None or hand.sg is None or hand.by_refractometer:
            continue
        shown = _shown_at(hand.at, own, added)
        if shown is not None:
            gravity, sd = shown
            found.append(_Pair(hand.at, gravity - hand.sg, hypot(sd, HAND_SD_SG, MEDIAN_SD_SG)))
    return found


def _shown_at(at: datetime, own: Sequence[Reading], added: Sequence[datetime]) -> tuple[float, float] | None:
    """What the sensor would have shown then, and how far that may be off: a tenth of the change between its readings
    around it, or half of what it would have changed since the only one near."""

    def apart(reading: Reading) -> bool:
        first, last = sorted((reading.at, at))
        return any(first < when <= last for when in added)

    place = bisect_right(own, at, key=lambda one: one.at)
    before = own[place - 1] if place > 0 else None
    after = own[place] if place < len(own) else None
    before = None if before is None or at - before.at > NEAR or apart(before) else before
    after = None if after is None or after.at - at > NEAR or apart(after) else after
    if before is not None and after is not None:
        change = _raw(after) - _raw(before)
        return _raw(before) + change * ((at - before.at) / (after.at - before.at)), 0.1 * abs(change)
    near = before or after
    if near is None:
        return None
    change = _slope_sg_per_day(near, own, added) * ((at - near.at) / DAY)
    return _raw(near) + change, 0.5 * abs(change)


def _slope_sg_per_day(near: Reading, own: Sequence[Reading], added: Sequence[datetime]) -> float:
    place = own.index(near)
    for other in (*own[max(0, place - 1) : place], *own[place + 1 : place + 2]):
        first, last = sorted((near, other), key=lambda one: one.at)
        crossed = any(first.at < when <= last.at for when in added)
        if timedelta(0) < last.at - first.at <= SLOPE_WITHIN and not crossed:
            return (_raw(last) - _raw(first)) / ((last.at - first.at) / DAY)
    return 0.0


def _filtered(pairs: Sequence[_Pair]) -> list[Known]:
    found: list[Known] = []
    for pair in pairs:
        before = _widened(found[-1], pair.at) if found else Known(pair.at, 0.0, UNKNOWN_SD_SG)
        gain = before.sd_sg**2 / (before.sd_sg**2 + pair.sd_sg**2)
        offset = before.offset_sg + gain * (pair.difference_sg - before.offset_sg)
        found.append(Known(pair.at, offset, before.sd_sg * sqrt(1.0 - gain)))
    return found


def _smoothed(pairs: Sequence[_Pair]) -> list[Known]:
    """The same with what later pairs tell of earlier moments."""
    found = _filtered(pairs)
    for place in range(len(found) - 2, -1, -1):
        here, later = found[place], found[place + 1]
        ahead = _widened(here, later.at)
        share = here.sd_sg**2 / ahead.sd_sg**2 if ahead.sd_sg > 0.0 else 0.0
        variance = here.sd_sg**2 + share**2 * (later.sd_sg**2 - ahead.sd_sg**2)
        offset = here.offset_sg + share * (later.offset_sg - ahead.offset_sg)
        found[place] = Known(here.at, offset, sqrt(max(0.0, variance)))
    return found
