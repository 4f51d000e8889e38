"""Guards of the maker's word that a ferment is at its end: it must stand where it is said to, and stand still."""

from __future__ import annotations

from fermtui.replay.stability import stable_since
from fermtui.schedule.guards.bottling import not_still
from fermtui.schedule.guards.case import Case, Finding, Point
from fermtui.schedule.trouble_tasks import CALM_DAYS

NEAR_SG = 0.003
"""How near the reading: common practice, no source."""


def elsewhere(case: Case) -> Finding | None:
    """Refuse an end that no reading shows."""
    said = case.number("sg")
    newest = case.facts.since_addition[-1:]
    if said is None or not newest or newest[0].sg is None or abs(newest[0].sg - said) <= NEAR_SG:
        return None
    observed = Point("stands_elsewhere", {"sg": newest[0].sg, "said_sg": said})
    return Finding("refusal", "end_elsewhere", observed, Point("end_in_guards"), Point("say_where_it_stands"))


def still_falling(case: Case) -> Finding | None:
    """Refuse an end where three days of calm have not been shown."""
    if stable_since(case.facts, CALM_DAYS, case.at) is not None:
        return None
    return Finding(
        "refusal", "end_not_calm", not_still(case), Point("end_in_guards"), Point("read_calm", {"days": CALM_DAYS})
    )
