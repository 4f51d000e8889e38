"""What is known of a vessel's gravity, and of how long ago."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fermtui.wording.dates import ago, days_since

if TYPE_CHECKING:
    from fermtui.cellar.store import VesselView

UNREAD_DAYS = 14  # a must at work that nobody has looked at for so long is worth a word; common practice, no source


def gravity_note(view: VesselView) -> str:
    """Where the gravity that is shown comes from: `today`, `9 days ago`, `reckoned`, `by the plan`."""
    if view.facts.sg_from == "ledger":
        return "reckoned"
    last = next((reading for reading in reversed(view.facts.readings) if reading.sg is not None), None)
    return "by the plan" if last is None else ago(last.at, view.now, view.zone)


def unread_text(view: VesselView) -> str:
    """`not read for 70 days` where a must at work has been left alone; else nothing."""
    readings = view.facts.after_pitch
    since = readings[-1].at if readings else view.facts.pitched_at
    if since is None or view.stage not in ("fermenting", "on fruit"):
        return ""
    days = days_since(since, view.now, view.zone)
    return f"not read for {days} days" if days >= UNREAD_DAYS else ""
