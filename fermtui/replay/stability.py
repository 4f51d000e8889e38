"""Whether a vessel has stopped, how sure that is, and whether it has stopped where it was meant to.

Calm is a judgement with its error: the readings since the last addition, how well a hydrometer can be read, and the
fall that they still allow. It says that a ferment has stopped, not that it has finished.

Each instrument is judged by itself, for a sensor stands some points off the hydrometer: what the readings by hand show
stands whatever a sensor says, and a sensor's readings, which may drift, can show calm besides.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from math import hypot, sqrt
from typing import NamedTuple

from fermtui.replay.facts import Facts, Reading
from fermtui.replay.sensors import DRIFT_SG_PER_ROOT_DAY, MEDIAN_SD_SG, NEAR

CALM_SG = 0.001
FRESH = timedelta(days=4)
WARM_ENOUGH_C = 15.0
END_SLACK_SG = 0.002
# Gravities are compared as they are written, to four places: 1.0030 - 1.0020 must count as 0.001.
ROUNDING_SG = 0.00005
# A reading on the seventh day counts although it may be taken some hours earlier in the day than the first.
SAME_DAY = timedelta(hours=12)
NO_TIME = timedelta(0)
CLEAR_FALL_SG = 0.003
"""A fall by a sensor that is no drift of some days: a calm by hand before it is over. A guess, no source."""
NOISE_SG = 0.0005
"""What two looks at one sample differ by besides the step of the scale, one sd: common practice, no source."""
SURE = 1.28
"""Standard errors above the estimate that nine in ten lie below."""
PROVEN = timedelta(days=30)
PROVEN_READINGS = 3
PROVEN_FALL_SG_PER_WEEK = 0.0003
PROVEN_FALL_PER_STEP = 0.1
"""The fall that thirty calm days may still allow, and a tenth of the step of the scale: about a gram of sugar a litre a
week where it shows 0.001, and 1.2 g where it shows 0.002, which no five weekly readings can tell from none."""
DAYS_FOR_THREE = 7
"""From so many days on two readings are not enough."""


class Fall(NamedTuple):
    """How fast the readings fall, in SG a week, and the standard error of that; above 0 while the gravity falls."""

    sg_per_week: float
    se_sg_per_week: float

    @property
    def most_sg_per_week(self) -> float:
        """What nine in ten lie below."""
        return self.sg_per_week + SURE * self.se_sg_per_week


def fall_of(run: Sequence[Reading], resolution_sg: float) -> Fall | None:
    """The straight line through the readings of one instrument, with the error that follows from it, for a sensor its
    drift too; None of fewer than 2.
    """
    if len(run) < 2:
        return None
    weeks = [(reading.at - run[0].at) / timedelta(days=7) for reading in run]
    gravities = [reading.sg or 0.0 for reading in run]
    middle, level = sum(weeks) / len(run), sum(gravities) / len(run)
    spread = sum((week - middle) ** 2 for week in weeks)
    if spread <= 0.0:
        return None
    slope = sum((week - middle) * (sg - level) for week, sg in zip(weeks, gravities, strict=True)) / spread
    scatter = _scatter(weeks, gravities, middle, level, slope)
    if run[0].by is not None:
        days = 7.0 * (weeks[-1] - weeks[0])
        drift = 7.0 * DRIFT_SG_PER_ROOT_DAY / sqrt(days)
        return Fall(-slope, hypot(max(MEDIAN_SD_SG, scatter) / sqrt(spread), drift))
    noise = max(sqrt(resolution_sg**2 / 12.0 + NOISE_SG**2), scatter)
    return Fall(-slope, noise / sqrt(spread))


def _scatter(weeks: Sequence[float], gravities: Sequence[float], middle: float, level: float, slope: float) -> float:
    """How far the readings scatter about the line, one standard deviation; 0 where too few tell."""
    if len(weeks) < 4:
        return 0.0
    rests = [sg - level - slope * (week - middle) for week, sg in zip(weeks, gravities, strict=True)]
    return sqrt(sum(rest**2 for rest in rests) / (len(weeks) - 2))


def level_of(readings: Sequence[Reading]) -> float:
    """The median gravity of these readings. `statistics` would cost 3 ms of every start."""
    low_to_high = sorted(reading.sg or 0.0 for reading in readings)
    half = len(low_to_high) // 2
    return low_to_high[half] if len(low_to_high) % 2 else (low_to_high[half - 1] + low_to_high[half]) / 2.0


def by_instrument(readings: Iterable[Reading]) -> tuple[tuple[Reading, ...], ...]:
    """The readings by hand (always the first, empty where there are none), then those of each sensor."""
    found: dict[str | None, list[Reading]] = {None: []}
    for reading in readings:
        found.setdefault(reading.by, []).append(reading)
    return tuple(map(tuple, found.values()))


def calm_run(facts: Facts, upto: datetime | None = None) -> tuple[Reading, ...]:
    """The newest readings since the last addition that stand at one level and do not fall in order, oldest first.

    One level: within 0.001 SG, or within a step of the hydrometer where that is coarser, of the median of the newest
    three. A single reading off the level between two that stand at it is passed over. Readings colder than 15 °C
    prove nothing and are left out; one without a temperature counts. With `upto`, later readings are left out.

    Of one instrument: by hand, or of a sensor where its calm spans longer.
    """
    return max(calm_runs(facts, upto), key=lambda run: (run[-1].at - run[0].at if run else NO_TIME, bool(run)))


def calm_by_hand(facts: Facts, upto: datetime | None = None) -> bool:
    """Whether the readings by hand stand calm, and no sensor has seen it fall since."""
    return bool(calm_runs(facts, upto)[0])


def calm_level(facts: Facts, upto: datetime | None = None) -> float | None:
    """The gravity at which it is calm by the readings by hand; None where only a sensor, which may stand some points
    off, has read it since it grew calm."""
    run = calm_run(facts, upto)
    if not run:
        return None
    by_hand = [
        reading for reading in facts.since_addition
        if reading.by is None and run[0].at - SAME_DAY <= reading.at <= (upto or reading.at)
    ]  # fmt: skip
    return level_of(run if run[0].by is None else by_hand) if by_hand else None


def calm_runs(facts: Facts, upto: datetime | None = None) -> list[tuple[Reading, ...]]:
    """The calm run of each instrument, by hand first; empty where it shows none."""
    warm = (
        reading
        for reading in facts.since_addition
        if (upto is None or reading.at <= upto) and (reading.temp_c is None or reading.temp_c >= WARM_ENOUGH_C)
    )
    by_hand, *by_sensors = by_instrument(warm)
    calm = _calm_of(by_hand, facts)
    if calm and any(_fell_since(calm[-1].at, readings) for readings in by_sensors):
        calm = ()
    return [calm, *(_calm_of(readings, facts) for readings in by_sensors)]


def _fell_since(at: datetime, readings: Sequence[Reading]) -> bool:
    """Whether a sensor's newest three stand clearly below what it showed next to the hand reading of that time."""
    before = [one for one in readings if abs(one.at - at) <= NEAR]
    after = [one for one in readings if one.at > at + NEAR][-3:]
    return len(after) == 3 and bool(before) and level_of(before) - level_of(after) > CLEAR_FALL_SG


