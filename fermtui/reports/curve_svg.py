"""The gravity of a vessel, and all vessels on one line of time, as numbers that a template draws in SVG."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

from fermtui.cellar.store import VesselView, View
from fermtui.reports.plot_scale import PlotData, day_ticks, gravity_span, gravity_ticks, time_span
from fermtui.units import Units, show_gravity
from fermtui.wording.plain import plain

WIDTH, HEIGHT = 640, 320
LEFT, RIGHT, TOP, BOTTOM = 64, 632, 28, 284
ROW, FIRST_ROW, NAMES = 28, 40, 190
LONGEST = timedelta(days=365)


class Curve(NamedTuple):
    """The plot in units of its view box; instants and gravities are turned into x and y. `words` say the same."""

    gravities: Sequence[tuple[float, str]]
    days: Sequence[tuple[float, str]]
    band: str
    likely: str
    targets: Sequence[tuple[float, str]]
    readings: Sequence[tuple[float, float, bool, str]]
    today: float | None
    today_is: str
    words: str
    width: int = WIDTH
    height: int = HEIGHT
    left: int = LEFT
    right: int = RIGHT
    top: int = TOP
    bottom: int = BOTTOM


def curve_of(data: PlotData, units: Units) -> Curve | None:
    """The curve of these readings and forecast; None where there is no reading."""
    if not data.readings:
        return None
    first, last = time_span(data)
    low, high = gravity_span(data, first, last)

    def x(at: datetime) -> float:
        return round(LEFT + (RIGHT - LEFT) * ((at - first) / (last - first)), 1)

    def y(sg: float) -> float:
        return round(BOTTOM - (BOTTOM - TOP) * ((sg - low) / (high - low)), 1)

    band = [row for row in data.band if first <= row[0] <= last]
    above = [f"{x(at)},{y(most)}" for at, _, _, most in band]
    below = [f"{x(at)},{y(least)}" for at, least, *_ in reversed(band)]
    return Curve(
        gravities=[(y(sg), show_gravity(sg, units)) for sg in gravity_ticks(low, high, 15)],
        days=[(x(at), label) for at, label in day_ticks(first, last, 56)],
        band=" ".join(above + below),
        likely=" ".join(f"{x(at)},{y(likely)}" for at, _, likely, _ in band),
        targets=[(y(sg), plain(label, 40)) for sg, label in data.targets if low <= sg <= high],
        readings=[
            (x(at), y(sg), struck, f"{at:%Y-%m-%d %H:%M}: {show_gravity(sg, units)}{', taken back' if struck else ''}")
            for at, sg, struck in data.readings
            if first <= at <= last and low <= sg <= high
        ],
        today=x(data.now) if data.now_is and first <= data.now <= last else None,
        today_is=data.now_is,
        words=_words(data, units),
    )


def _words(data: PlotData, units: Units) -> str:
    kept = [(at, sg) for at, sg, struck in data.readings if not struck]
    if not kept:
        return "Only readings that were taken back."
    (begun, begun_sg), (last, last_sg) = kept[0], kept[-1]
    said = f"{show_gravity(begun_sg, units)} on {begun:%Y-%m-%d}, {show_gravity(last_sg, units)} on {last:%Y-%m-%d}"
    if data.band:
        at, low, likely, high = data.band[-1]
        said += (
            f"; likely {show_gravity(likely, units)} on {at:%Y-%m-%d}, eight of ten between "
            f"{show_gravity(low, units)} and {show_gravity(high, units)}"
        )
    return f"{len(kept)} readings: {said}."


class Lane(NamedTuple):
    """One vessel on the line of time: from its beginning to today, and on to its likely finish."""

    name: str
    link: str
    y: int
    begins: float
    ends: float
    troubled: bool


class Lanes(NamedTuple):
    """All of them, with the marks of days and today."""

    rows: Sequence[Lane]
    days: Sequence[tuple[float, str]]
    today: float
    height: int
    width: int = WIDTH


def lanes_of(view: View, link: dict[str, str]) -> Lanes:
    """The vessels of a cellar on one line of time, at most a year back."""
    now, zone = view.now.astimezone(view.settings.zone), view.settings.zone
    begun = {v.vessel: v.facts.first_at.astimezone(zone) for v in view.vessels if v.facts.first_at is not None}
    first = max(now - LONGEST, min(begun.values(), default=now - timedelta(days=30)))
    ends = {v.vessel: _ends(v, now) for v in view.vessels}
    last = max([now + timedelta(days=14), *ends.values()])
    last = min(last, now + LONGEST / 2)

    def x(at: datetime) -> float:
        share = (min(max(at, first), last) - first) / (last - first)
        return round(NAMES + (WIDTH - NAMES - 8) * share, 1)

    rows = [
        Lane(plain(vessel.name, 16), link[vessel.vessel], FIRST_ROW + ROW * place, x(begun[vessel.vessel]),
             x(ends[vessel.vessel]), bool(vessel.trouble or vessel.standing))
        for place, vessel in enumerate(v for v in view.vessels if v.vessel in begun)
    ]  # fmt: skip
    days = [(x(at), label) for at, label in day_ticks(first, last, 40)]
    return Lanes(rows, days, x(now), FIRST_ROW + ROW * len(rows))


def _ends(vessel: VesselView, now: datetime) -> datetime:
    finish = vessel.forecast.finish if vessel.forecast is not None else None
    return now if finish is None else max(now, finish.likely.astimezone(now.tzinfo))
