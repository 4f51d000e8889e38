"""Check an entry before it is written, from whichever screen or command it comes."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import datetime

from fermtui.daybook.head import Plan
from fermtui.daybook.settings import Settings
from fermtui.must.limits import OutOfRange
from fermtui.replay.facts import Facts
from fermtui.schedule.guards.case import Case, Finding, Kind, Point, Value
from fermtui.schedule.guards.caution_moments import cautions_for
from fermtui.schedule.guards.table import GUARDS, IMPOSSIBLE, Guard

__all__ = ["Case", "Finding", "Kind", "Point", "Value", "cautions_for", "check"]


def check(
    did: str,
    fields: Mapping[str, object],
    facts: Facts,
    plan: Plan,
    settings: Settings,
    now: datetime,
    *,
    occupied: Collection[str] = frozenset(),
    vessel: str | None = None,
    unread: int = 0,
    but: Collection[Guard] = (),
) -> tuple[Finding, ...]:
    """Return everything that speaks against writing this entry, worst first; empty when nothing does.

    `fields` by their names in the file, missing ones are not held against it (a task asks before its form is filled
    in); `facts` as of the entry's moment; `now` aware, an `at` among the fields goes before it. `occupied`: names of
    the containers that other vessels stand in. `vessel`: the folder's name, to know a blend with itself.
    `unread`: how many lines of its files could not be read. `but`: guards that are not asked.
    For an impossible entry only what makes it impossible is returned. Never raises on fields that an entry may have.
    """
    at = fields.get("at")
    moment = at if isinstance(at, datetime) and at.tzinfo is not None else now
    tolerance = plan.yeast.tolerance_abv
    if tolerance is None and (known := settings.yeast(plan.yeast.name)) is not None:
        tolerance = known.tolerance_abv
    case = Case(
        did, fields, facts, plan, moment,
        settings.capacities_l, frozenset(occupied), vessel, settings.nutrients, tolerance, unread,
    )  # fmt: skip
    asked = (guard for guard in GUARDS.get(did, ()) if guard not in but)
    findings = _all(IMPOSSIBLE, case) or _all(asked, case)
    return tuple(sorted(findings, key=lambda finding: finding.kind == "advice"))


def _all(guards: Iterable[Guard], case: Case) -> list[Finding]:
    return [finding for guard in guards if (finding := _one(guard, case)) is not None]


def _one(guard: Guard, case: Case) -> Finding | None:
    try:
        return guard(case)
    except OutOfRange as refused:
        # A guard that cannot compute must not let the entry through.
        return Finding(
            "refusal",
            "beyond_reckoning",
            Point("beyond_reckoning", {"why": str(refused)}),
            Point("cannot_judge"),
            Point("mend_number"),
        )
