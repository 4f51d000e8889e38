"""What is believed before the first reading: several worlds that a must can belong to, and how likely each is.

A fed must at a known temperature and a neglected one behave so differently that one centre would be wrong for both.
Each world is a set of normal numbers; the readings then move the weight between the worlds.

Sources: the fed and the late world are rounded by eye from shared series of sugar and grape musts; the neglected one
from an interval-aware fit to home meads. Noise, shape and tails are judgement, checked by
tests/bench/score_forecast.py."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, log

from fermtui.forecast.evidence import Evidence, Tidy
from fermtui.forecast.pooling import PastBatch as PastBatch
from fermtui.forecast.pooling import pool

USUAL_TOLERANCE_ABV = 16.0
_SD_TOLERANCE_ANY_YEAST = 2.5  # home meads of unknown yeast have come to 19 % vol
_KNOWN_YAN = 1.3  # home meads whose makers state their nutrients are still more like the neglected than the fed
_MAKER_SAYS = 1.5  # of a must that is well fed, or left to itself: odds of 4.5 to 1, and the readings decide
_GIVEN_WRONG_ABV = 2.5  # further past the tolerance that was given than a yeast goes
_READ_WRONG_SG = 0.002
SG_PER_ABV = 1.0 / 133.0  # fall of gravity for 1 % vol, rounded
_LATE_SHARE = 0.50  # of the fed musts


@dataclass(frozen=True, slots=True)
class World:
    """Centres and standard deviations for one kind of must at a given original gravity.

    ln_k, ln_lag      pace and lag per day at 20 °C; k_slope of ln k on ln (OG - 1), used where the OG is not known
    order             of the decay; below 1 it ends abruptly, above 1 it drags on
    turn, ln_tail     share left at which the tail begins, and its pace relative to the bulk
    dry, dry_slope    end of a dry must at this gravity, and its change with the gravity
    halts, excess     share that stops above that, and by how much on average
    noise, blur       error of any reading in SG, and the part that grows with the drop
    sd_ahead          of ln pace after the last reading: what slowed or hastened it is not in the readings yet
    halting           tells the two halves of a world apart once it has been split by `halves`
    """

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
    sd_ahead: float
    halting: bool = False


@dataclass(frozen=True, slots=True)
class Priors:
    """Beliefs for all vessels; `lessons` come from the maker's own finished ones (see `learning`)."""

    lessons: tuple[PastBatch, ...] = ()


DEFAULT_PRIORS = Priors()


def worlds(evidence: Evidence, facts: Tidy, priors: Priors = DEFAULT_PRIORS) -> tuple[tuple[World, ...], float]:
    """(worlds with weights that sum to 1, how many of the maker's own vessels speak for this one)"""
    share = _fed_share(evidence)
    fed = fed_world(evidence, facts, (1.0 - _LATE_SHARE) * share)
    late = late_world(evidence, facts, _LATE_SHARE * share)
    rough = neglected_world(evidence, facts, 1.0 - share)
    own, speaking = _own_world(evidence, facts, fed, priors.lessons)
    if own is None:
        return (fed, late, rough), 0.0
    rest = 1.0 - own.weight
    return (own, *(replace(world, weight=world.weight * rest) for world in (fed, late, rough))), speaking


def _fed_share(evidence: Evidence) -> float:
    """Chance of the fed world from what the plan and the entries say. Judgement, no source."""
    logit = -1.1
    if evidence.temps or evidence.plan_temp_c is not None:
        logit += 1.1
    if evidence.yan_mg_per_l is not None:
        logit += _KNOWN_YAN if evidence.yan_mg_per_l >= 120.0 else 0.5 * _KNOWN_YAN
    if evidence.doses_planned > 0:  # a plan alone has fed nothing yet
        logit += 0.5 if evidence.doses_given > 0 else 0.1
    if evidence.fed is not None:
        logit += _MAKER_SAYS if evidence.fed else -_MAKER_SAYS
    return 1.0 / (1.0 + exp(-logit))


def _warmth_sd(evidence: Evidence) -> float:
    """Spread of ln pace that comes from not knowing how warm the must is."""
    if evidence.temps:
        return 0.0
    return 0.08 if evidence.plan_temp_c is not None else 0.2


def _tolerance(evidence: Evidence, facts: Tidy) -> tuple[float, float]:
    """Centre and spread in % vol. A yeast that has been seen to go on past what was given is held to be as strong as it
    has shown and a little more; one that has gone far past it was given wrongly, and is an unknown one."""
    given, sd, shown = evidence.tolerance_abv, 1.0, shown_abv(facts)
    if given is None or not math.isfinite(given) or shown > given + _GIVEN_WRONG_ABV:
        given, sd = USUAL_TOLERANCE_ABV, 1.6
    centre = min(max(given, 3.0), 22.0)
    return (shown + 1.0, 1.6) if shown > centre else (centre, sd)


