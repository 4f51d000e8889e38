"""Turn trouble into tasks: look at it, then the acts one after the other; what would make it worse waits meanwhile.

What was done is read off the entries since the vessel began to stand still: an entry that names the task, a `heat` for
the warming, a `pitch` for the restart, a gravity for the reading. Days and order are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

from fermtui.forecast.trouble import STARTS_WITHIN, Trouble
from fermtui.forecast.window import exactly
from fermtui.replay.contents import abv_percent
from fermtui.replay.facts import Act, Facts
from fermtui.replay.stability import stable_since
from fermtui.schedule.readings_wanted import ASK_GRAVITY
from fermtui.schedule.task import Task
from fermtui.schedule.why import KNOWN, WAITING, Why, WhyValues

STANDS_SG = 0.003  # readings so near to the newest one belong to the same standstill
NEAR_TOLERANCE_ABV = 1.0
SAME_DAY = timedelta(hours=12)
RIGHT_AFTER = timedelta(microseconds=1)
CALM_DAYS = 3.0  # before it can be said that this is its end; what may be bottled takes longer
AGAIN_AFTER = timedelta(days=7)
"""So long a trouble is not asked about again once somebody has looked, or left the last act out."""
FELL_SG = 0.005
"""More than two readings of the same gravity differ by: common practice, no source."""
LOOK = "trouble-look"
WAITS = frozenset({"rack", "feed", "fruit", "filter", "sulfite", "sorbate", "sweeten", "bottle"})
"""What leaves yeast behind, brings sugar or closes the vessel: not before it is known why the ferment stands."""


class _Act(NamedTuple):
    """One act: `after` so long after the act before it; `by` an entry of this kind answers it without naming it."""

    key: str
    do: str
    what: str | None
    after: timedelta = timedelta(0)
    by: str | None = None


_LOOK = _Act(LOOK, "chore", "look at it")
_READ = _Act("trouble-read", "read", None, timedelta(days=3))
_END = _Act("trouble-end", "end", None)
_TAKEN_HOLD = _Act("trouble-read-2", "read", None, timedelta(days=4))
_READ_AGAIN = _Act("trouble-read-3", "read", None, timedelta(days=CALM_DAYS))
"""Where the readings do not show yet that it stands still."""
_STALLED = (
    _LOOK,
    _Act("trouble-warm", "chore", "warm and swirl", by="heat"),
    _READ,
    _Act("trouble-restart", "pitch", "starter", by="pitch"),
    _TAKEN_HOLD,
    _END,
)
_AT_TOLERANCE = tuple(act for act in _STALLED if act.key not in ("trouble-restart", "trouble-read-2"))
_NOT_STARTED = (
    _LOOK,
    _Act("trouble-warm", "chore", "stir and warm", by="heat"),
    _Act("trouble-read", "read", None, timedelta(days=1)),
    _Act("trouble-restart", "pitch", None, by="pitch"),
    _Act("trouble-read-2", "read", None, timedelta(days=2)),
)


def with_trouble(
    tasks: Sequence[Task], facts: Facts, trouble: Trouble | None, now: datetime, vessel: str
) -> tuple[Task, ...]:
    """Return the acts that a trouble asks for, then the vessel's other tasks, with those that must wait turned to
    waiting. Without a trouble the tasks as they are, after a restart with its reading. Pure; never raises.
    """
    if trouble is None:
        reading = _after_restart(facts, now, vessel)
        return tuple(tasks) if reading is None else (reading, *(task for task in tasks if task.key != ASK_GRAVITY))
    acts = tuple(_tasks_of(trouble, facts, now, vessel))
    if not stands_still(trouble):
        return (*acts, *tasks)
    kept = (task for task in tasks if task.key != ASK_GRAVITY)  # the acts ask for the reading that helps
    return (*acts, *(_waits(task, trouble) if task.do in WAITS and task.is_open else task for task in kept))


def stands_still(trouble: Trouble) -> bool:
    """Tell whether a trouble is one of a ferment that does not go: then the acts follow, and others wait."""
    return trouble.kind in ("stalled", "not started")


def near_tolerance(facts: Facts) -> bool:
    """Tell whether the strength is within one % vol of what the yeast stands, by the plan."""
    strength = abv_percent(facts)
    return facts.tolerance_abv is not None and strength is not None and (
        strength >= facts.tolerance_abv - NEAR_TOLERANCE_ABV
    )  # fmt: skip


def _after_restart(facts: Facts, now: datetime, vessel: str) -> Task | None:
    """Return the reading that shows whether the new yeast took hold, until one is there; new yeast clears the alarm."""
    pitched = [act.at for act in facts.acts if act.did == "pitch" and act.at > (facts.pitched_at or act.at)]
    if not pitched or facts.lots or facts.emptied_at is not None:
        return None
    before = [r.sg for r in facts.since_addition if r.sg is not None and r.at <= pitched[-1]]
    for reading in facts.since_addition:
        fell = bool(before) and reading.at > pitched[-1] and (reading.sg or 2.0) <= before[-1] - STANDS_SG
        if fell or reading.at >= pitched[-1] + _TAKEN_HOLD.after - SAME_DAY:
            return None
    return _open(_TAKEN_HOLD, pitched[-1], Trouble("restarted", None, {}), facts, now, vessel)


def _waits(task: Task, trouble: Trouble) -> Task:
    held = task.why.kind in ("held", "held-ph")  # a guard says more
    why = task.why if held else Why("held-trouble", WAITING, {"reason": trouble.kind}, (task.why,))
    return task._replace(state="waiting", why=why, window=None, late_from=None, forecast=False)


def _fell_last(facts: Facts) -> bool:
    """Whether the newest reading by hand lies plainly below the one before it."""
    gravities = [one.sg for one in facts.since_addition if one.sg is not None and one.by is None][-2:]
    return len(gravities) == 2 and gravities[0] - gravities[1] >= FELL_SG


def _acts_of(trouble: Trouble, facts: Facts) -> tuple[_Act, ...]:
    if trouble.kind == "stalled":
        return _AT_TOLERANCE if near_tolerance(facts) else _STALLED
    return _NOT_STARTED if trouble.kind == "not started" else (_LOOK,)


def _tasks_of(trouble: Trouble, facts: Facts, now: datetime, vessel: str) -> Iterator[Task]:
    """Yield each act as a task: done or left out, then one that is due or coming, the rest waiting."""
    acts = _acts_of(trouble, facts)
    begun = _begins_anew(acts, facts, _since(trouble, facts, now))
    if len(acts) == 1 and begun > now:
        return  # somebody has looked not long ago
    settled = [_settled(act, facts, begun) for act in acts]
    ready: datetime | None = begun
    for place, act in enumerate(acts):
        done = settled[place]
        if done is None and act.do == "read" and ready is not None:
            done = _read_after(facts, ready + act.after - SAME_DAY)
        # What was done later answers what comes before it: who has pitched a starter has looked.
        done = done or next((one for one in settled[place + 1 :] if one is not None), None)
        if done is not None:
            yield _over(act, done, trouble, vessel)
            ready = max(done.at, ready or done.at)
            continue
        if act is _END and ready is not None and stable_since(facts, CALM_DAYS) is None:
            newest = facts.since_addition[-1].at if facts.since_addition else ready
            yield _open(_READ_AGAIN, max(ready, newest), trouble, facts, now, vessel)
            ready = None
        if act is _LOOK and ready is not None and facts.since_addition:
            ready = max(ready, facts.since_addition[-1].at)  # the reading that showed it
        yield _open(act, ready, trouble, facts, now, vessel)
        ready = None


def _since(trouble: Trouble, facts: Facts, now: datetime) -> datetime:
    """Return when it began: the first reading of the standstill; 72 hours after pitching where it never moved."""
    readings = facts.since_addition
    if trouble.kind == "not started" and facts.pitched_at is not None:
        return facts.pitched_at + STARTS_WITHIN
    if not readings:
        return facts.pitched_at or facts.last_at or now
    newest = readings[-1]
    if trouble.kind == "slow":
        return facts.last_addition_at or facts.pitched_at or newest.at
    if trouble.kind in ("rising", "too warm"):
        return newest.at
    first = newest
    for reading in reversed(readings):
        if abs((reading.sg or 0.0) - (newest.sg or 0.0)) > STANDS_SG:
            break
        first = reading
    return first.at


def _begins_anew(acts: Sequence[_Act], facts: Facts, since: datetime) -> datetime:
    """Return from when on acts count: the beginning, or a while after the whole round was gone through in vain."""
    last = acts[-1]
    over = [act.at for act in facts.acts if act.at >= since and act.did == "skip" and act.task == last.key]
    if len(acts) == 1:
        over += [act.at for act in facts.acts if act.at >= since and act.task == last.key and act.did == last.do]
    if last.do == "read":
        begun = since
        for pitched in [act.at for act in facts.acts if act.did == "pitch" and act.at >= since]:
            read = _read_after(facts, pitched + last.after - SAME_DAY)
            if pitched >= begun and read is not None:
                begun = read.at + RIGHT_AFTER  # that yeast did not take hold either
        return begun
    return over[-1] + AGAIN_AFTER if over else since


def _settled(act: _Act, facts: Facts, since: datetime) -> Act | None:
    """Return the entry that answered an act, or left it out; None while it is open."""
    for entry in facts.acts:
        if entry.at < since:
            continue
        if entry.task == act.key and entry.did in (act.do, "skip"):
            return entry
        if act.by is not None and entry.did == act.by:
            return entry
    return None


def _read_after(facts: Facts, at: datetime) -> Act | None:
    reading = next((reading for reading in facts.since_addition if reading.at >= at), None)
    return None if reading is None else Act(reading.key, reading.at, "read")


def _over(act: _Act, entry: Act, trouble: Trouble, vessel: str) -> Task:
    skipped = entry.did == "skip"
    values: WhyValues = {"at": entry.at, "reason": entry.reason} if skipped else {"at": entry.at}
    why = Why("skipped" if skipped else "done", KNOWN, values)
    return Task(
        vessel, act.key, None, act.do, act.what, "dropped" if skipped else "done", None, is_date=True, why=why,
        settled_at=entry.at, done_at=None if skipped else entry.at, done_by=None if skipped else entry.key,
        trouble=trouble.kind,
    )  # fmt: skip


def _open(
    act: _Act, ready: datetime | None, trouble: Trouble, facts: Facts, now: datetime, vessel: str
) -> Task:
    seen = "fell again" if trouble.kind == "stalled" and _fell_last(facts) else trouble.kind
    about: WhyValues = {"ref": act.key, "reason": seen, "sg": facts.sg or 1.0}
    why = Why("trouble", KNOWN if ready is not None else WAITING, about)
    task = Task(vessel, act.key, None, act.do, act.what, "waiting", None, is_date=True, why=why, trouble=trouble.kind)
    if ready is None:
        return task
    at = ready + act.after
    put_off = next((one for one in reversed(facts.acts) if one.did == "postpone" and one.task == act.key), None)
    if put_off is not None and put_off.until is not None and put_off.until > at:
        at = put_off.until
        values: WhyValues = {"until": at, "reason": put_off.reason}
        task = task._replace(why=Why("postponed", KNOWN, values, (why,)), postponed_until=at)
    return task._replace(state="due" if at <= now else "coming", window=exactly(at))