def _calm_of(readings: Sequence[Reading], facts: Facts) -> tuple[Reading, ...]:
    """The calm run of one instrument."""
    if not readings:
        return ()
    sensor = readings[0].by is not None
    most = max(CALM_SG, facts.resolution_sg) + ROUNDING_SG
    level = level_of(readings[-3:]) if len(readings) > 2 else readings[-1].sg or 0.0
    run: list[Reading] = []
    for at in range(len(readings) - 1, -1, -1):
        if abs((readings[at].sg or 0.0) - level) <= most:
            run.insert(0, readings[at])
        elif not (len(run) > 1 and at > 0 and abs((readings[at - 1].sg or 0.0) - level) <= most):
            break
    newest = [reading.sg or 0.0 for reading in run[-3:]]
    if not sensor and len(newest) == 3 and newest[0] - newest[1] > ROUNDING_SG and newest[1] - newest[2] > ROUNDING_SG:
        return (readings[-1],)  # still going down, whatever came before
    while _falls_in_order(run, facts.resolution_sg):
        del run[0]
    return tuple(run)


def _ends_a_fall(run: Sequence[Reading], readings: Sequence[Reading]) -> bool:
    """Whether the first of the run still belongs to the fall that came before it: it lies a whole point below the one
    before it, and a point above the one behind it."""
    if run[0].by is not None:
        return False
    readings = [reading for reading in readings if reading.by is None]
    at = readings.index(run[0]) if len(run) > 1 else 0
    if at == 0:
        return False
    before, first, behind = (one.sg or 0.0 for one in (readings[at - 1], run[0], run[1]))
    return min(before - first, first - behind) >= CALM_SG - ROUNDING_SG


