"""Write a task in words: what to do, why, and what is in the way."""

from __future__ import annotations

from datetime import datetime, tzinfo

from fermtui.cellar.store import View
from fermtui.daybook.settings import Settings
from fermtui.schedule.task import Task
from fermtui.wording.dates import day_month, day_text, short_window
from fermtui.wording.findings import finding_text
from fermtui.wording.kinds import to_do
from fermtui.wording.why import why_text

ONCE_READ = "once read"


def task_text(task: Task) -> str:
    """`dose 2 of 3`, `fruit in`, `stalled: look at it`."""
    text = to_do(task.do, task.what, task.dose_n, task.dose_m)
    return text if task.trouble is None else f"{task.trouble}: {text}"


def is_alarm(task: Task) -> bool:
    """Tell whether a task belongs above all others: an act against a trouble, due now."""
    return task.trouble is not None and task.state == "due"


def state_text(task: Task) -> str:
    """Name the state of a task; one that is not needed is `left out`."""
    return "left out" if task.state == "dropped" else task.state


def reason_text(task: Task, settings: Settings, now: datetime | None = None) -> str:
    """Say why a task is where it is: one sentence with its numbers, or what holds it back."""
    if task.why.kind == "held":
        return f"waits: {finding_text(task.why.values['finding'], settings.units)}"
    return why_text(task.why, settings.zone, now, settings.units)


def reason_sentence(task: Task, view: View) -> str:
    """Return the reason with a capital letter."""
    text = reason_text(task, view.settings, view.now)
    return text[:1].upper() + text[1:]


def early_text(task: Task) -> str:
    """Say that a task ticked off ahead of its time is not due yet; else nothing."""
    if task.trouble is not None:
        return ""  # an act that helps needs no waiting
    if task.state == "coming" and task.likely is not None:
        when = f"{task.likely:%H:%M}" if not task.is_date and not task.forecast else ""
        return f"Not due yet: {' '.join(part for part in (span_text(task), when) if part)}. Done early is done."
    return "Not due yet: what it waits for has not happened. Done early is done." if task.state == "waiting" else ""


def when_text(task: Task, now: datetime, zone: tzinfo) -> str:
    """`Fri`, `12-19 Mar`; `once read` where its date moves on with the clock until a reading shows it; else nothing."""
    if task.window is None:
        return ""
    return ONCE_READ if task.floats else short_window(task.window, now, zone)


def span_text(task: Task) -> str:
    """`Fri 27 Nov`, or `27 Nov to 30 Nov` where it is not sure."""
    window = task.window
    if window is None:
        return ""
    if task.floats:
        return ONCE_READ
    earliest, until = window.earliest, window.latest or window.likely
    if earliest.date() == until.date():
        return day_text(window.likely.date())
    open_end = "" if window.latest is not None else " or later"
    if earliest.year != until.year:
        return f"{_short(earliest)} {earliest.year} to {_short(until)} {until.year}{open_end}"
    if earliest.month == until.month and not open_end:
        return f"{earliest.day} to {_short(until)}"
    return f"{_short(earliest)} to {_short(until)}{open_end}"


def _short(at: datetime) -> str:
    return day_month(at.date())


def pressing_text(task: Task, view: View) -> str:
    """Say since when a task is due, or between which days an uncertain one comes; else nothing."""
    if task.state in ("late", "due") and task.likely is not None:
        days = (view.now.date() - task.likely.astimezone(view.settings.zone).date()).days
        return "" if days <= 0 else "since yesterday" if days == 1 else f"for {days} days"
    if task.window is None or (task.latest and task.window.earliest.date() == task.latest.date()):
        return ""
    return span_text(task)
