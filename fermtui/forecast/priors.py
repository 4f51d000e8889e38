"""What is believed before the first reading: several worlds that a must can belong to, and how likely each is.

A fed must at a known temperature and a neglected one behave so differently that one centre would be wrong for both.
Each world is a set of normal numbers; the readings then move the weight between the worlds.

Sources: the fed world is rounded by eye from shared series of sugar and grape musts; the neglected one from an
interval-aware fit to home meads. Noise, shape and tails are judgement, checked by tests/bench/score_forecast.py."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import erfc, exp, log, log1p

from fermtui.forecast.curve import Curve, gravity_at
from fermtui.forecast.evidence import Evidence, Tidy
from fermtui.forecast.thermal import ThermalClock

USUAL_TOLERANCE_ABV = 16.0
_SG_PER_ABV = 1.0 / 133.0  # fall of gravity for 1 % vol, rounded
_SOFT = 0.004
SD_WIDTH = 0.60  # of ln width: some musts set in at once, others creep
KNOWN_YAN = 2.0
AFTER_FEED = 0.6  # pace after a sugar addition relative to before
SD_AFTER_FEED = 0.40
TAIL_AFTER_FEED = 0.75
_ROOT_HALF = math.sqrt(0.5)


@dataclass(frozen=True, slots=True)
class World:
    """Centres and standard deviations for one kind of must at a given original gravity. `ln_k` and `ln_lag` per day
    at 20 °C, `k_slope` of ln k on ln (OG - 1), `order` of the decay, `turn` and `tail` where and how much
    slower than the bulk the last part goes, `dry` and `dry_slope` the end of a dry must against its gravity, `halts` the share
    that stops above that and `excess` by how much on average, `blur` the noise that grows with the drop.
    `halting` tells the two halves of a world apart once it has been split by `halves`."""

    name: str
    weight: float
    ln_k: float
    k_slope: float
    sd_k: float
    ln_lag: float
    sd_lag: float
    order: float
    sd_order: float
    turn: float
    ln_tail: float
    sd_tail: float
    dry: float
    dry_slope: float
    sd_end: float
    halts: float
    excess: float
    tolerance_abv: float
    sd_tolerance: float
    noise: float
    blur: float
    halting: bool = False


@dataclass(frozen=True, slots=True)
class Lesson:
    """What one finished vessel of the maker says: how far its pace, lag and end lay from the fed world's centre."""

    yeast: str | None
    og: float
    pace: float
    pace_sd: float
    lag: float
    lag_sd: float
    end: float
    end_sd: float


@dataclass(frozen=True, slots=True)
class Priors:
    """Beliefs for all vessels; `lessons` come from the maker's own finished ones (see `learning`)."""

    lessons: tuple[Lesson, ...] = ()


DEFAULT_PRIORS = Priors()


def worlds(evidence: Evidence, facts: Tidy, priors: Priors = DEFAULT_PRIORS) -> tuple[tuple[World, ...], float]:
    """(worlds with weights that sum to 1, how many of the maker's own vessels speak for this one)"""
    share = _fed_share(evidence)
    fed = fed_world(evidence, facts, share)
    rough = neglected_world(evidence, facts, 1.0 - share)
    own, speaking = _own_world(evidence, facts, fed, priors.lessons)
    if own is None:
        return (fed, rough), 0.0
    rest = 1.0 - own.weight
    return (own, replace(fed, weight=share * rest), replace(rough, weight=(1.0 - share) * rest)), speaking


def _fed_share(evidence: Evidence) -> float:
    """Chance of the fed world from what the plan and the entries say. Judgement, no source."""
    logit = -1.1
    if evidence.temps or evidence.plan_temp_c is not None:
        logit += 0.8
    if evidence.yan_mg_per_l is not None:
        logit += KNOWN_YAN if evidence.yan_mg_per_l >= 120.0 else 0.5 * KNOWN_YAN
    if evidence.doses_planned > 0:
        logit += 0.5 if evidence.doses_given > 0 else 0.2
    if evidence.tolerance_abv is not None:
        logit += 0.3
    return 1.0 / (1.0 + exp(-logit))


def _warmth_sd(evidence: Evidence) -> float:
    """Spread of ln pace that comes from not knowing how warm the must is."""
    if evidence.temps:
        return 0.0
    return 0.08 if evidence.plan_temp_c is not None else 0.2


