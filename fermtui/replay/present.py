"""How a vessel stands at a clock: the facts, with the fruit juice that has come in since the last entry."""

from datetime import datetime, timedelta, tzinfo
from typing import NamedTuple

from fermtui.must.composition import Must
from fermtui.replay.contents import must_at
from fermtui.replay.facts import Facts, Reading
from fermtui.replay.refermentable import refermentable

SPEED_OLD = timedelta(days=14)


class Present(NamedTuple):
    """Litres at 20 °C, SG 20/20, % vol. None is not known.

    `day` is 0 on the day of pitching; `speed_sg_per_day` is above 0 while the gravity falls.
    """

    day: int | None
    must: Must | None
    level_l: float | None
    headspace_l: float | None
    sg: float | None
    abv_percent: float | None
    abv_plus_minus: float | None
    sugar_spent_percent: float | None
    refermentable_g_per_l: float | None
    refermentable_plus_minus: float | None
    speed_sg_per_day: float | None


def present(facts: Facts, now: datetime, zone: tzinfo) -> Present:
    """The numbers of a vessel at the clock. A bottled batch keeps its gravity and strength."""
    must = must_at(facts, now)
    sg = facts.sg
    if must is not None and facts.pending:
        sg = must.sg
    abv = None if must is None else must.abv_percent
    level_l = facts.level_l
    capacity_l = facts.capacity_l
    left = refermentable(facts, now)
    return Present(
        day=day_of(facts, now, zone),
        must=must,
        level_l=level_l,
        headspace_l=None if level_l is None or capacity_l is None else capacity_l - level_l,
        sg=sg,
        abv_percent=abv,
        abv_plus_minus=facts.abv_plus_minus if abv is not None else None,
        sugar_spent_percent=sugar_spent_percent(facts, sg),
        refermentable_g_per_l=None if left is None else left.g_per_l,
        refermentable_plus_minus=None if left is None else left.sd_g_per_l,
        speed_sg_per_day=speed_sg_per_day(facts, now),
    )


def day_of(facts: Facts, now: datetime, zone: tzinfo) -> int | None:
    """Days since the calendar day of pitching in this zone; None before pitching."""
    if facts.pitched_at is None:
        return None
    return (now.astimezone(zone).date() - facts.pitched_at.astimezone(zone).date()).days


def sugar_spent_percent(facts: Facts, sg: float | None) -> float | None:
    """(G0 - SG) / (G0 - 1) as percent in 0 to 100; frozen once sweetened."""
    if facts.spent_frozen_percent is not None:
        return facts.spent_frozen_percent
    if facts.g0 is None or sg is None or facts.g0 <= 1.001 or facts.pitched_at is None:
        return None
    return min(100.0, max(0.0, 100.0 * (facts.g0 - sg) / (facts.g0 - 1.0)))


def speed_sg_per_day(facts: Facts, now: datetime) -> float | None:
    """The fall in SG a day between the readings of `speed_pair`; None where the newest is more than two weeks old: that
    tells no speed of today."""
    pair = speed_pair(facts)
    return None if pair is None or now - pair[1].at > SPEED_OLD else _fall(*pair)


def speed_pair(facts: Facts) -> tuple[Reading, Reading] | None:
    """The last two readings of one instrument since the last addition that lie half a day or more apart, or None."""
    if not facts.since_addition:
        return None
    newest = facts.since_addition[-1]
    apart = timedelta(hours=12 if newest.by is None else 36)  # the medians of a sensor scatter
    earlier = [r for r in facts.since_addition if r.by == newest.by and newest.at - r.at >= apart]
    return (earlier[-1], newest) if earlier else None


def _fall(first: Reading, last: Reading) -> float:
    assert first.sg is not None
    assert last.sg is not None
    return (first.sg - last.sg) / ((last.at - first.at).total_seconds() / 86_400)
