"""A finding against an entry that stands already, told of the one that is written before it or restored."""

from __future__ import annotations

from datetime import datetime

from fermtui.schedule.guards.finding import Finding, Point


def against_later(finding: Finding, later: str, later_at: datetime) -> Finding:
    """The finding as one against the new entry: what a guard would then have said of the later one."""
    values = {**finding.saw.values, "then": finding.saw.kind, "later": later, "later_at": later_at}
    return Finding(finding.kind, finding.key, Point("in_hindsight", values), finding.matters, Point("mind_what_stands"))
