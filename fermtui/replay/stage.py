"""The stage of a vessel, read off its facts and the clock, never stored. Trouble is a second field beside it."""

from __future__ import annotations

from datetime import datetime, timedelta

from fermtui.replay.facts import Facts
from fermtui.replay.stability import at_end_since

STAGES = ("must", "fermenting", "on fruit", "clearing", "ageing", "bottled")
AGEING_AFTER = timedelta(days=30)
NOTHING_LEFT_L = 0.05
REST_L = 1.0
"""What a bottling leaves below this is drunk or poured away: common practice, no source."""


def is_empty(facts: Facts) -> bool:
    """Whether there is nothing in the vessel."""
    if facts.emptied_at is not None:
        return True
    return bool(facts.lots) and (facts.left_l or 0.0) <= NOTHING_LEFT_L


def nothing_left(facts: Facts) -> bool:
    """Whether all that was in the vessel has been bottled or emptied out, but for a rest that is not worth a bottling:
    less than a litre, and less than went into the bottles.
    """
    if is_empty(facts):
        return True
    bottled_l = sum(lot.bottles * lot.size_ml for lot in facts.lots) / 1000.0
    return bool(facts.lots) and (facts.left_l or 0.0) < min(REST_L, bottled_l)


def stage(facts: Facts, now: datetime) -> str:
    """One of STAGES at the clock."""
    if nothing_left(facts):
        return "bottled"
    if facts.pitched_at is None or facts.pitched_at > now:
        return "must"
    if facts.fruit_in:
        return "on fruit"
    if facts.racked_at is None:
        return "fermenting" if at_end_since(facts) is None else "clearing"
    return "ageing" if now - facts.racked_at >= AGEING_AFTER else "clearing"


def bottles_left(facts: Facts) -> int:
    """Bottles of all lots that are filled and still closed."""
    return sum(max(0, lot.bottles - lot.opened) for lot in facts.lots)