def _tolerance(evidence: Evidence) -> tuple[float, float]:
    given = evidence.tolerance_abv
    if given is None or not math.isfinite(given):
        return USUAL_TOLERANCE_ABV, 1.6
    return min(max(given, 3.0), 22.0), 1.0


def fed_world(evidence: Evidence, facts: Tidy, weight: float = 1.0) -> World:
    """A must with nitrogen and a known temperature, as in cellars and trials."""
    yan = evidence.yan_mg_per_l
    known = yan is not None and math.isfinite(yan)
    fed = log(min(max(yan if known and yan is not None else 200.0, 40.0), 500.0) / 200.0)
    strength = log(max(facts.og - 1.0, 0.02) / 0.100)
    tolerance, sd_tolerance = _tolerance(evidence)
    return World(
        name="fed",
        weight=weight,
        ln_k=log(0.30) - 1.0 * strength + 0.5 * fed,
        k_slope=-1.0,
        sd_k=math.hypot(0.52 if known else 0.60, _warmth_sd(evidence)),
        ln_lag=log(1.45),
        sd_lag=math.hypot(0.65, _warmth_sd(evidence)),
        order=min(max(0.80 + 8.0 * (facts.og - 1.100), 0.50), 1.10),
        sd_order=0.25,
        turn=0.12,
        ln_tail=-0.05,
        sd_tail=0.40,
        dry=1.0035 - 0.20 * (facts.og - 1.0035),
        dry_slope=-0.20,
        sd_end=0.0030,
        halts=0.125,
        excess=0.020,
        tolerance_abv=tolerance,
        sd_tolerance=sd_tolerance,
        noise=0.0013,
        blur=0.018,
    )


def neglected_world(evidence: Evidence, facts: Tidy, weight: float = 1.0) -> World:
    """A home mead left to itself: slow on average, very different from one to the next, often not quite dry."""
    tolerance, sd_tolerance = _tolerance(evidence)
    return World(
        name="neglected",
        weight=weight,
        ln_k=log(0.20) - 0.3 * log(max(facts.og - 1.0, 0.02) / 0.100),
        k_slope=-0.3,
        sd_k=math.hypot(0.95, _warmth_sd(evidence)),
        ln_lag=log(1.7),
        sd_lag=math.hypot(0.80, _warmth_sd(evidence)),
        order=1.0,
        sd_order=0.35,
        turn=0.12,
        ln_tail=-0.2,
        sd_tail=0.5,
        dry=1.004 - 0.04 * (facts.og - 1.0),
        dry_slope=-0.04,
        sd_end=0.0045,
        halts=0.13,
        excess=0.025,
        tolerance_abv=tolerance,
        sd_tolerance=sd_tolerance,
        noise=0.0025,
        blur=0.037,
    )


def halves(several: Sequence[World]) -> tuple[World, ...]:
    """Each world as the musts that run to their end and those that halt above it."""
    return tuple(
        replace(world, weight=world.weight * (world.halts if halting else 1.0 - world.halts), halting=halting)
        for world in several
        for halting in (False, True)
    )


_BETWEEN_PACE, _WITHIN_PACE = 0.60, 0.40
_BETWEEN_LAG, _WITHIN_LAG = 0.40, 0.35
_BETWEEN_END, _WITHIN_END = 0.006, 0.003


def _own_world(
    evidence: Evidence, facts: Tidy, fed: World, lessons: Sequence[Lesson]
) -> tuple[World | None, float]:
    """Partial pooling: the maker's own centre, pulled to the common one as long as few vessels speak for it."""
    voices = [
        (exp(-0.5 * ((lesson.og - facts.og) / 0.020) ** 2) * _kinship(evidence.yeast, lesson.yeast), lesson)
        for lesson in lessons
    ]
    count = sum(voice for voice, _ in voices)
    if count < 0.05:
        return None, 0.0
    pace, sd_k = _pooled([(v, x.pace, x.pace_sd) for v, x in voices], _BETWEEN_PACE, _WITHIN_PACE)
    lag, sd_lag = _pooled([(v, x.lag, x.lag_sd) for v, x in voices], _BETWEEN_LAG, _WITHIN_LAG)
    end, sd_end = _pooled([(v, x.end, x.end_sd) for v, x in voices], _BETWEEN_END, _WITHIN_END)
    own = replace(
        fed,
        name="own",
        weight=0.9 * count / (count + 3.0),
        ln_k=fed.ln_k + pace,
        sd_k=math.hypot(sd_k, _warmth_sd(evidence)),
        ln_lag=fed.ln_lag + lag,
        sd_lag=sd_lag,
        dry=fed.dry + end,
        sd_end=sd_end,
        noise=0.0015,
        blur=0.016,
    )
    return own, count


