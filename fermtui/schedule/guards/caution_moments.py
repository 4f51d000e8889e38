"""Choose the cautions of must/cautions.py that belong to an entry at this moment."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from fermtui.daybook.head import Plan
from fermtui.replay.contents import abv_percent
from fermtui.replay.facts import Facts
from fermtui.schedule.doses import at_third_break
from fermtui.schedule.guards.bottling import held_by_glass
from fermtui.schedule.guards.case import Case
from fermtui.schedule.guards.fruit import heated, low_acid_ph
from fermtui.schedule.guards.vessel_state import ready_by, spent_percent, still

if TYPE_CHECKING:
    from fermtui.must.cautions import Moment

ACID_FOOD_PH = 4.6
THIRD_PERCENT = 100.0 / 3.0 + 0.5
LATE_ABV_PERCENT = 9.0


def cautions_for(
    did: str, fields: Mapping[str, object], facts: Facts, plan: Plan, now: datetime | None = None
) -> tuple[Moment, ...]:
    """Return the moments whose cautions are shown with this entry, the most pressing first; fields may be missing.

    `now` (aware) tells how fresh the readings are, which only bottling asks; left out, the last entry's time counts.
    """
    at = fields.get("at")
    when = at if isinstance(at, datetime) and at.tzinfo is not None else now or facts.last_at
    moments: list[Moment] = []
    if when is not None:
        case = Case(did, fields, facts, plan, when)
        if _above_acid_line(case):
            moments.append("high_ph")
        moments += _of_kind(case)
    return tuple(moments)


def _of_kind(case: Case) -> list[Moment]:
    match case.did:
        case "dose":
            return ["late_dose", "dose"] if _late(case) else ["dose"]
        case "fruit":
            return ["fruit_heat", "fruit"] if heated(case) else ["fruit"]
        case "sulfite":
            return ["sulfite"]
        case "sorbate":
            return ["sorbate"]
        case "sweeten":
            return ["sweeten"]
        case "filter":
            return ["filter"]
        case "bottle":
            return _of_bottling(case)
        case "taste":
            return ["drink"]
        case "open":
            return ["hot_store"] if case.text("why") == "burst" else ["drink"]
    return []


def _late(case: Case) -> bool:
    spent, strength = spent_percent(case.facts), abv_percent(case.facts)
    if strength is not None and strength > LATE_ABV_PERCENT:
        return True
    return spent is not None and spent > THIRD_PERCENT and not at_third_break(case.facts, case.at)


def _of_bottling(case: Case) -> list[Moment]:
    moments: list[Moment] = []
    own_gas = ready_by(case) is None and held_by_glass(case)
    if ready_by(case) is None and not own_gas:
        moments += ["no_activity", "bottle_unstable"] if still(case) else ["bottle_unstable"]
    sparkling = case.plan.sparkling or (case.number("priming_g") or 0.0) > 0.0 or case.text("glass") == "sparkling"
    sparkling = sparkling or own_gas
    return [*moments, "sparkling"] if sparkling else [*moments, "filling"]


def _above_acid_line(case: Case) -> bool:
    """Tell whether the must is above pH 4.6 as measured, or juicy fruit may bring it there."""
    given = case.number("ph")
    if case.did == "read":
        return given is not None and given > ACID_FOOD_PH
    if case.did == "fruit" and (kind := case.text("kind")) is not None and low_acid_ph(kind) is not None:
        return True
    known = given if given is not None else case.facts.ph
    return case.did in ("mix", "pitch", "fruit", "sulfite", "sorbate") and known is not None and known > ACID_FOOD_PH
