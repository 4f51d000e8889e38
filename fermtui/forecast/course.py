"""From standard normal numbers to a course of the gravity in one world."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from math import erfc, exp, log, log1p

from fermtui.forecast.curve import Curve, gravity_at
from fermtui.forecast.evidence import Tidy
from fermtui.forecast.priors import SG_PER_ABV, World
from fermtui.forecast.thermal import ThermalClock

_SOFT = 0.004
_SD_WIDTH = 0.60  # of ln width: some musts set in at once, others creep
AFTER_FEED, _SD_AFTER_FEED = 0.83, 0.45  # pace after a sugar addition relative to before: yeast tired, little nitrogen
_TAIL_AFTER_FEED = 0.64
_LAG_OF_FRESH_YEAST = 1.5  # days at 20 °C until yeast that is pitched into what halted shows
_RESTARTS_ABOVE = -0.5  # of a standard normal: seven of ten musts that halted go on with fresh yeast; judgement
_ROOT_HALF = math.sqrt(0.5)


def dry_or_drunk(world: World, facts: Tidy, og: float, added: float, tolerance_abv: float, off: float = 0.0) -> float:
    """The end that is expected with `added` points of sugar on top of og: the higher of where the sugar ends (`off`
    above the usual) and where the alcohol stops the yeast, with a soft corner."""
    total = og + added
    dry = world.dry + world.dry_slope * (total - facts.og) + off
    corner = (total - tolerance_abv * SG_PER_ABV - dry) / _SOFT
    return dry + _SOFT * (corner if corner > 30.0 else log1p(exp(corner)))


def _thinned(before: float, more: float) -> float:
    """What water leaves of all that is dissolved, told by the fall of the gravity; near 1.000 it tells nothing."""
    return 1.0 if before < 1.004 else min(max((before + more - 1.0) / (before - 1.0), 0.2), 1.0)


Nine = tuple[float, float, float, float, float, float, float, float, float]


def first_curve(world: World, facts: Tidy) -> Callable[[Sequence[float]], Nine]:
    """The course up to the first addition, as the fields of a `Curve`, from standard normal numbers: 0 pace, 1 lag,
    2 order, 3 end, 4 tolerance, 5 original gravity, 6 width of the lag, 7 tail. It runs hundreds of times a forecast,
    so it is flat, and what does not change from point to point is computed once."""
    ln_k, sd_k, k_slope, ln_lag, sd_lag = world.ln_k, world.sd_k, world.k_slope, world.ln_lag, world.sd_lag
    mid_order, sd_order, mid_turn, ln_tail, sd_tail = (
        world.order,
        world.sd_order,
        world.turn,
        world.ln_tail,
        world.sd_tail,
    )
    dry, dry_slope, soft = world.dry, world.dry_slope, _SOFT
    drunk, sd_drunk = world.tolerance_abv * SG_PER_ABV, world.sd_tolerance * SG_PER_ABV
    mid_og, og_sd, og_known = facts.og, facts.og_sd, facts.og_known
    halting, excess, sd_end = world.halting, world.excess, world.sd_end

    def at(point: Sequence[float]) -> Nine:
        k = exp(ln_k + sd_k * point[0])
        og = mid_og + og_sd * point[5]
        if not og_known:
            og = max(og, 1.010)
            k *= ((og - 1.0) / (mid_og - 1.0)) ** k_slope
        lag = exp(ln_lag + sd_lag * point[1])
        order = mid_order + sd_order * point[2]
        order = 0.35 if order < 0.35 else 2.2 if order > 2.2 else order
        z = point[7]
        turn = mid_turn * exp(0.3 * z)
        end = dry + dry_slope * (og - mid_og) + (_halts_above(excess, point[3]) if halting else sd_end * point[3])
        corner = (og - drunk - sd_drunk * point[4] - end) / soft
        end += soft * (corner if corner > 30.0 else log1p(exp(corner)))
        return (
            0.0,
            k,
            lag,
            (0.20 + 0.25 * lag) * exp(_SD_WIDTH * point[6]),
            order,
            turn,
            k * turn ** (order - 1.0) * exp(ln_tail + sd_tail * z),
            og,
            end if end < og - 0.002 else og - 0.002,
        )

    return at


def _halts_above(excess: float, z: float) -> float:
    """How far above its usual end a must halts: exponential, from a standard normal number."""
    return -excess * log(0.5 * erfc((z if z < 6.0 else 6.0) * _ROOT_HALF))


def course(world: World, facts: Tidy, clock: ThermalClock) -> Callable[[Sequence[float]], list[Curve]]:
    """One course of the gravity, a curve for each segment, as a function of standard normal numbers: those of
    `first_curve`, then 8 pace and 9 sugar after feeds."""
    first = first_curve(world, facts)
    if not facts.feeds:
        return lambda point: [Curve(*first(point))]
    return lambda point: _after_feeds(Curve(*first(point)), point, world, facts, clock)


def _after_feeds(first: Curve, point: Sequence[float], world: World, facts: Tidy, clock: ThermalClock) -> list[Curve]:
    _, k, _, _, order, turn, tail, og, end = first
    tolerance = world.tolerance_abv + world.sd_tolerance * point[4]
    off = _halts_above(world.excess, point[3]) if world.halting else world.sd_end * point[3]
    curves = [first]
    drop = og - end
    pace = exp(_SD_AFTER_FEED * point[8])
    total = og
    for day, points, sd in facts.feeds:
        tau = clock.tau(day)
        before = gravity_at(curves[-1], tau)
        more = points + sd * point[9]
        if points > 0.0:
            more = max(more, 0.1 * points)
            total += more
            slower, tailing, late = AFTER_FEED * pace, _TAIL_AFTER_FEED, 0.35
        elif points < 0.0:
            more = min(more, 0.1 * points)
            total = 1.0 + (total - 1.0) * _thinned(before, more)
            slower, tailing, late = pace, 1.0, 0.05
        else:
            slower, tailing, late = AFTER_FEED * pace, 1.0, _LAG_OF_FRESH_YEAST
            if world.halting and point[8] > _RESTARTS_ABOVE:
                off = world.sd_end * point[9]
        lag = late * exp(-0.3 * point[8])
        width = 0.20 + 0.25 * lag
        top = before + more
        end = dry_or_drunk(world, facts, og, total - og, tolerance, off)
        end = end if end < top - 0.0005 else top - 0.0005
        # the same law goes on from the share of sugar that is there again
        share = min(max((top - end) / drop, 0.01), 3.0)
        bulk = slower * k * share ** (order - 1.0) if share > turn else slower * tail
        curves.append(Curve(tau, bulk, lag, width, order, min(turn / share, 1.0), tailing * slower * tail, top, end))
    return curves
