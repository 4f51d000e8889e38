"""Courses to be forecast, from models that the forecaster does not use. Every number that is drawn comes from the seed.

Nitrogen-limited kinetics in the form of Cramer, Vlassides and Block 2002 and Coleman, Fish and Block 2007 (Appl Environ
Microbiol 73:5875): biomass, active biomass, nitrogen, sugar, ethanol. The constants are second hand or from memory, so
they serve to make plausible courses and are no statement about the papers. Changed on purpose: death by ethanol at
1.6e-5 per hour and g/L at 20 °C, so that arrest is the exception; and a penalty on the sugar uptake (see `PACE`), 0.5
for a fed must, which brings its finish to about 8, 18, 40 days (10, 50, 90 %), and 0.3, less nitrogen and more spread
for a home mead (about 14, 40, 90 days), because real home meads are that slow."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, field

STEP_H = 2.0
HORIZON_DAYS = 160
PACE = {"fed": 0.50, "home": 0.30}  # factor on the sugar uptake


@dataclass(frozen=True)
class Truth:
    """A course and what its maker may know of it."""

    name: str
    og: float
    gravity: Callable[[float], float]
    end: float
    healthy_end: float
    temps: tuple[tuple[float, float], ...] = ()
    plan_temp_c: float | None = None
    yan: float | None = None
    tolerance: float | None = None
    feeds: tuple[tuple[float, float, float], ...] = ()
    doses: tuple[float, ...] = ()
    noise: float = 0.001
    outliers: float = 0.04
    horizon: float = float(HORIZON_DAYS)
    finish: float = field(default=0.0)


def settle(truth: Truth) -> Truth:
    """With the day on which the course comes within 0.002 of its own end (after the last sugar addition)."""
    low = truth.feeds[-1][0] if truth.feeds else 0.0
    high, wanted = truth.horizon, truth.end + 0.002
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if truth.gravity(middle) > wanted else (low, middle)
    return Truth(**{**truth.__dict__, "finish": high})


def _table(values: list[float], step: float) -> Callable[[float], float]:
    last = len(values) - 1

    def at(day: float) -> float:
        x = min(max(day / step, 0.0), float(last))
        i = min(int(x), last - 1)
        return values[i] + (x - i) * (values[i + 1] - values[i])

    return at


def kinetics(
    rng: random.Random,
    pace: str = "fed",
    *,
    fruit: bool = False,
    trouble: bool = False,
    room: bool = False,
    short: bool = False,
) -> Truth:
    """One must after the nitrogen-limited model, with temperature steps, staged nutrients and an alcohol limit.

    trouble: the yeast dies early; room: nothing is known of temperature and nitrogen; short: little nitrogen, cold."""
    home = pace == "home"
    og = rng.uniform(1.060, 1.135)
    sugar = (og - 1.0) * 1000.0 / 0.400
    rest = rng.uniform(0.0, 0.02) * sugar
    yan = rng.uniform(60.0, 180.0) if home else rng.uniform(110.0, 350.0)
    warm = rng.uniform(16.0, 23.0) if home else rng.uniform(15.0, 26.0)
    tolerance = rng.gauss(16.0, 1.6)
    uptake = 0.30 * PACE[pace] * math.exp(rng.gauss(0.0, 0.55 if home else 0.30))
    growth = 0.0948 * math.exp(rng.gauss(0.0, 0.2))
    death = 1.6e-5 * math.exp(rng.gauss(0.0, 0.5))
    if trouble:
        yan *= 0.5
        death *= rng.uniform(8.0, 40.0)
    if short:
        yan = rng.uniform(25.0, 60.0)
        warm = rng.uniform(13.0, 17.0)
    yield_xn = math.exp(3.50 - 0.00361 * yan)
    x = active = 0.25 * math.exp(rng.gauss(0.0, 0.6))
    later = 0.0 if home else rng.uniform(0.3, 0.6)
    nitrogen = yan * (1.0 - later) / 1000.0
    dose_days = () if home else (2.0, 4.0)
    doses = [(24.0 * day, yan * later / 2000.0) for day in dose_days]
    stages = _temperatures(rng, warm)
    sugar -= rest
    ethanol = 0.0
    feed = None
    if fruit:
        feed = (float(rng.randint(8, 18)), rng.uniform(0.008, 0.030))
    start_h = rng.uniform(2.0, 18.0)
    values: list[float] = []
    fed_at = -1.0
    for i in range(int(HORIZON_DAYS * 24 / STEP_H) + 1):
        hour = i * STEP_H
        values.append(1.0 + 0.400e-3 * (sugar + rest) - 0.155e-3 * ethanol)
        if hour < start_h:
            continue
        temp = _at(stages, hour / 24.0)
        if doses and hour >= doses[0][0]:
            nitrogen += doses.pop(0)[1]
        if feed is not None and hour >= 24.0 * feed[0] and fed_at < 0.0:
            fed_at = hour / 24.0
            sugar += feed[1] * 1000.0 / 0.400
            values[-1] += 1e-9
        mu = growth * math.exp(0.0782 * (temp - 20.0)) * nitrogen / (nitrogen + 0.009)
        limit = max(0.0, 1.0 - (ethanol / (7.89 * tolerance)) ** 4)
        beta = uptake * math.exp(0.0747 * (temp - 20.0)) * sugar / (sugar + 10.0) * limit
        kill = death * math.exp(-0.108 * (temp - 20.0) + 0.00478 * (temp * temp - 400.0)) * ethanol
        made = min(beta * active * STEP_H, 0.47 * sugar)
        grown = min(mu * active * STEP_H, nitrogen * yield_xn)
        x += grown
        active += grown - min(kill * STEP_H, 0.5) * active
        nitrogen -= grown / yield_xn
        ethanol += made
        sugar -= made / 0.47
    feeds = ((fed_at, feed[1], 0.002),) if feed is not None else ()
    dry_sugar = (og - 1.0) * 1000.0 / 0.400 + (feed[1] * 2500.0 if feed else 0.0) - rest
    drunk = min(0.47 * dry_sugar, 7.89 * tolerance)
    healthy = 1.0 + 0.400e-3 * (dry_sugar + rest - drunk / 0.47) - 0.155e-3 * drunk
    unknown = home or room
    seen_temps = tuple((d + 0.1, _at(stages, d) + rng.gauss(0.0, 0.4)) for d in range(0, 40, 3))
    return settle(
        Truth(
            name=f"kinetics {pace}",
            og=og,
            gravity=_table(values, STEP_H / 24.0),
            end=values[-1],
            healthy_end=healthy,
            temps=() if unknown else seen_temps,
            plan_temp_c=None if unknown else round(warm),
            yan=None if unknown else yan * rng.uniform(0.9, 1.1),
            tolerance=round(tolerance + rng.gauss(0.0, 1.0)) if rng.random() < 0.5 else None,
            feeds=feeds,
            doses=dose_days,
            noise=rng.uniform(0.001, 0.0025) if home else rng.uniform(0.0005, 0.002),
        )
    )


def _temperatures(rng: random.Random, warm: float) -> list[tuple[float, float]]:
    stages = [(0.0, warm)]
    for _ in range(rng.randint(0, 3)):
        stages.append((stages[-1][0] + rng.uniform(2.0, 12.0), warm + rng.uniform(-3.0, 3.0)))
    return stages


def _at(stages: list[tuple[float, float]], day: float) -> float:
    return next(temp for start, temp in reversed(stages) if day >= start)


def logistic(rng: random.Random) -> Truth:
    """SG = end + (OG - end) / (1 + e^(B (t - M))), scaled to day 0: Speers, Rogers, Smith 2003 (from memory)."""
    og, end, middle, b = _shape(rng)
    at0 = 1.0 / (1.0 + math.exp(-b * middle))

    def at(day: float) -> float:
        return end + (og - end) / (1.0 + math.exp(min(b * (day - middle), 500.0))) / at0

    return settle(_plain(rng, "logistic", og, end, at))


def gompertz(rng: random.Random) -> Truth:
    """Share used = exp(-e^(-B (t - M))): a quick start and a long tail."""
    og, end, middle, b = _shape(rng)

    def at(day: float) -> float:
        return og - (og - end) * math.exp(-math.exp(min(-0.7 * b * (day - middle), 50.0)))

    return settle(_plain(rng, "gompertz", og, end, at))


def _shape(rng: random.Random) -> tuple[float, float, float, float]:
    og = rng.uniform(1.060, 1.125)
    end = 1.0015 - 0.12 * (og - 1.0) + rng.gauss(0.0, 0.003)
    middle = 6.0 * math.exp(rng.gauss(0.0, 0.45))
    return og, end, middle, rng.uniform(2.0, 4.5) / middle


def _plain(rng: random.Random, name: str, og: float, end: float, gravity: Callable[[float], float]) -> Truth:
    return Truth(name, og, gravity, end, end, plan_temp_c=20.0, yan=200.0, noise=rng.uniform(0.0005, 0.002))


def look(rng: random.Random, truth: Truth, most: int = 12, every: float = 2.5) -> list[tuple[float, float, float]]:
    """3 to `most` irregular readings with noise, rounded as read, a few of them wrong."""
    day, found = 0.0, []
    for _ in range(rng.randint(3, most)):
        day += every * math.exp(rng.gauss(0.0, 0.6))
        sg = truth.gravity(day) + rng.gauss(0.0, truth.noise)
        if rng.random() < truth.outliers:
            sg += rng.choice((-1, 1)) * rng.uniform(0.004, 0.010)
        found.append((day, round(sg, 3), 0.001))
    return found
