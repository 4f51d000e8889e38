"""From evidence to a set of possible courses, each with its weight. No clock: what is asked of it later brings the day.

All points are fixed, so that the answer is the same to the last digit."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, log

from fermtui.forecast.alarms import STALL_ABOVE_SG
from fermtui.forecast.course import AFTER_FEED, course, dry_or_drunk
from fermtui.forecast.curve import Curve, tau_at
from fermtui.forecast.evidence import Evidence, Tidy, tidy
from fermtui.forecast.likelihood import Scale
from fermtui.forecast.priors import DEFAULT_PRIORS, Priors, World, fed_world, halves, worlds
from fermtui.forecast.quasi_random import DIMENSIONS, normal_points, normal_quantile
from fermtui.forecast.sampler import Matrix, Point, capped, closer, counted, draw, log_mean, peak
from fermtui.forecast.stored import check_posterior
from fermtui.forecast.thermal import ThermalClock, thermal_clock

DRAWS = 160
NEAR_END = 0.002  # finished: within this of the own end
_TENTH = 1.2816  # of a standard normal, 10 %
_ENOUGH_YAN = 150.0  # mg/L; what a must that wants for nothing has at least: judgement
_FIRST = 12  # points of each world tried as a start downhill
_STAGES = (170, 210)  # points drawn around the peaks, then around the weight
_STAGES_FED = (300, 440)  # the same where sugar or water came in: two more numbers, and a course less like a normal
_LIFT = (0.12, 0.0)  # least share of a world in each stage
_GOLDEN = 0.5 * (math.sqrt(5.0) - 1.0)
_FEWEST = 15  # a world that deserves fewer keeps what it has


@dataclass(frozen=True, slots=True)
class Draw:
    """A possible course: a curve for each segment, how often it stands for the whole, its world, and its pace after the
    last reading relative to the curve's."""

    count: int
    world: int
    ahead: float
    curves: tuple[Curve, ...]


@dataclass(frozen=True, slots=True)
class Posterior:
    """What is believed of one vessel, without a clock.

    readings      (day, SG) after pitching, merged
    feeds         days of sugar, water and fresh yeast, each the start of a new segment
    expected_end  where a healthy must of this strength ends in the last segment
    healthy       the slowest tenth of healthy musts in the last segment; `alarms` measures against it
    noise, blur   errors of a reading, one pair a world (see `priors.World`)
    weights       chance of each world, in the order of `worlds`
    learned_from  how many of the maker's own vessels speak for this one (a weighted count)
    """

    draws: tuple[Draw, ...]
    clock: ThermalClock
    readings: tuple[tuple[float, float], ...]
    feeds: tuple[float, ...]
    og_known: bool
    expected_end: float
    healthy: Curve
    worlds: tuple[str, ...]
    weights: tuple[float, ...]
    noise: tuple[tuple[float, float], ...]
    learned_from: float

    @property
    def seen_until(self) -> float:
        """Thermal day of the last reading, where it lies in the last segment: from there on the pace may change. 0 with
        nothing read or added; infinite where nothing was read since an addition, which has a pace of its own."""
        if not self.readings and not self.feeds:
            return 0.0
        last = self.readings[-1][0] if self.readings else -math.inf
        return self.clock.tau(last) if last > (self.feeds[-1] if self.feeds else 0.0) else math.inf

    def to_json(self) -> str:
        """Compact JSON; `from_json` gives the very same posterior back."""
        rows = [[d.count, d.world, d.ahead, *(v for c in d.curves for v in c[1:])] for d in self.draws]
        starts = [c.tau0 for c in self.draws[0].curves]
        return json.dumps(
            [
                rows, starts, [self.clock.days, self.clock.taus, self.clock.pace], self.readings, self.feeds,
                self.og_known, self.expected_end, self.healthy, self.worlds, self.weights, self.noise,
                self.learned_from,
            ],
            separators=(",", ":"),
        )  # fmt: skip

    @staticmethod
    def from_json(text: str) -> Posterior:
        """Read what `to_json` wrote. Raises ValueError when it is something else."""
        try:
            stored = json.loads(text)
            check_posterior(stored)
            rows, starts, clock, readings, feeds, known, end, healthy, names, weights, noise, learned = stored
            draws = tuple(
                Draw(
                    row[0], row[1], row[2], tuple(Curve(t, *row[3 + 8 * i : 11 + 8 * i]) for i, t in enumerate(starts))
                )
                for row in rows
            )
            return Posterior(
                draws, ThermalClock(tuple(clock[0]), tuple(clock[1]), clock[2]), tuple((d, g) for d, g in readings),
                tuple(feeds), known, end, Curve(*healthy), tuple(names), tuple(weights),
                tuple((a, b) for a, b in noise), learned,
            )  # fmt: skip
        except (TypeError, IndexError, KeyError) as problem:
            raise ValueError(f"not a stored forecast: {problem}") from problem


