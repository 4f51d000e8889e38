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
from fermtui.schedule.standing import Standing
from fermtui.schedule.task import Task
from fermtui.wording.amounts import amounts_text
from fermtui.wording.plain import plain
from fermtui.wording.tasks import is_alarm, reason_text, task_text
from fermtui.wording.vessels import standing_name, standing_text

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
        for standing in vessel.standing:
            calendar.add_component(_standing_event(vessel, standing, view))
    for vessel in gone:
        for task in vessel.tasks:
            event = _event(vessel, task, view, put_away=True)
            if event is not None:
                calendar.add_component(event)
    return bytes(calendar.to_ical())


def uid_of(vessel: str, key: str) -> str:
    """The name of a task's event, for ever: neither a folder's name nor a step's key holds a dot."""
    return f"{vessel}.{key}@fermtui"


def _standing_event(vessel: VesselView, standing: Standing, view: View) -> Event:
    """What stands against a vessel, bottles that may burst for one: on today, every day anew, until it is answered."""
    today = view.now.astimezone(view.settings.zone).date()
    name = f"{plain(vessel.name, 60)}: {standing_name(standing)}"
    event = _blank(f"{vessel.vessel}.{standing.kind}.{standing.key}@fermtui", today, view)
    event.add("summary", f"CHECK: {name}")
    event.add("description", plain(standing_text(standing, view.settings.units), 4 * WORDS_MOST))
    event.add("categories", [plain(vessel.name, 60)])
    event.add("transp", "TRANSPARENT")
    event.add("status", "CONFIRMED")
    event.add_component(_alarm(MORNING, name))
    return event


def _blank(uid: str, starts: date | datetime, view: View) -> Event:
    from icalendar import Event

    event = Event()
    event.add("uid", uid)
    event.add("dtstamp", view.now.astimezone(UTC))
    event.add("last-modified", view.now.astimezone(UTC))
    event.add("sequence", int((view.now - FIRST) / timedelta(minutes=1)))
    event.add("dtstart", starts)
    if isinstance(starts, datetime):
        event.add("duration", LASTS)
    else:
        event.add("dtend", starts + timedelta(days=1))
    return event


def _event(vessel: VesselView, task: Task, view: View, *, put_away: bool) -> Event | None:
    state = "dropped" if put_away and task.is_open else task.state
    starts = _starts(task, view)
    if starts is None:
        return None
    event = _blank(uid_of(vessel.vessel, task.key), starts, view)
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
    if is_alarm(task):
        return f"CHECK: {plain(vessel.name, 60)}: {task_text(task)}"
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
    triggers = [AT_ONCE if isinstance(starts, datetime) else MORNING]
    if kind_of(task.do).prepared and task.state == "coming":
        triggers.append(-timedelta(days=1) if isinstance(starts, datetime) else EVE)
    return [_alarm(trigger, f"{plain(task.vessel, 60)}: {task_text(task)}") for trigger in triggers]


def _alarm(trigger: timedelta, says: str) -> Alarm:
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("trigger", trigger)
    alarm.add("description", says)
    return alarm
