"""What is to come, as an iCalendar file (RFC 5545): one event a task, the same UID every time, so that dates move in
place.

SEQUENCE counts the minutes from 2020 to the last change of an event, without anything stored: what was written to its
vessel, or the moment at which it became due or late. So a file is the same to the byte while nothing has changed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, date, datetime, time, timedelta
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from fermtui import __version__
from fermtui.cellar.agenda import amounts_of
from fermtui.cellar.store import VesselView, View
from fermtui.daybook.kinds import kind_of
from fermtui.schedule.standing import Standing
from fermtui.schedule.task import Task
from fermtui.wording.amounts import amounts_text
from fermtui.wording.plain import plain
from fermtui.wording.said import in_units
from fermtui.wording.tasks import is_alarm, reason_text, task_text
from fermtui.wording.vessels import standing_name, standing_text

if TYPE_CHECKING:
    from icalendar import Alarm, Event

FIRST = datetime(2020, 1, 1, tzinfo=UTC)
ALARM_HOUR = 9
DAY = timedelta(days=1)
REFRESH = timedelta(hours=1)
LASTS = timedelta(minutes=30)
AT_ONCE = timedelta(0)
WORDS_MOST = 200
CALLED_OFF = timedelta(days=14)
"""So long a file calls off what was done or left out: else an event of an older file would still ring."""


class Wanted(NamedTuple):
    """What of the calendar is asked for: events up to `within` from now, with alarms at `alarm_hour` (None: none) on
    the days that no forecast gives; `changed` tells when something was last written to a vessel, by folder.
    """

    within: timedelta = timedelta(days=60)
    alarm_hour: int | None = ALARM_HOUR
    changed: Mapping[str, datetime] = MappingProxyType({})
    name: str = "Mead"


def calendar_bytes(view: View, gone: Iterable[VesselView] = (), wanted: Wanted | None = None) -> bytes:
    """The file. `gone` are vessels put away not long ago: what was still open of them is called off.

    What was done or left out is called off (STATUS:CANCELLED, RFC 5545 3.8.1.11) for two weeks, for a calendar that
    has it from an older file, and then no longer named. Tasks without a date have no event yet. All-day events are
    days of the cellar's zone; what has an hour is written in UTC. NAME, COLOR and REFRESH-INTERVAL as in RFC 7986.
    There is no METHOD: that would make the file a message, which asks for an organizer (RFC 5546).
    """
    from icalendar import Calendar

    wanted = wanted or Wanted()
    calendar = Calendar()
    calendar.add("prodid", f"-//fermtui//{__version__}//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", plain(wanted.name, 60))
    calendar.add("color", "goldenrod")
    calendar.add("refresh-interval", REFRESH, parameters={"VALUE": "DURATION"})
    for vessel in view.vessels:
        for task in vessel.tasks:
            event = _event(vessel, task, view, wanted, put_away=False)
            if event is not None:
                calendar.add_component(event)
        for standing in vessel.standing:
            calendar.add_component(_standing_event(vessel, standing, view, wanted))
    for vessel in gone:
        for task in vessel.tasks:
            event = _event(vessel, task, view, wanted, put_away=True)
            if event is not None:
                calendar.add_component(event)
    return bytes(calendar.to_ical())


def uid_of(vessel: str, key: str) -> str:
    """The name of a task's event, for ever: neither a folder's name nor a step's key holds a dot."""
    return f"{vessel}.{key}@fermtui"


def _standing_event(vessel: VesselView, standing: Standing, view: View, wanted: Wanted) -> Event:
    """What stands against a vessel, bottles that may burst for one: on today, every day anew, until it is answered."""
    today = view.now.astimezone(view.settings.zone).date()
    name = f"{plain(vessel.name, 60)}: {standing_name(standing)}"
    uid = f"{vessel.vessel}.{standing.kind}.{standing.key}@fermtui"
    event = _blank(uid, today, max(_written(vessel, view, wanted), _midnight(view)))
    event.add("summary", f"CHECK: {name}")
    event.add("description", plain(standing_text(standing, view.settings.units), 4 * WORDS_MOST))
    event.add("categories", [plain(vessel.name, 60)])
    event.add("transp", "TRANSPARENT")
    event.add("status", "CONFIRMED")
    if wanted.alarm_hour is not None:
        event.add_component(_alarm(timedelta(hours=wanted.alarm_hour), name))
    return event


