"""A guard of racking: must that still works leaves the yeast behind that was to finish it."""

from __future__ import annotations

from fermtui.replay.stability import ROUNDING_SG
from fermtui.schedule.guards.case import Case
from fermtui.schedule.guards.finding import Finding, Point
from fermtui.schedule.guards.vessel_state import still

WELL_ABOVE_END_SG = 0.020  # common practice, no source


def before_its_end(case: Case) -> Finding | None:
    """Racking while the last gravity stands well above the planned end and nothing shows that it has come to rest."""
    facts = case.facts
    last = facts.after_pitch[-1] if facts.after_pitch else None
    if last is None or last.sg is None or facts.lots or facts.sweetened_g > 0.0 or still(case):
        return None
    if last.sg - case.plan.end <= WELL_ABOVE_END_SG + ROUNDING_SG:
        return None
    days = (case.at.date() - last.at.astimezone(case.at.tzinfo).date()).days
    saw = Point("well_above_end", {"sg": last.sg, "end_sg": case.plan.end, "days": days})
    return Finding("advice", "racked_early", saw, Point("leaves_yeast_behind"), Point("read_before_racking"))
