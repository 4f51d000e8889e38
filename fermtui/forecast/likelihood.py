"""How well a course of the gravity agrees with the readings of one vessel."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log, log1p

from fermtui.forecast.course import course, first_curve
from fermtui.forecast.evidence import Tidy
from fermtui.forecast.priors import World
from fermtui.forecast.thermal import ThermalClock

LEAST_DROP_SG = 0.02  # below it the blur does not shrink with the drop
_FLOOR = 0.12  # part of the blur that stays at the end of the course
_OLD = 1.0  # how fast the credit of a reading falls with the number of newer ones
_NEW = 3  # newest readings that keep all of it
_MANY = 0.35


def blur_of(share: float) -> float:
    """Part of a world's blur that applies where `share` of the drop is left: all of it in the first half (honey not yet
    dissolved, carbon dioxide, days rounded on a steep slope), little at the end."""
    return 1.0 if share > 0.5 else _FLOOR + (1.0 - _FLOOR) * 4.0 * share * (1.0 - share)


def trust(count: int) -> float:
    """Weight of a reading when there are `count` between two additions: a wrong shape makes them err together, so many
    say less than their number."""
    return 1.0 if count <= _NEW else 1.0 / (1.0 + _MANY * (count - _NEW))


class Scale:
    """The readings of one vessel, ready to weigh many courses against them in one world."""

    def __init__(self, world: World, facts: Tidy, clock: ThermalClock) -> None:
        self.blur = world.blur
        edges = [day for day, _, _ in facts.feeds]
        by_segment: list[list[tuple[float, float, float, float]]] = [[] for _ in range(len(edges) + 1)]
        newer = len(facts.readings)
        for day, sg, sd in facts.readings:
            newer -= 1
            segment = sum(1 for edge in edges if day > edge)
            age = 1.0 + _OLD * max(newer - _NEW, 0)
            variance = age * (max(sd, 0.0005) ** 2 + world.noise**2)
            by_segment[segment].append((clock.tau(day), sg, variance, age))
        self.used = [(i, rows) for i, rows in enumerate(by_segment) if rows]
        self.powers = [trust(len(rows)) for _, rows in self.used for _ in rows]
        self.course = course(world, facts, clock)
        self.first = None if facts.feeds else first_curve(world, facts)

    def misses(self, point: Sequence[float]) -> list[tuple[float, float]]:
        """(reading minus course, variance) for each reading."""
        low, high = _FLOOR, 4.0 * (1.0 - _FLOOR)
        found: list[tuple[float, float]] = []
        curves = self.course(point)
        for segment, rows in self.used:
            tau0, k, lag, width, order, turn, tail, top, end = curves[segment]
            base = log1p(exp(-lag / width))
            q = order - 1.0
            if -1e-4 < q < 1e-4:
                q = 1e-4
            power_of = -1.0 / q
            qkw = q * k * width
            last = (turn**-q - 1.0) / qkw
            tail *= width
            start = tau0 + lag
            drop = top - end
            blur = (self.blur * (drop if drop > LEAST_DROP_SG else LEAST_DROP_SG)) ** 2
            for tau, sg, variance, age in rows:
                x = (tau - start) / width
                s = (x + log1p(exp(-x)) if x > 0.0 else log1p(exp(x))) - base
                share = (1.0 + qkw * s) ** power_of if s < last else turn * exp(tail * (last - s))
                part = 1.0 if share > 0.5 else low + high * share * (1.0 - share)
                found.append((sg - end - drop * share, variance + age * blur * part))
        return found

    def worth(self, misses: Sequence[tuple[float, float]]) -> float:
        """Log likelihood: Student t errors with 4 degrees of freedom, so that one wrong reading does not rule."""
        total = 0.0
        for power, (off, variance) in zip(self.powers, misses, strict=False):
            odd = 1.0 + 0.25 * off * off / variance
            total -= power * 0.5 * log(odd * odd * odd * odd * odd * variance)
        return total

    def weigh(self, point: Sequence[float]) -> float:
        """Log likelihood of a course; in one go where nothing was added, because it runs hundreds of times."""
        if self.first is None:
            return self.worth(self.misses(point))
        _, k, lag, width, order, turn, tail, top, end = self.first(point)
        base = log1p(exp(-lag / width))
        q = order - 1.0
        if -1e-4 < q < 1e-4:
            q = 1e-4
        power_of = -1.0 / q
        qkw = q * k * width
        last = (turn**-q - 1.0) / qkw
        tail *= width
        drop = top - end
        blur = (self.blur * (drop if drop > LEAST_DROP_SG else LEAST_DROP_SG)) ** 2
        low, high = _FLOOR, 4.0 * (1.0 - _FLOOR)
        product = 1.0
        for tau, sg, variance, age in self.used[0][1]:
            x = (tau - lag) / width
            s = (x + log1p(exp(-x)) if x > 0.0 else log1p(exp(x))) - base
            share = (1.0 + qkw * s) ** power_of if s < last else turn * exp(tail * (last - s))
            if share > 0.5:
                variance += age * blur
            else:
                variance += age * blur * (low + high * share * (1.0 - share))
            off = sg - end - drop * share
            odd = 1.0 + 0.25 * off * off / variance
            product *= odd * odd * odd * odd * odd * variance
        return -0.5 * self.powers[0] * log(product)