def _midnight(view: View) -> datetime:
    """When today began in the cellar's zone."""
    today = view.now.astimezone(view.settings.zone).date()
    return datetime.combine(today, time(0), view.settings.zone)


def _written(vessel: VesselView, view: View, wanted: Wanted) -> datetime:
    """When the vessel last changed, as far as it is known."""
    known = (vessel.facts.last_at, wanted.changed.get(vessel.vessel))
    return max((at for at in known if at is not None and at <= view.now), default=FIRST)


def _changed(vessel: VesselView, task: Task, view: View, wanted: Wanted) -> datetime:
    """When the event of a task last changed: by an entry, by coming due or late, or with the day that it stands on."""
    moments = [_written(vessel, view, wanted), task.settled_at, task.late_from]
    if task.likely is not None and task.state in ("due", "late"):
        moments += [task.likely, _midnight(view)]
    elif task.forecast and task.is_open:
        moments.append(_midnight(view))
    return max(at for at in moments if at is not None and at <= view.now)


def _blank(uid: str, starts: date | datetime, changed: datetime) -> Event:
    from icalendar import Event

    event = Event()
    event.add("uid", uid)
    event.add("dtstamp", changed.astimezone(UTC))
    event.add("last-modified", changed.astimezone(UTC))
    event.add("sequence", int((changed - FIRST) / timedelta(minutes=1)))
    event.add("dtstart", starts)
    if isinstance(starts, datetime):
        event.add("duration", LASTS)
    else:
        event.add("dtend", starts + timedelta(days=1))
    return event


def _event(vessel: VesselView, task: Task, view: View, wanted: Wanted, *, put_away: bool) -> Event | None:
    state = "dropped" if put_away and task.is_open else task.state
    starts = _starts(task, view)
    too_late = task.state == "coming" and task.likely is not None and task.likely > view.now + wanted.within
    if starts is None or too_late:
        return None
    event = _blank(uid_of(vessel.vessel, task.key), starts, _changed(vessel, task, view, wanted))
    event.add("summary", _summary(vessel, task, state))
    event.add("description", "\n".join(_text(vessel, task, view)))
    event.add("categories", [plain(vessel.name, 60)])
    event.add("transp", "TRANSPARENT")
    event.add("status", {"done": "CANCELLED", "dropped": "CANCELLED", "coming": "TENTATIVE"}.get(state, "CONFIRMED"))
    if task.is_open and not put_away:
        for alarm in _alarms(vessel, task, starts, wanted):
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
        lines.append(in_units(plain(task.say, 2 * WORDS_MOST), view.settings.units))
    return lines


def _day(at: datetime, view: View) -> str:
    return at.astimezone(view.settings.zone).date().isoformat()


def _alarms(vessel: VesselView, task: Task, starts: date | datetime, wanted: Wanted) -> list[Alarm]:
    """The alarms of an event; a day that only a forecast gives rings no bell."""
    if wanted.alarm_hour is None or (task.forecast and task.state == "coming"):
        return []
    triggers = [AT_ONCE if isinstance(starts, datetime) else timedelta(hours=wanted.alarm_hour)]
    if kind_of(task.do).prepared and task.state == "coming":
        triggers.append(triggers[0] - DAY)
    return [_alarm(trigger, f"{plain(vessel.name, 60)}: {task_text(task)}") for trigger in triggers]


def _alarm(trigger: timedelta, says: str) -> Alarm:
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("trigger", trigger)
    alarm.add("description", says)
    return alarm
