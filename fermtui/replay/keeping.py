"""How a mead is kept sweet where sulfite and sorbate cannot hold it: the ways, and the choice as it was written."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from fermtui.must.composition import EXTRACT_PER_ETHANOL, Must, potential_abv
from fermtui.must.limits import OutOfRange
from fermtui.must.pasteurising import ENOUGH_UNITS, pasteurising_units
from fermtui.must.preservatives import WaysOut, sorbate_dose
from fermtui.replay.contents import abv_percent
from fermtui.replay.facts import Facts
from fermtui.replay.stabilised import USUAL_PH, sorbated

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fermtui.daybook.entry import Entry

KEEP_TASK = "ask-keep"
BY_CHORE = {
    "sweeten in the glass": "glass",
    "keep it dry": "dry",
    "keep it cold": "cold",
    "heat the bottles": "heat",
}
"""The words of a chore that chooses a way, and the way as a plan names it; the first is the harmless one."""
BATH_C, BATH_H = 65.0, 0.25
"""A quarter of an hour at 65 °C in the bottle is 79 pasteurising units, half above the 50 that are asked for."""
USUAL_CHORE = "sweeten in the glass"


def chosen_by(what: str | None, task: str | None) -> str | None:
    """The way that a chore chooses: by its words, or by the short name where it answers the task; None for others."""
    said = " ".join((what or "").split()).casefold()
    if task == KEEP_TASK and said in BY_CHORE.values():
        return said
    return BY_CHORE.get(said)


def cannot_hold(facts: Facts) -> WaysOut | None:
    """Why sorbate will not hold this mead once it has come to its end, with what else helps; None where it will, where
    it is in already, or where nothing is known.
    """
    strength = strength_at_end(facts)
    if strength is None or sorbated(facts):
        return None
    ph = USUAL_PH if facts.ph is None else min(7.0, max(2.0, facts.ph))
    dose = sorbate_dose(1.0, ph, min(25.0, strength), malolactic=facts.malolactic)
    return dose if isinstance(dose, WaysOut) else None


def strength_at_end(facts: Facts) -> float | None:
    """Its strength in % vol: as it is once racked or sweetened, else as it will be at the plan's end."""
    now = abv_percent(facts)
    if now is None or facts.first_racked_at is not None or facts.sweetened_g > 0.0:
        return now
    try:
        left_g = max(0.0, facts.extract_g - facts.fermented_g)
        must = Must(facts.water_g, left_g, facts.fermented_g / EXTRACT_PER_ETHANOL)
        return max(now, potential_abv(must, facts.end))
    except OutOfRange:
        return now


def heated_enough(later: Iterable[Entry]) -> datetime | None:
    """When the first of these entries heated the bottles long enough for what has sugar in it, or None."""
    for entry in later:
        temp_c, hours = getattr(entry, "temp_c", None), getattr(entry, "hours", None)
        if entry.did != "heat" or temp_c is None or hours is None:
            continue
        try:
            units = pasteurising_units(60.0 * float(hours), float(temp_c))
        except OutOfRange:
            continue
        if units >= ENOUGH_UNITS:
            return entry.at
    return None