def posterior(evidence: Evidence, priors: Priors = DEFAULT_PRIORS) -> Posterior:
    """What is believed after all evidence. Pure and deterministic; never raises for finite or missing input."""
    facts = tidy(evidence)
    clock = thermal_clock(evidence.temps, evidence.plan_temp_c)
    whole, speaking = worlds(evidence, facts, priors)
    several = halves(whole)
    sampled = _sample(several, facts, clock)
    draws, weights = _pick(sampled, several, facts, clock)
    return _described(evidence, facts, clock, whole, speaking, draws, weights)


def for_alarms(evidence: Evidence, priors: Priors = DEFAULT_PRIORS) -> Posterior:
    """The same without a single course: enough for `readoff.alarms_of`, at a hundredth of the price."""
    facts = tidy(evidence)
    clock = thermal_clock(evidence.temps, evidence.plan_temp_c)
    whole, speaking = worlds(evidence, facts, priors)
    return _described(evidence, facts, clock, whole, speaking, (), [world.weight for world in halves(whole)])


def _described(
    evidence: Evidence,
    facts: Tidy,
    clock: ThermalClock,
    whole: Sequence[World],
    speaking: float,
    draws: tuple[Draw, ...],
    weights: Sequence[float],
) -> Posterior:
    several = halves(whole)
    return Posterior(
        draws=draws,
        clock=clock,
        readings=tuple((day, sg) for day, sg, _ in facts.readings),
        feeds=tuple(day for day, _, _ in facts.feeds),
        og_known=facts.og_known,
        expected_end=_expected_end(whole, evidence, facts),
        healthy=_healthy(evidence, facts, clock),
        worlds=tuple(f"{world.name}, halting" if world.halting else world.name for world in several),
        weights=tuple(round(weight, 6) for weight in weights),
        noise=tuple((w.noise, w.blur) for w in several),
        learned_from=round(speaking, 2),
    )


def _expected_end(whole: Sequence[World], evidence: Evidence, facts: Tidy) -> float:
    """Where a healthy one ends by what was believed before the readings; nobody calls a must stalled that is within
    0.004 of the planned end (1.000 where none is planned), so that is the least."""
    added = sum(points for _, points, _ in facts.feeds)
    believed = sum(w.weight * dry_or_drunk(w, facts, facts.og, added, w.tolerance_abv) for w in whole)
    planned = evidence.end_sg if evidence.end_sg is not None and math.isfinite(evidence.end_sg) else 1.000
    return round(max(believed, planned - STALL_ABOVE_SG + 0.004), 6)


def _healthy(evidence: Evidence, facts: Tidy, clock: ThermalClock) -> Curve:
    """The slowest tenth of healthy musts: pace and lag of the fed world, with nitrogen enough whatever was given."""
    yan = evidence.yan_mg_per_l
    enough = max(yan, _ENOUGH_YAN) if yan is not None and math.isfinite(yan) else None
    world = fed_world(replace(evidence, yan_mg_per_l=enough), facts)
    alone = replace(facts, feeds=())
    curve = course(world, alone, clock)((-_TENTH, _TENTH, *(0.0,) * (DIMENSIONS - 2)))[0]
    if facts.feeds:  # the same law goes on from the share of all sugar that is there
        added = sum(points for _, points, _ in facts.feeds)
        whole = max(curve.top + added, curve.end + 0.01)
        tau0 = clock.tau(facts.feeds[-1][0])
        curve = curve._replace(tau0=tau0, k=AFTER_FEED * curve.k, tail=AFTER_FEED * curve.tail, lag=1.5, top=whole)
    return _short(curve)


def finish_tau(curve: Curve) -> float:
    """Thermal day on which the gravity comes within 0.002 of its own end."""
    return tau_at(curve, curve.end + NEAR_END)


_Weighted = tuple[int, Point, float]  # world, point, log weight