def _kinship(mine: str | None, theirs: str | None) -> float:
    if mine is None or theirs is None:
        return 0.4
    return 1.0 if " ".join(mine.split()).casefold() == " ".join(theirs.split()).casefold() else 0.25


def _pooled(voices: list[tuple[float, float, float]], between: float, within: float) -> tuple[float, float]:
    """(centre, standard deviation for the next vessel) of a normal mean with a normal prior around zero."""
    precision, total = 1.0 / between**2, 0.0
    for voice, value, sd in voices:
        trust = voice / (within**2 + sd**2)
        precision += trust
        total += trust * value
    return total / precision, math.sqrt(1.0 / precision + within**2)


def dry_or_drunk(world: World, facts: Tidy, og: float, added: float, tolerance_abv: float) -> float:
    """The end that is expected with `added` points of sugar on top of og: the higher of where the sugar ends and where
    the alcohol stops the yeast, with a soft corner."""
    total = og + added
    dry = world.dry + world.dry_slope * (total - facts.og)
    corner = (total - tolerance_abv * _SG_PER_ABV - dry) / _SOFT
    return dry + _SOFT * (corner if corner > 30.0 else log1p(exp(corner)))


def curves_of(point: Sequence[float], world: World, facts: Tidy, clock: ThermalClock) -> list[Curve]:
    """One course of the gravity, a curve for each segment, from standard normal numbers: 0 pace, 1 lag, 2 order,
    3 end, 4 tolerance, 5 original gravity, 6 width of the lag, 7 tail, 8 pace and 9 sugar after feeds."""
    k = exp(world.ln_k + world.sd_k * point[0])
    og = facts.og + facts.og_sd * point[5]
    if not facts.og_known:
        og = max(og, 1.010)
        k *= ((og - 1.0) / (facts.og - 1.0)) ** world.k_slope
    lag = exp(world.ln_lag + world.sd_lag * point[1])
    order = min(max(world.order + world.sd_order * point[2], 0.35), 2.2)
    width = (0.20 + 0.25 * lag) * exp(SD_WIDTH * point[6])
    turn = world.turn * exp(0.3 * point[7])
    tail = k * turn ** (order - 1.0) * exp(world.ln_tail + world.sd_tail * point[7])
    tolerance = world.tolerance_abv + world.sd_tolerance * point[4]
    if world.halting:
        off = -world.excess * log(0.5 * erfc(min(point[3], 6.0) * _ROOT_HALF))  # exponential
    else:
        off = world.sd_end * point[3]
    end = dry_or_drunk(world, facts, og, 0.0, tolerance) + off
    end = end if end < og - 0.002 else og - 0.002
    curves = [Curve(0.0, k, lag, width, order, turn, tail, og, end)]
    if facts.feeds:
        drop = og - end
        slower = AFTER_FEED * exp(SD_AFTER_FEED * point[8])
        lag = 0.35 * exp(-0.3 * point[8])
        width = 0.20 + 0.25 * lag
        added = 0.0
        for day, points, sd in facts.feeds:
            tau = clock.tau(day)
            more = max(points + sd * point[9], 0.1 * points)
            added += more
            top = gravity_at(curves[-1], tau) + more
            end = dry_or_drunk(world, facts, og, added, tolerance) + off
            end = end if end < top - 0.0005 else top - 0.0005
            # the same law goes on from the share of sugar that is there again
            share = min(max((top - end) / drop, 0.01), 3.0)
            bulk = slower * k * share ** (order - 1.0) if share > turn else slower * tail
            curves.append(
                Curve(tau, bulk, lag, width, order, min(turn / share, 1.0), TAIL_AFTER_FEED * slower * tail, top, end)
            )
    return curves
