"""A guard of the guards: what they cannot see of a vessel they cannot judge."""

from __future__ import annotations

from fermtui.schedule.guards.case import Case
from fermtui.schedule.guards.finding import Finding, Point


def unread(case: Case) -> Finding | None:
    """Lines of the vessel's files that nobody could read: one of them may be honey, sulfite or a bottling."""
    if not case.unread:
        return None
    return Finding(
        "refusal", "unread_lines", Point("unread_lines", {"unread": case.unread}), Point("may_matter"),
        Point("mend_lines", {"vessel": case.vessel}),
    )  # fmt: skip