def _falls_in_order(run: Sequence[Reading], resolution_sg: float) -> bool:
    """Whether the readings go down step by step, each no higher than the one before: twice at least, or without doubt.

    Steps smaller than the hydrometer shows still add up: 1.0030, 1.0025, 1.0020 is no calm.
    """
    gravities = [reading.sg or 0.0 for reading in run]
    steps = [before - after for before, after in pairwise(gravities)]
    # A sensor reads so often that three medians go down in order by chance: of it only the line counts.
    hand = bool(run) and run[0].by is None
    if hand and len(steps) >= 2 and min(steps) >= -ROUNDING_SG and sum(step > ROUNDING_SG for step in steps) >= 2:
        return True
    fall = fall_of(run, resolution_sg)
    if fall is None or len(run) < 4:
        return False
    weeks = (run[-1].at - run[0].at) / timedelta(days=7)
    return fall.sg_per_week > 2.0 * fall.se_sg_per_week and fall.sg_per_week * weeks > CALM_SG / 2


def _needed(days: float) -> int:
    return 3 if days >= DAYS_FOR_THREE else 2


def stable_since(facts: Facts, days: float, upto: datetime | None = None) -> datetime | None:
    """When stability over `days` was shown by the newest readings: the time of the reading that showed it, or None.

    At least 2 calm readings (3 from 7 days on) that span the days since the last addition, at 15 °C or more. Common
    practice, no source.
    """
    shown = [at for run in calm_runs(facts, upto) if (at := _stable_at(run, facts, days)) is not None]
    return min(shown, default=None)


def _stable_at(run: Sequence[Reading], facts: Facts, days: float) -> datetime | None:
    if run and days >= DAYS_FOR_THREE and _ends_a_fall(run, facts.since_addition):
        run = run[1:]
    for count, reading in enumerate(run, start=1):
        if count >= _needed(days) and reading.at - run[0].at >= timedelta(days=days) - SAME_DAY:
            return reading.at
    return None


def stable_now(facts: Facts, days: float, now: datetime) -> bool:
    """Whether it stands stable over `days` at the clock: shown, and the newest reading at most 4 days old."""
    return any(_stable_at(run, facts, days) is not None for run in _fresh(facts, now))


def _fresh(facts: Facts, now: datetime) -> list[tuple[Reading, ...]]:
    """The calm runs that still count: by hand or by a sensor, the newest of all their readings is at most 4 days old.

    A hand reading of a calm that a sensor has watched since is as good as a fresh one.
    """
    by_hand, *by_sensors = calm_runs(facts, now)
    fresh = [run for run in by_sensors if run and now - run[-1].at <= FRESH]
    watched = by_hand and any(run[0].at <= by_hand[-1].at <= run[-1].at for run in fresh)
    return [by_hand, *fresh] if by_hand and (watched or now - by_hand[-1].at <= FRESH) else fresh


def proven_since(facts: Facts, upto: datetime | None = None) -> datetime | None:
    """When it was proven that it has stopped: thirty calm days with three readings whose fall, error included, is at
    most half a point a week, less where the scale shows more. None while that is not shown.
    """
    shown = [at for run in calm_runs(facts, upto) if (at := _proven_at(run, facts)) is not None]
    return min(shown, default=None)


def _proven_at(run: Sequence[Reading], facts: Facts) -> datetime | None:
    most = PROVEN_FALL_SG_PER_WEEK + PROVEN_FALL_PER_STEP * facts.resolution_sg
    for count in range(PROVEN_READINGS, len(run) + 1):
        part = run[:count]
        fall = fall_of(part, facts.resolution_sg)
        long_enough = part[-1].at - part[0].at >= PROVEN - SAME_DAY
        if long_enough and fall is not None and fall.most_sg_per_week <= most:
            return part[-1].at
    return None


def proven_now(facts: Facts, now: datetime) -> bool:
    """Whether it is proven at the clock that it has stopped, the newest reading at most 4 days old."""
    return any(_proven_at(run, facts) is not None for run in _fresh(facts, now))


def at_or_below(facts: Facts, sg: float) -> datetime | None:
    """When a reading since the last addition first stood at `sg` or below, or None. Once met it stays met."""
    return next((r.at for r in facts.since_addition if r.sg is not None and r.sg <= sg + ROUNDING_SG), None)


def at_end_since(facts: Facts) -> datetime | None:
    """When the gravity first stood at the plan's end (within 0.002) since the last addition, or None.

    The plan's end is a wish: whether it is safe to close, `refermentable.py` judges.
    """
    return at_or_below(facts, facts.end + END_SLACK_SG)


def at_end_now(facts: Facts) -> bool:
    """Whether the newest reading since the last addition stands at the plan's end (within 0.002); where it is a
    sensor's, whether the readings by hand since it grew calm do.
    """
    if not facts.since_addition:
        return False
    newest, most = facts.since_addition[-1], facts.end + END_SLACK_SG + ROUNDING_SG
    level = calm_level(facts) if newest.by is not None else None
    sg = newest.sg if level is None else level
    return sg is not None and sg <= most