def shown_abv(facts: Tidy) -> float:
    """Strength in % vol that the lowest reading speaks of, less the error that one may have."""
    seen = [
        facts.og + sum(points for fed, points, _ in facts.feeds if fed < day) - sg - _READ_WRONG_SG
        for day, sg, _ in facts.readings
    ]
    return max(seen, default=0.0) / SG_PER_ABV


def fed_world(evidence: Evidence, facts: Tidy, weight: float = 1.0) -> World:
    """A must with nitrogen and a known temperature, as in cellars and trials."""
    yan = evidence.yan_mg_per_l
    known = yan is not None and math.isfinite(yan)
    fed = log(min(max(yan if known and yan is not None else 200.0, 40.0), 500.0) / 200.0)
    strength = log(max(facts.og - 1.0, 0.02) / 0.100)
    tolerance, sd_tolerance = _tolerance(evidence, facts)
    return World(
        name="fed",
        weight=weight,
        ln_k=log(0.240) - 0.4 * strength + 0.3 * fed,
        k_slope=-0.4,
        sd_k=math.hypot(0.45 if known else 0.49, _warmth_sd(evidence)),
        ln_lag=log(1.75),
        sd_lag=math.hypot(0.65, _warmth_sd(evidence)),
        order=min(max(0.78 + 8.0 * (facts.og - 1.100), 0.50), 1.10),
        sd_order=0.12,
        turn=0.12,
        ln_tail=-0.12,
        sd_tail=0.30,
        dry=1.0065 - 0.20 * (facts.og - 1.0035),  # 0.003 above the sugar musts: honey leaves some unfermented
        dry_slope=-0.20,
        sd_end=0.0045,
        halts=0.115,
        excess=0.020,
        tolerance_abv=tolerance,
        sd_tolerance=sd_tolerance,
        noise=0.0013,
        blur=0.013,
        sd_ahead=0.10 if facts.og_known else 0.25,
    )


def late_world(evidence: Evidence, facts: Tidy, weight: float = 1.0) -> World:
    """A fed must that is slow to start and then quick, as grape musts and logistic courses are."""
    fed = fed_world(evidence, facts, weight)
    return replace(
        fed,
        name="late",
        ln_k=fed.ln_k + log(2.7) + 0.2 * log(max(facts.og - 1.0, 0.02) / 0.100),
        k_slope=-0.2,
        sd_k=0.60,
        ln_lag=log(3.8),
        sd_lag=0.75,
        order=1.0,
        sd_order=0.15,
        ln_tail=0.0,
        sd_tail=0.2,
    )


def neglected_world(evidence: Evidence, facts: Tidy, weight: float = 1.0) -> World:
    """A home mead left to itself: slow on average, very different from one to the next, often not quite dry."""
    tolerance, sd_tolerance = _tolerance(evidence, facts)
    return World(
        name="neglected",
        weight=weight,
        ln_k=log(0.172) - 0.3 * log(max(facts.og - 1.0, 0.02) / 0.100),
        k_slope=-0.3,
        sd_k=math.hypot(0.85, _warmth_sd(evidence)),
        ln_lag=log(1.7),
        sd_lag=math.hypot(0.65, _warmth_sd(evidence)),
        order=0.90,
        sd_order=0.17,
        turn=0.12,
        ln_tail=-0.1,
        sd_tail=0.30,
        dry=1.0025 - 0.04 * (facts.og - 1.0),
        dry_slope=-0.04,
        sd_end=0.004,
        halts=0.24,
        excess=0.030,
        tolerance_abv=tolerance,
        sd_tolerance=max(sd_tolerance, _SD_TOLERANCE_ANY_YEAST) if evidence.tolerance_abv is None else sd_tolerance,
        noise=0.003,
        blur=0.028,
        sd_ahead=0.12,
    )


def halves(several: Sequence[World]) -> tuple[World, ...]:
    """Each world as the musts that run to their end and those that halt above it."""
    return tuple(
        replace(world, weight=world.weight * (world.halts if halting else 1.0 - world.halts), halting=halting)
        for world in several
        for halting in (False, True)
    )


def _own_world(evidence: Evidence, facts: Tidy, fed: World, lessons: Sequence[PastBatch]) -> tuple[World | None, float]:
    """The maker's own world, moved from the fed one as far as enough vessels speak for it."""
    pooled = pool(lessons, evidence.yeast, facts.og)
    if pooled is None:
        return None, 0.0
    own = replace(
        fed,
        name="own",
        weight=0.95 * pooled.vessels / (pooled.vessels + 1.5),
        ln_k=fed.ln_k + pooled.pace,
        sd_k=math.hypot(pooled.pace_sd, _warmth_sd(evidence)),
        ln_lag=fed.ln_lag + pooled.lag,
        sd_lag=pooled.lag_sd,
        dry=fed.dry + pooled.end,
        sd_end=pooled.end_sd,
        noise=0.0015,
        blur=0.020,
    )
    return own, pooled.vessels
