"""What is to come, as an iCalendar file (RFC 5545): one event a task, the same UID every time, so that dates move in
place.

SEQUENCE counts the minutes from 2020 to the clock: each file is newer than the one before it, without anything stored.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

from fermtui import __version__
from fermtui.cellar.agenda import amounts_of
from fermtui.cellar.store import VesselView, View
from fermtui.daybook.kinds import kind_of
from fermtui.schedule.task import Task
from fermtui.wording.amounts import amounts_text
from fermtui.wording.plain import plain
from fermtui.wording.tasks import reason_text, task_text

if TYPE_CHECKING:
    from icalendar import Alarm, Event

FIRST = datetime(2020, 1, 1, tzinfo=UTC)
MORNING = timedelta(hours=9)
EVE = timedelta(hours=-15)  # nine in the morning of the day before
LASTS = timedelta(minutes=30)
AT_ONCE = timedelta(0)
WORDS_MOST = 200
CALLED_OFF = timedelta(days=14)
"""So long a file calls off what was done or left out: else an event of an older file would still ring."""


def calendar_bytes(view: View, gone: Iterable[VesselView] = ()) -> bytes:
    """The file. `gone` are vessels put away not long ago: what was still open of them is called off.

    What was done or left out is called off (STATUS:CANCELLED, RFC 5545 3.8.1.11) for two weeks, for a calendar that
    has it from an older file, and then no longer named. Tasks without a date have no event yet. All-day events are
    days of the cellar's zone; what has an hour is written in UTC.
    There is no METHOD: that would make the file a message, which asks for an organizer (RFC 5546).
    """
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", f"-//fermtui//{__version__}//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    for vessel in view.vessels:
        for task in vessel.tasks:
            event = _event(vessel, task, view, put_away=False)
            if event is not None:
                calendar.add_component(event)
    for vessel in gone:
        for task in vessel.tasks:
            event = _event(vessel, task, view, put_away=True)
            if event is not None:
                calendar.add_component(event)
    return bytes(calendar.to_ical())


def uid_of(vessel: str, key: str) -> str:
    """The name of a task's event, for ever: neither a folder's name nor a step's key holds a dot."""
    return f"{vessel}.{key}@fermtui"


def _event(vessel: VesselView, task: Task, view: View, *, put_away: bool) -> Event | None:
    from icalendar import Event

    state = "dropped" if put_away and task.is_open else task.state
    starts = _starts(task, view)
    if starts is None:
        return None
    event = Event()
    event.add("uid", uid_of(vessel.vessel, task.key))
    event.add("dtstamp", view.now.astimezone(UTC))
    event.add("last-modified", view.now.astimezone(UTC))
    event.add("sequence", int((view.now - FIRST) / timedelta(minutes=1)))
    event.add("dtstart", starts)
    if isinstance(starts, datetime):
        event.add("duration", LASTS)
    else:
        event.add("dtend", starts + timedelta(days=1))
    event.add("summary", _summary(vessel, task, state))
    event.add("description", "\n".join(_text(vessel, task, view)))
    event.add("categories", [plain(vessel.name, 60)])
    event.add("transp", "TRANSPARENT")
    event.add("status", {"done": "CANCELLED", "dropped": "CANCELLED", "coming": "TENTATIVE"}.get(state, "CONFIRMED"))
    if task.is_open and not put_away:
        for alarm in _alarms(task, starts):
            event.add_component(alarm)
    return event


def _starts(task: Task, view: View) -> date | datetime | None:
    """The day, or the instant in UTC where the hour is meant; a task that is due stands on today until it is done."""
    zone = view.settings.zone
    if task.settled_at is not None:
        return task.settled_at.astimezone(zone).date() if view.now - task.settled_at <= CALLED_OFF else None
    if task.likely is None:
        return None
    if task.state in ("due", "late"):
        return max(task.likely, view.now).astimezone(zone).date()
    if task.is_date or task.forecast:
        return task.likely.astimezone(zone).date()
    return task.likely.astimezone(UTC).replace(microsecond=0)


def _summary(vessel: VesselView, task: Task, state: str) -> str:
    head = {"late": "LATE: ", "done": "done: ", "dropped": "left out: "}.get(state, "")
    return f"{head}{plain(vessel.name, 60)}: {task_text(task)}"


def _text(vessel: VesselView, task: Task, view: View) -> list[str]:
    lines = []
    amounts = amounts_text(amounts_of(vessel, task, view.settings), view.settings.units)
    if amounts:
        lines.append(plain(amounts, WORDS_MOST))
    lines.append(plain(reason_text(task, view.settings, view.now), WORDS_MOST))
    if task.is_open and task.window is not None and task.window.earliest != task.window.latest:
        first, likely, last = task.window
        latest = "no date by which it is sure" if last is None else f"latest {_day(last, view)}"
        lines.append(f"earliest {_day(first, view)}, likely {_day(likely, view)}, {latest}")
    if task.is_open and task.say:
        lines.append(plain(task.say, 2 * WORDS_MOST))
    return lines


def _day(at: datetime, view: View) -> str:
    return at.astimezone(view.settings.zone).date().isoformat()


def _alarms(task: Task, starts: date | datetime) -> list[Alarm]:
    from icalendar import Alarm

    triggers = [AT_ONCE if isinstance(starts, datetime) else MORNING]
    if kind_of(task.do).prepared and task.state == "coming":
        triggers.append(-timedelta(days=1) if isinstance(starts, datetime) else EVE)
    found = []
    for trigger in triggers:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("trigger", trigger)
        alarm.add("description", f"{plain(task.vessel, 60)}: {task_text(task)}")
        found.append(alarm)
    return found
