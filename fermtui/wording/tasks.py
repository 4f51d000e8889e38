"""One task in the words of the maker: what to do, why, and what stands in the way."""

from __future__ import annotations

from datetime import datetime

from fermtui.daybook.settings import Settings
from fermtui.schedule.tasks import Task
from fermtui.units import show_gravity
from fermtui.wording.kinds import to_do
from fermtui.wording.why import why_text


def task_text(task: Task) -> str:
    """`dose 2 of 3`, `fruit in`."""
    return to_do(task.do, task.what, task.dose_n, task.dose_m)


def state_text(task: Task) -> str:
    """How it stands, in the words that the act has too: a step that nobody needs to do is left out."""
    return "left out" if task.state == "dropped" else task.state


def reason_text(task: Task, settings: Settings, now: datetime | None = None) -> str:
    """Why it stands where it stands: one sentence with its numbers."""
    return why_text(task.why, settings.zone, now, lambda sg: show_gravity(sg, settings.units))
