"""Give an open task its state and dates, from the verdict on its condition, the clock and postponements."""

from datetime import datetime, timedelta

from fermtui.forecast.window import not_before
from fermtui.replay.facts import Act
from fermtui.schedule.context import Context
from fermtui.schedule.days import days_after, start_of_day
from fermtui.schedule.steps import Step
from fermtui.schedule.task import Task
from fermtui.schedule.why import EXPECTED, NEVER, Verdict, Why

ASKED_GRACE_DAYS = 2.0  # of a reading that the program asks for by itself


def open_task(blank: Task, verdict: Verdict, context: Context, since: datetime | None = None) -> Task:
    """Give a task the state and dates that follow from the verdict at the clock, postponement included.

    A postponement from before `since`, the last time that a repeating step was done, no longer counts.
    """
    if verdict.state == NEVER:
        return blank._replace(state="dropped", settled_at=context.facts.first_at or context.now, why=verdict.why)
    why, is_date, window = verdict.why, verdict.is_date, verdict.window
    until, put_off = put_off_until(blank.key, context, since)
    if window is None:
        waits = until if until is not None and until > context.now else None
        return blank._replace(why=why, is_date=is_date, postponed_until=waits)
    waits = None
    if until is not None and put_off is not None:
        if window.likely < until:
            why = Why("postponed", why.state, {"until": until, "reason": put_off.reason}, (why,))
            waits, is_date = until, True
        window = not_before(window, until)
    state, late_from = "coming", None
    if verdict.state != EXPECTED:
        late_from = _late_from(window.likely, blank.step, context, is_date=is_date)
        if window.likely <= context.now:
            state = "late" if late_from is not None and context.now > late_from else "due"
    return blank._replace(
        state=state, why=why, is_date=is_date, window=window, forecast=verdict.state == EXPECTED,
        postponed_until=waits, late_from=late_from,
    )  # fmt: skip


def put_off_until(key: str, context: Context, since: datetime | None = None) -> tuple[datetime | None, Act | None]:
    """Return until when a step is postponed, and by which entry; one from before `since` no longer counts."""
    put_off = context.postponements.get(key)
    if put_off is None or put_off.until is None or (since is not None and put_off.at <= since):
        return None, None
    return _until(put_off.until, context), put_off


def _until(until: datetime, context: Context) -> datetime:
    # A date was meant where the time is midnight; its offset is that of the day of writing, not of that day.
    return start_of_day(until.date(), context.zone) if until.hour == until.minute == until.second == 0 else until


def _late_from(due_from: datetime, step: Step | None, context: Context, *, is_date: bool) -> datetime | None:
    grace_days = step.grace_days if step is not None else ASKED_GRACE_DAYS
    if grace_days is None:
        return None
    after = due_from + timedelta(days=grace_days)
    # What is due on a day is not late before that day is over.
    return max(after, days_after(due_from, 1, context.zone)) if is_date else after
