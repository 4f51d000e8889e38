"""Guards of the room in a container: nothing poured over its rim, little air above a finished mead."""

from __future__ import annotations

from fermtui.replay.additions import HONEY_G_PER_L, words_of
from fermtui.replay.stability import at_end_since
from fermtui.schedule.guards.case import Case, Finding, Point, Value
from fermtui.schedule.guards.vessel_state import liquid_l, still

MOST_AIR_SHARE = 0.05
"""Common practice, no source."""
BRIM_SHARE = 1.15
"""A container holds a little more than its name, up to the brim: our limit, no source."""


def runs_over(case: Case) -> Finding | None:
    """Refuse honey, water or mead for which the vessel has no room."""
    facts = case.facts
    added_l = _poured_l(case)
    level_l = facts.level_l if facts.level_l is not None else 0.0
    if case.did == "mix" and facts.mixed_at is None:
        level_l = 0.0
        if added_l is not None and case.plan.pour is not None:
            added_l -= case.plan.pour.volume_l  # a must for two is mixed in a pot that holds both
    if facts.capacity_l is None or added_l is None or level_l + added_l <= facts.capacity_l:
        return None
    values: dict[str, Value] = {
        "did": case.did, "added_l": added_l, "level_l": level_l, "capacity_l": facts.capacity_l,
        "over_l": level_l + added_l - facts.capacity_l,
    }  # fmt: skip
    return Finding("refusal", "runs_over", Point("pours_over", values), Point("spills"), Point("larger_vessel"))


def _poured_l(case: Case) -> float | None:
    litres = case.number("volume_l")
    if case.did in ("receive", "top_up") or (case.did == "mix" and litres is not None):
        return litres
    honey_l = (case.number("honey_g") or 0.0) / HONEY_G_PER_L
    if case.did == "mix":
        return honey_l + (case.number("water_l") or 0.0) + (case.number("juice_l") or 0.0)
    if case.did == "add":
        honey = "honey" in words_of(case.text("what"))
        return (case.number("mass_g") or 0.0) / HONEY_G_PER_L if litres is None and honey else litres
    return honey_l


def above_rim(case: Case) -> Finding | None:
    """Refuse a level that the container cannot hold: every mg/L is computed from it."""
    level_l, capacity_l = case.number("volume_l"), case.facts.capacity_l
    if level_l is None or not capacity_l or level_l <= capacity_l * BRIM_SHARE:
        return None
    observed = Point("above_rim", {"level_l": level_l, "capacity_l": capacity_l})
    return Finding("refusal", "level_above_rim", observed, Point("sums_hang_on_level"), Point("mend_level"))


def too_much_air(case: Case) -> Finding | None:
    """Advise against a racking after the ferment that leaves more than 5 % of the container to the air."""
    facts, into = case.facts, case.racked_into
    after_l = case.number("volume_l")
    after_l = after_l if after_l is not None else liquid_l(facts)
    capacity_l = facts.capacity_l if into is None else into.capacity_l
    if after_l is None or not capacity_l or facts.pitched_at is None:
        return None
    if at_end_since(facts) is None and not still(case):
        return None
    share = 1.0 - after_l / capacity_l
    if share <= MOST_AIR_SHARE + 1e-9:
        return None
    free = {name: holds_l for name, holds_l in case.containers.items() if name not in case.others}
    roomy = {name: holds_l for name, holds_l in free.items() if after_l <= holds_l < capacity_l}
    values: dict[str, Value] = {
        "air_percent": 100.0 * share, "air_l": capacity_l - after_l, "after_l": after_l, "capacity_l": capacity_l,
        "most_percent": 100.0 * MOST_AIR_SHARE,
    }  # fmt: skip
    smaller = min(roomy, key=lambda name: roomy[name]) if roomy else None
    remedy = Point("top_up_or_smaller", {"top_up_l": capacity_l * (1 - MOST_AIR_SHARE) - after_l, "smaller": smaller})
    return Finding("advice", "headspace", Point("much_air", values), Point("air_browns"), remedy)
