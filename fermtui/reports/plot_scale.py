"""Axes of the gravity plot: which stretch of time and gravity is drawn, and where its ticks stand. Pure."""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from typing import Literal, NamedTuple

from fermtui.units import METRIC, Units, degrees_of, sg_of_shown
from fermtui.wording.dates import MONTHS

Zoom = Literal["all", "recent", "coming"]

SG_STEPS = (0.001, 0.002, 0.005, 0.010, 0.020, 0.050, 0.100)
DEGREE_STEPS = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)
DAY_STEPS = (1, 2, 7, 14, 28)
RECENT = timedelta(days=14)


class PlotData(NamedTuple):
    """What the plot shows, as plain numbers. Gravities are SG 20/20; all instants carry an offset."""

    now: datetime
    readings: tuple[tuple[datetime, float, bool], ...] = ()
    """instant, SG, struck"""
    band: tuple[tuple[datetime, float, float, float], ...] = ()
    """instant, low, likely, high SG; may be empty"""
    targets: tuple[tuple[float, str], ...] = ()
    """SG, label"""
    events: tuple[tuple[datetime, str], ...] = ()
    """instant, one word"""
    zoom: Zoom = "all"
    now_is: str = "today"
    """what the line at `now` is called; without a name no line is drawn"""
    units: Units = METRIC


class Axis(NamedTuple):
    """A stretch of numbers laid over a count of dots."""

    low: float
    high: float
    dots: int

    def dot(self, value: float) -> int:
        """The dot of a value, counted from `low`; may lie outside 0..dots-1."""
        return round((value - self.low) / (self.high - self.low) * (self.dots - 1))

    def value(self, dot: int) -> float:
        """The value at a dot: the inverse of `dot`."""
        return self.low + (self.high - self.low) * dot / max(1, self.dots - 1)


def time_span(data: PlotData) -> tuple[datetime, datetime]:
    """First and last instant drawn: always at least two days, always with today in it."""
    now = data.now
    last_band = max((at for at, *_ in data.band), default=now)
    if data.zoom == "recent":
        return now - RECENT, now + timedelta(days=2)
    if data.zoom == "coming":
        return now - timedelta(days=3), max(last_band, now + timedelta(days=7))
    instants = [at for at, *_ in data.readings] + [at for at, _ in data.events if at <= now]
    first = min([*instants, now])
    past = max(now - first, timedelta(days=1))
    end = min(last_band, now + max(past, timedelta(days=14)))
    return first, max(end, now + past * 0.04, first + timedelta(days=2))


def gravity_span(data: PlotData, first: datetime, last: datetime) -> tuple[float, float]:
    """Lowest and highest SG drawn: what lies in the time drawn, and those targets that are near enough to matter."""
    values = [sg for at, sg, struck in data.readings if first <= at <= last and not struck]
    values += [sg for at, *three in data.band if first <= at <= last for sg in three]
    if not values:
        values = [sg for sg, _ in data.targets] or [1.000, 1.100]
    low, high = min(values), max(values)
    reach = max((high - low) * (0.6 if data.zoom == "all" else 0.3), 0.003)
    near = [sg for sg, _ in data.targets if low - reach <= sg <= high + reach]
    low, high = min([low, *near]), max([high, *near])
    room = max((high - low) * 0.04, 0.001)
    return low - room, high + room


def gravity_ticks(low: float, high: float, rows: int, units: Units = METRIC) -> list[float]:
    """Round gravities (1.100, 1.080 ..., or those of round degrees) at least three rows apart where there is room."""
    wanted = max(3, rows // 3)
    if units.gravity != "sg":
        return [sg_of_shown(degrees, units) for degrees in _round_degrees(low, high, wanted, units)]
    step = next((s for s in SG_STEPS if (high - low) / s <= wanted), SG_STEPS[-1])
    first = int(low / step) + 1 if low > 0 else 0
    ticks = []
    while first * step <= high:
        ticks.append(round(first * step, 3))
        first += 1
    return ticks


def _round_degrees(low: float, high: float, wanted: int, units: Units) -> list[float]:
    least, most = degrees_of(low, units), degrees_of(high, units)
    step = next((s for s in DEGREE_STEPS if (most - least) / s <= wanted), DEGREE_STEPS[-1])
    return [number * step for number in range(math.floor(least / step) + 1, math.floor(most / step) + 1)]


def day_ticks(first: datetime, last: datetime, columns: int) -> list[tuple[datetime, str]]:
    """Midnights with their label: days, Mondays, or the first of months, as many as fit."""
    days = max(1.0, (last - first) / timedelta(days=1))
    fits = max(1, columns // 8)
    step = next((s for s in DAY_STEPS if days / s <= fits), DAY_STEPS[-1])
    midnight = first.replace(hour=0, minute=0, second=0, microsecond=0)
    marks: list[tuple[datetime, str]] = []
    every = max(1, -(-round(days / 30) // fits))
    while midnight <= last:
        if midnight >= first and _is_tick(midnight, step, every):
            marks.append((midnight, _label(midnight, step)))
        midnight += timedelta(days=1)
    return marks


def _is_tick(day: datetime, step: int, every_months: int) -> bool:
    if step == 28:
        return day.day == 1 and (day.month - 1) % every_months == 0
    if step >= 7:
        return day.weekday() == 0 and (step == 7 or day.toordinal() // 7 % 2 == 0)
    return step == 1 or day.toordinal() % 2 == 0


def _label(day: datetime, step: int) -> str:
    if step == 28:
        return f"{MONTHS[day.month - 1]} {day.year}" if day.month == 1 else MONTHS[day.month - 1]
    return f"{day.day} {MONTHS[day.month - 1]}"
