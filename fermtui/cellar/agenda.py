"""The tasks of the whole cellar in the order in which they matter: late, due, then what comes soon."""

from collections.abc import Iterable
from datetime import timedelta
from typing import NamedTuple

from fermtui.cellar.store import VesselView, View
from fermtui.daybook.kinds import kind_of
from fermtui.daybook.settings import Settings
from fermtui.must.limits import OutOfRange
from fermtui.replay.fruit_lots import parts_of
from fermtui.schedule.amounts import amounts, must_in_all
from fermtui.schedule.guards import Finding, check
from fermtui.schedule.rounding import Amounts, grams
from fermtui.schedule.task import Task
from fermtui.schedule.unplanned import POUR

SOON = timedelta(days=7)
SPOILS_DAYS, WAITS_DAYS = 1.0, 7.0
"""What is late so soon spoils by waiting; what is late only after a week can wait."""
_RANK = {"late": 0, "due": 1, "coming": 2, "waiting": 3, "done": 4, "dropped": 5}


class AgendaItem(NamedTuple):
    """One task of one vessel, with what it asks for."""

    view: VesselView
    task: Task
    amounts: Amounts


PRESSING = ("late", "due", "coming")


def agenda(view: View, within: timedelta | None = SOON, states: Iterable[str] = PRESSING) -> list[AgendaItem]:
    """Tasks in these states, the most pressing first; coming ones only when they may come within the span.

    What comes after a mixing that is still to be done is left out too: its dates roll on with the days. None for
    `within` leaves none out.
    """
    wanted = frozenset(states)
    wanted_tasks = [
        (vessel, task)
        for vessel in view.vessels
        for task in vessel.tasks
        if task.state in wanted and (task.state != "coming" or within is None or _in_sight(vessel, task, within))
    ]
    wanted_tasks.sort(key=lambda pair: _order(*pair))
    return [AgendaItem(vessel, task, amounts_of(vessel, task, view.settings)) for vessel, task in wanted_tasks]


def _in_sight(vessel: VesselView, task: Task, within: timedelta) -> bool:
    soon = task.likely is not None and task.likely <= vessel.now + within
    return soon and (task.do == "mix" or not unmixed(vessel))


def unmixed(vessel: VesselView) -> bool:
    """Whether nothing has begun yet and the must is still to be mixed: until then that is the one thing to do."""
    facts = vessel.facts
    begun = facts.mixed_at is not None or facts.pitched_at is not None or bool(facts.readings)
    return not begun and any(task.do == "mix" and task.is_open for task in vessel.tasks)


def _order(vessel: VesselView, task: Task) -> tuple[int, int, int, float, str, str]:
    """Trouble first; of what is to be done now what spoils by waiting, then what can wait; the rest by its day."""
    at = task.likely or task.settled_at
    when = at.timestamp() if at else float("inf")
    if task.state not in ("late", "due"):
        return (_RANK[task.state], 0, 0, when, vessel.name, task.key)
    if task.trouble:
        return (-1, 0, 0, when, vessel.name, task.key)
    return (0, _waits(task), _RANK[task.state], when, vessel.name, task.key)


def _waits(task: Task) -> int:
    """How well a task can wait, by how soon it is late: 0 a dose or the cap, 1 a racking, 2 a tasting, the bottling."""
    if task.key == POUR:
        return 0  # it comes before the yeast of the same must
    grace_days = kind_of(task.do).grace_days
    if grace_days is None or grace_days > WAITS_DAYS:
        return 2
    return 0 if grace_days <= SPOILS_DAYS else 1


def by_time(tasks: Iterable[Task]) -> list[Task]:
    """Steps in the order of time: what is over by its day, then what comes by its likely one, last what has none."""
    return sorted(tasks, key=_when)


def _when(task: Task) -> tuple[int, float]:
    at = task.likely if task.is_open else task.settled_at
    return (0 if not task.is_open else 1 if at else 2), at.timestamp() if at else 0.0


def amounts_of(vessel: VesselView, task: Task, settings: Settings) -> Amounts:
    """What a task asks for; nothing where it cannot be reckoned (no volume, a number out of range)."""
    if not task.is_open or not kind_of(task.do).amounts:
        return {}
    try:
        found = {
            name: value for name, value in amounts(task, vessel.facts, vessel.head.plan, settings).items() if value
        }
        return {**found, **_foreseen(vessel, task, settings)}
    except OutOfRange:
        return {}


def _foreseen(vessel: VesselView, task: Task, settings: Settings) -> Amounts:
    """The honey of a feed or a sweetening that is not due yet: by what will be in the vessel then, not by what is."""
    if task.do not in ("feed", "sweeten") or task.state not in ("waiting", "coming"):
        return {}
    from fermtui.schedule.outcome import outcome  # few vessels have such a task: a start does not wait for it

    facts = vessel.facts
    must = must_in_all(facts)
    if must is None:
        return {}
    ended = facts.first_racked_at is not None or facts.sorbate_at is not None or facts.sweetened_g > 0.0
    fruit = tuple(parts_of(lot.kind, lot.mass_g, lot.treatment)[0] for lot in facts.fruit if lot.pulled_at is None)
    comes_to = outcome(must, vessel.tasks, vessel.head.plan, settings, fruit, ended=ended)
    mass_g = next((added.mass_g for added in comes_to.additions if added.task == task.key), None)
    return {} if mass_g is None else {"honey_g": grams(mass_g)}


def guard_of(item: AgendaItem, view: View) -> Finding | None:
    """What stands in the way of doing a task now, be it due or held back: the first refusal, or None."""
    if item.task.why.kind == "held":
        return item.task.why.values["finding"]
    if item.task.state not in ("due", "late"):
        return None
    vessel = item.view
    findings = check(
        item.task.do, item.amounts, vessel.facts, vessel.head.plan, view.settings, view.now, vessel=vessel.vessel
    )
    return next((finding for finding in findings if finding.kind == "refusal"), None)
