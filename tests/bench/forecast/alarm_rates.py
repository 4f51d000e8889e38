"""Slow and stalled against courses from other models: healthy ones must not be called, creeping and arrested ones must.

Healthy: nitrogen-limited kinetics of a fed must (see `truths`) at 15 to 25 °C, logistic and Gompertz courses. Creeping:
the same kinetics, short of nitrogen, cold, with a slow uptake. Arrested: the kinetics with a yeast that dies early."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import NamedTuple

from fermtui.forecast.posterior import for_alarms
from fermtui.forecast.readoff import alarms_of

from .measure import evidence_of, median
from .truths import Truth, gompertz, kinetics, logistic


class Called(NamedTuple):
    """Days on which the readings of one course first named it slow, and stalled, and how often stalled went off."""

    slow: float | None
    stalled: float | None
    flips: int


def walk(truth: Truth, readings: list[tuple[float, float, float]]) -> Called:
    """What is said after each reading."""
    slow = stalled = None
    flips, before = 0, False
    for count in range(1, len(readings) + 1):
        now = readings[count - 1][0]
        seen = alarms_of(for_alarms(evidence_of(truth, readings[:count], now)), now)
        if seen.is_slow and slow is None:
            slow = now
        if seen.is_stalled and stalled is None:
            stalled = now
        flips += before and not seen.is_stalled
        before = seen.is_stalled
    return Called(slow, stalled, flips)


def healthy(rng: random.Random) -> Truth:
    """A must that ends where it should within 30 days, as nine in ten of the fed musts of `truths` do."""
    while True:
        kind = rng.random()
        truth = kinetics(rng, "fed") if kind < 0.6 else logistic(rng) if kind < 0.8 else gompertz(rng)
        if truth.end <= truth.healthy_end + 0.006 and truth.finish < 30.0:
            return truth


def creeping(rng: random.Random) -> Truth:
    """A must that is short of nitrogen and cold: under way on day 4, and less than half of its sugar spent on day 16,
    where one in two fed musts has come to its end."""
    while True:
        truth = kinetics(rng, "home", short=True)
        if truth.og - truth.gravity(4.0) > 0.002 and truth.og - truth.gravity(16.0) < 0.5 * (truth.og - 1.0):
            return truth


def arrested(rng: random.Random) -> Truth:
    """A fed must that stops well above where it should."""
    while True:
        truth = kinetics(rng, "fed", trouble=True)
        day = stall_day(truth)
        if day is not None and day < 40.0:
            return truth


def stall_day(truth: Truth) -> float | None:
    """The first day, a tenth of the way down, from which it falls less than 0.003 in four days, high above its end."""
    for half in range(4, 160):
        day = 0.5 * half
        here = truth.gravity(day)
        if here < truth.healthy_end + 0.015:
            return None
        if here < truth.og - 0.010 and here - truth.gravity(day + 4.0) < 0.003:
            return day
    return None


def watched(rng: random.Random, truth: Truth, days: float) -> list[tuple[float, float, float]]:
    """A reading each 1.5 to 3.5 days, with noise, rounded, a few of them wrong; 16 at most."""
    day = 0.0
    found: list[tuple[float, float, float]] = []
    while len(found) < 16 and day < days - 3.5:
        day += rng.uniform(1.5, 3.5)
        sg = truth.gravity(day) + rng.gauss(0.0, truth.noise)
        if rng.random() < truth.outliers:
            sg += rng.choice((-1, 1)) * rng.uniform(0.004, 0.010)
        found.append((day, round(sg, 3), 0.001))
    return found


def _watched(make: Callable[[random.Random], Truth], n: int, seed: str, days: float) -> list[tuple[Truth, Called]]:
    found: list[tuple[Truth, Called]] = []
    for number in range(n):
        rng = random.Random(f"{seed}-{number}")
        truth = make(rng)
        readings = watched(rng, truth, days)
        found.append((truth, walk(truth, readings)))
    return found


def rates(n: int, seed: int) -> dict[str, float]:
    """n healthy courses, a quarter as many creeping and half as many arrested ones."""
    good = [called for _, called in _watched(healthy, n, f"healthy-{seed}", 45.0)]
    creep = [called for _, called in _watched(creeping, max(n // 4, 1), f"creeping-{seed}", 30.0)]
    stopped = _watched(arrested, max(n // 2, 1), f"arrested-{seed}", 60.0)
    late = [
        (called.stalled if called.stalled is not None else 99.0) - (stall_day(truth) or 0.0)
        for truth, called in stopped
    ]
    return {
        "healthy called slow": sum(c.slow is not None for c in good) / n,
        "healthy called stalled": sum(c.stalled is not None for c in good) / n,
        "healthy called slow or stalled": sum(not (c.slow is None and c.stalled is None) for c in good) / n,
        "creeping named within 10 days": sum(
            any(day is not None and day <= 10.0 for day in (c.slow, c.stalled)) for c in creep
        )
        / len(creep),
        "stall named after days, median": median(late),
        "stall named at all": sum(called.stalled is not None for _, called in stopped) / len(stopped),
        "stall alarms that went off again": float(sum(called.flips for _, called in stopped)),
    }


def tables(n: int, seed: int) -> None:
    """Print the rates."""
    print(f"\nalarms, {n} healthy courses")
    for name, value in rates(n, seed).items():
        print(f"{name}: {value:.3g}")
