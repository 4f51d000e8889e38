"""What may still ferment in a vessel, in g/L: the number behind every guard that is about pressure."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from fermtui.must.composition import Must, ferment_to, unferment
from fermtui.must.final_gravity import SUGAR_G_PER_L_PER_SG, left_to_ferment
from fermtui.must.limits import OutOfRange
from fermtui.replay.contents import must_at
from fermtui.replay.facts import Facts
from fermtui.replay.stabilised import stabilised_at
from fermtui.replay.stability import (
    END_SLACK_SG,
    ROUNDING_SG,
    calm_by_hand,
    calm_level,
    calm_run,
    level_of,
    proven_now,
    stable_now,
)

CALM_DAYS = 7.0
LONGER_CALM_DAYS, LONGEST_CALM_DAYS = 14.0, 21.0
AT_END_G_PER_L = 0.5 * END_SLACK_SG * SUGAR_G_PER_L_PER_SG
NEAR_END_G_PER_L = END_SLACK_SG * SUGAR_G_PER_L_PER_SG
SWEET_END_SG = 1.005
"""A plan that ends above it leaves sugar on purpose: our line, no source."""
LOWEST_SG = 0.982
"""The lowest end of a must of which nothing but its gravity is known: a dry one of 1.110."""


class Refermentable(NamedTuple):
    """Sugar that may still ferment, in g/L, with one standard deviation; `end_sg` is the lowest plausible end."""

    g_per_l: float
    sd_g_per_l: float
    end_sg: float
    by_tolerance: bool = False  # whether the tolerance of the yeast is what bounds it


def refermentable(facts: Facts, now: datetime) -> Refermentable | None:
    """What may still ferment at the clock; None without a gravity.

    Sugar down to the lowest plausible end, or to where a warm forced test ended; nothing of it once thirty calm days
    have proven that it stopped. Sugar added since then counts whole. Nothing at all where it was stabilised with
    enough of both.
    """
    if facts.sg is None:
        return None
    down = down_to_the_end(facts, now)
    if stabilised_at(facts, now) is not None:
        return Refermentable(0.0, 0.0, down.end_sg)
    if facts.sweetened_g <= 0.0:
        return down._replace(g_per_l=0.0) if finished(facts, now) == "proven" else down
    base = down._replace(g_per_l=0.0) if proven_now(unsweetened(facts), sweetened_at(facts) or now) else down
    litres = _litres(facts, now)
    return base._replace(g_per_l=base.g_per_l + (facts.sweetened_g / litres if litres else 0.0))


def finished(facts: Facts, now: datetime) -> str | None:
    """How it is known that the ferment is at its end: "near its end" (calm for 7 days at the lowest plausible one,
    for 14 within 0.001 and 21 within 0.002 of it: a slow one creeps there), "tested" (calm, where a forced test
    ended), "proven" (thirty calm days, no higher than planned), or None.

    What the readings by hand show stands, whatever a sensor says beside them.
    """
    by_hand = _by_hand(facts, now)
    return (None if by_hand is None else _finished(by_hand, now)) or _finished(facts, now)


def _by_hand(facts: Facts, now: datetime) -> Facts | None:
    """The facts as the readings by hand alone tell them; None where no sensor read, or saw their calm end."""
    since = [reading for reading in facts.since_addition if reading.at <= now]
    if all(reading.by is None for reading in since):
        return None
    newest = next((one for one in reversed(since) if one.by is None), None)
    if facts.sg is None or newest is None or newest.sg is None or not calm_by_hand(facts, now):
        return None
    readings = tuple(reading for reading in facts.readings if reading.by is None)
    return facts._replace(readings=readings, sg=newest.sg, fermented_g=_fermented_at(facts, newest.sg, now))


def _fermented_at(facts: Facts, sg: float, now: datetime) -> float:
    """How much extract has fermented, in g, if the must stands at this gravity and not at the one of the ledger."""
    must = _must(facts, now)
    if must is None:
        return facts.fermented_g
    try:
        begun = unferment(must, max(0.0, facts.fermented_g - facts.fortified_g))
        return facts.fortified_g + ferment_to(begun, sg)[1]
    except OutOfRange:
        return facts.fermented_g


def _finished(facts: Facts, now: datetime) -> str | None:
    if facts.sg is None or facts.sweetened_g > 0.0 or _only_by_sensor(facts, now):
        return None
    if stable_now(facts, CALM_DAYS, now):
        down = down_to_the_end(facts, now)
        if facts.forced_sg is not None:
            if facts.sg + _below_hand_sg(facts, now) <= facts.forced_sg + END_SLACK_SG + ROUNDING_SG:
                return "tested"
        elif not down.by_tolerance and _calm_enough(facts, down.g_per_l, now):
            return "near its end"
    if not proven_now(facts, now):
        return None
    if _level(facts, now) > SWEET_END_SG and facts.end > SWEET_END_SG:
        return None  # it is meant to stop sweet: that wants a longer calm, and still holds its sugar
    low = _stands_at_end(facts, now) or down_to_the_end(facts, now).g_per_l <= NEAR_END_G_PER_L
    return "proven" if low else None


def _only_by_sensor(facts: Facts, now: datetime) -> bool:
    """Whether nothing but a sensor, which may stand some points off, has read it since it grew calm."""
    return bool(calm_run(facts, now)) and calm_level(facts, now) is None


def _below_hand_sg(facts: Facts, now: datetime) -> float:
    """How far the newest reading, of a sensor, stands below those by hand of the same calm; 0 where it does not."""
    newest = next((one for one in reversed(facts.since_addition) if one.at <= now), None)
    level = None if newest is None or newest.by is None else calm_level(facts, now)
    return 0.0 if level is None or facts.sg is None else max(0.0, level - facts.sg)


def _reading_sd_sg(facts: Facts) -> float:
    """What the newest reading may be off by: a step of the scale, or what the sensor's own error is."""
    newest = facts.since_addition[-1] if facts.since_addition else None
    return facts.resolution_sg if newest is None or newest.by is None else max(facts.resolution_sg, newest.plus_minus)