def _sample(several: Sequence[World], facts: Tidy, clock: ThermalClock) -> list[_Weighted]:
    """Weighted points of all worlds, most where most of the weight lies."""
    every = normal_points()
    size = DIMENSIONS if facts.feeds else DIMENSIONS - 2
    if not facts.readings:
        return [
            (i, point, log(world.weight / count))
            for i, world in enumerate(several)
            if (count := round(2 * DRAWS * world.weight)) > 0
            for point in every[:count]
        ]
    found: list[_Weighted] = []
    scales = [Scale(world, facts, clock) for world in several]
    weights = [log(max(world.weight, 1e-9)) for world in several]
    peaks: list[tuple[list[float], Matrix, float]] = []
    for world, scale in zip(several, scales, strict=True):
        start = peaks[-1][0] if world.halting else _best_start(scale, every, size)
        peaks.append(peak(scale, start, size))
    odds = [weight + top[2] for weight, top in zip(weights, peaks, strict=True)]
    around = [(centre, root) for centre, root, _ in peaks]
    sets: list[list[tuple[list[Point], list[float]]]] = [[] for _ in several]
    offset = 0
    for stage, total in enumerate(_STAGES_FED if facts.feeds else _STAGES):
        shares = _shares(odds, _LIFT[stage])
        for i, scale in enumerate(scales):
            count = round(total * shares[i])
            if count < _FEWEST:
                continue
            if sets[i]:
                around[i] = closer(*sets[i][-1], *around[i])
            points, logs = draw(scale, *around[i], every[offset : offset + count])
            sets[i].append((points, capped(logs)))
            odds[i] = weights[i] + log_mean(logs)
        offset += total
    for i, drawn in enumerate(sets):
        worth = [counted(logs) for _, logs in drawn]
        for (points, logs), share in zip(drawn, worth, strict=True):
            norm = weights[i] + log(share / (sum(worth) * len(points)))
            found.extend((i, point, value + norm) for point, value in zip(points, logs, strict=True))
    return found


def _best_start(scale: Scale, every: Sequence[Point], size: int) -> Point:
    rest = (0.0,) * (DIMENSIONS - size)
    tries = [tuple([0.8 * z for z in point[:size]]) + rest for point in every[:_FIRST]]
    return max(tries, key=lambda point: scale.weigh(point) - 0.5 * sum(z * z for z in point))


def _shares(odds: Sequence[float], floor: float) -> list[float]:
    top = max(odds)
    raw = [exp(max(value - top, -700.0)) for value in odds]
    total = sum(raw)
    lifted = [max(value / total, floor) for value in raw]
    total = sum(lifted)
    return [value / total for value in lifted]


def _pick(
    sampled: Sequence[_Weighted], several: Sequence[World], facts: Tidy, clock: ThermalClock
) -> tuple[tuple[Draw, ...], list[float]]:
    """Evenly spaced picks along the heap of weights, and the weight of each world. The heap is laid out by pace, so
    that few picks hold all paces in their right shares."""
    sampled = sorted(sampled, key=lambda item: (item[0], item[1][0]))
    top = max(value for _, _, value in sampled)
    weights = [exp(max(value - top, -700.0)) for _, _, value in sampled]
    total = sum(weights)
    chances = [0.0] * len(several)
    draws: list[Draw] = []
    courses = [course(world, facts, clock) for world in several]
    reach, next_at = 0.0, 0.5
    for (world, point, _), weight in zip(sampled, weights, strict=True):
        chances[world] += weight / total
        reach += DRAWS * weight / total
        count = 0
        while reach > next_at and next_at < DRAWS:
            count += 1
            next_at += 1.0
        if count:
            curves = tuple(_short(curve) for curve in courses[world](point))
            ahead = exp(several[world].sd_ahead * normal_quantile((0.5 + _GOLDEN * len(draws)) % 1.0))
            draws.append(Draw(count, world, float(f"{ahead:.4g}"), curves))
    return tuple(draws), chances


def _short(curve: Curve) -> Curve:
    """Few digits, so that the stored form is small and reads back exactly."""
    tau0, k, lag, width, order, turn, tail, top, end = curve
    top, end = round(top, 5), round(end, 5)
    return Curve(
        round(tau0, 6),
        float(f"{k:.4g}"),
        float(f"{lag:.4g}"),
        float(f"{width:.4g}"),
        round(order, 3),
        float(f"{turn:.3g}"),
        float(f"{tail:.4g}"),
        top,
        min(end, round(top - 0.0003, 5)),
    )
