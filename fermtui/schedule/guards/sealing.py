"""Guards of what is closed tight: a live ferment, and bottles that would be heated."""

from __future__ import annotations

import re

from fermtui.must.pasteurising import ENOUGH_UNITS, pasteurising_units
from fermtui.replay.keeping import BATH_C, BATH_H
from fermtui.replay.stage import bottles_left
from fermtui.schedule.guards.bottling import not_still
from fermtui.schedule.guards.case import Case, Finding, Point
from fermtui.schedule.guards.vessel_state import alive, could_referment_g_per_l, still

# 'cap' is not among them: in the trade it is what the fruit makes on top, and it is punched down.
CLOSING = frozenset({"seal", "sealed", "sealing", "close", "closed", "closing", "bung", "bunged", "stopper", "cork",
                     "corked", "corking", "airtight", "lid", "tight", "tighten", "tightened", "tightly"})  # fmt: skip
BREATHES = frozenset({"airlock", "open", "opened", "loosen", "loosened", "unseal", "vent", "check", "look", "clean",
                      "wash", "rinse", "sanitise", "sanitize", "remove", "off", "not", "soak"})  # fmt: skip
PASTEURISING = frozenset({"pasteurise", "pasteurised", "pasteurising", "pasteurize", "pasteurized", "pasteurizing",
                          "pasteurisation", "pasteurization"})  # fmt: skip
HEATING = frozenset({"heat", "heated", "heating", "boil", "boiled", "boiling", "oven", "warm", "warmed"})
BOTTLES = frozenset({"bottle", "bottles", "bottled"})
INSTEAD_OF_AIRLOCK = re.compile(
    r"\b(?:swap|replac|exchang|chang)\w*\s+(?:the\s+|its\s+|an?\s+)?air-?\s?lock\s+(?:for|by|with|to)\b"
    r"(?!\s+(?:a\s+|an\s+|the\s+)?(?:new|fresh|clean|other|another|bigger|larger|blow))"
    r"|\binstead\s+of\s+(?:the\s+|an?\s+)?air-?\s?lock\b"
)
"""A new airlock, or a blow-off tube, breathes as well."""
_NAMES = {True: ("what", "text", "task"), False: ("what",)}
HOTTEST_BATH_C = 75.0
"""Above it a full bottle has next to no room left for what warms up: common practice, no source."""
HOT_C = 30.0
"""The temperature of the caution for warm stores."""


def closes(case: Case) -> bool:
    """Tell whether the words of a chore or an addition mean closing the vessel."""
    if any(words & CLOSING and not words & BREATHES for words in _said(case)):
        return True
    texts = [case.text(name) or "" for name in _NAMES[case.did == "chore"]]
    return any(INSTEAD_OF_AIRLOCK.search(text.casefold()) for text in texts)


def _said(case: Case) -> list[set[str]]:
    """Return the words of each text of the entry; one text does not excuse another."""
    names = _NAMES[case.did == "chore"]
    return [set(re.findall(r"[a-z]+(?:-[a-z]+)*", (case.text(name) or "").casefold())) for name in names]


def heats_bottles(case: Case) -> bool:
    """Tell whether the words of a chore mean heating the bottles."""
    return any(
        words & PASTEURISING or (words & HEATING and words & BOTTLES and not words & BREATHES) for words in _said(case)
    )


def live_ferment(case: Case) -> Finding | None:
    """Refuse to close a vessel that may still ferment."""
    if not closes(case) or not alive(case):
        return None
    observed = not_still(case) if not still(case) else Point("above_end", {
        "sg": case.facts.sg, "end_sg": case.facts.end, "days": 7.0,
    })  # fmt: skip
    reason = Point("vessel_bursts", {"sugar_g_per_l": max(0.0, could_referment_g_per_l(case))})
    return Finding("refusal", "sealing_live_ferment", observed, reason, Point("airlock_on"))


def heating_bottles(case: Case) -> Finding | None:
    """Refuse to heat sealed bottles, whatever the entry calls it."""
    bottles = bottles_left(case.facts)
    temp_c = case.number("temp_c")
    if not bottles or (case.did == "chill" and temp_c is None) or (case.did == "chore" and not heats_bottles(case)):
        return None
    if temp_c is not None and temp_c <= HOT_C:
        return None
    if case.facts.keep == "heat" and case.did == "heat" and temp_c is not None and temp_c <= HOTTEST_BATH_C:
        return _bath(case, bottles, temp_c)
    observed = Point("heating_bottles", {"bottles": bottles, "temp_c": temp_c})
    return Finding("refusal", "heating_bottles", observed, Point("hot_bottles_burst"), Point("heat_before_bottling"))


def _bath(case: Case, bottles: int, temp_c: float) -> Finding | None:
    """Say where a bath that the plan asks for is too short; refuse it for bottles that hold gas."""
    if any(lot.priming_g > 0.0 or lot.glass != "still" for lot in case.facts.lots):
        observed = Point("heating_bottles", {"bottles": bottles, "temp_c": temp_c})
        return Finding("refusal", "heating_bottles", observed, Point("hot_bottles_burst"), Point("no_gas_in_a_bath"))
    units = pasteurising_units(60.0 * (case.number("hours") or 0.0), temp_c)
    if units >= ENOUGH_UNITS:
        return None
    observed = Point("short_bath", {"temp_c": temp_c, "units": units})
    remedy = Point("bath_enough", {"temp_c": BATH_C, "minutes": 60.0 * BATH_H, "units": ENOUGH_UNITS})
    return Finding("advice", "short_bath", observed, Point("yeast_survives"), remedy)