def _calm_enough(facts: Facts, left_g_per_l: float, now: datetime) -> bool:
    if left_g_per_l > NEAR_END_G_PER_L:
        return False
    if left_g_per_l > AT_END_G_PER_L:
        return stable_now(facts, LONGEST_CALM_DAYS, now)
    return left_g_per_l <= 0.0 or stable_now(facts, LONGER_CALM_DAYS, now)


def _stands_at_end(facts: Facts, now: datetime) -> bool:
    """Whether the calm readings, not only the newest, stand no higher than planned."""
    return _level(facts, now) <= facts.end + END_SLACK_SG + ROUNDING_SG


def _level(facts: Facts, now: datetime) -> float:
    level = calm_level(facts, now)
    return level_of(calm_run(facts, now)) if level is None else level


def down_to_the_end(facts: Facts, now: datetime) -> Refermentable:
    """Down to the lowest plausible end, what was sweetened left out."""
    below_sg, error_sg = _below_hand_sg(facts, now), _reading_sd_sg(facts)
    sg = (facts.sg or 1.0) + below_sg
    sd = error_sg * SUGAR_G_PER_L_PER_SG
    if facts.forced_sg is not None:
        return Refermentable(max(0.0, sg - facts.forced_sg) * SUGAR_G_PER_L_PER_SG, sd, facts.forced_sg)
    must = _must(facts, now)
    if must is None:
        return Refermentable(max(0.0, sg - LOWEST_SG) * SUGAR_G_PER_L_PER_SG, 2.0 * sd, LOWEST_SG)
    try:
        plain = must._replace(sugar_g=max(0.0, must.sugar_g - facts.sweetened_g - facts.unfermentable_g))
        fermented_g = max(0.0, facts.fermented_g - facts.fortified_g)
        left = left_to_ferment(plain, plain.sugar_g + fermented_g, facts.tolerance_abv, error_sg)
        litres = must.held_l
    except OutOfRange:
        return Refermentable(max(0.0, sg - LOWEST_SG) * SUGAR_G_PER_L_PER_SG, 2.0 * sd, LOWEST_SG)
    g_per_l = left.extract_g / litres + below_sg * SUGAR_G_PER_L_PER_SG
    return Refermentable(g_per_l, left.sd_g / litres, left.end_sg, left.by_tolerance)


def _must(facts: Facts, now: datetime) -> Must | None:
    try:
        must = must_at(facts, now)
    except OutOfRange:
        return None
    return None if must is None or must.is_empty else must


def _litres(facts: Facts, now: datetime) -> float | None:
    must = _must(facts, now)
    return None if must is None else must.volume_l


def sweetened_at(facts: Facts) -> datetime | None:
    """When honey for taste first went in, or None."""
    return next((change.at for change in facts.changes if change.did == "sweeten"), None)


def unsweetened(facts: Facts) -> Facts:
    """The facts as far as the readings before the first sweetening go."""
    at = sweetened_at(facts)
    if at is None:
        return facts
    before = [change.at for change in facts.changes if change.at < at]
    readings = tuple(reading for reading in facts.readings if reading.at <= at)
    return facts._replace(readings=readings, last_addition_at=max(before, default=None))
