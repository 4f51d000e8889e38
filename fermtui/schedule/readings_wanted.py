"""Ask for the readings that the plan needs, as a task of their own: when one would decide something.

At most one is open at a time. How long to wait between readings is a careful guess, no source.
"""

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

from fermtui.forecast.window import exactly
from fermtui.schedule.conditions import (
    AbvAtLeast,
    AllOf,
    AnyOf,
    AtEnd,
    Condition,
    Every,
    GravityAtLeast,
    GravityAtMost,
    MeasuredAtLeast,
    MeasuredAtMost,
    StableDays,
    SugarLeftAtMost,
    SugarSpent,
)
from fermtui.schedule.context import Context
from fermtui.schedule.evaluate import evaluate, verdicts_of_parts
from fermtui.schedule.steps import nth
from fermtui.schedule.task import Task
from fermtui.schedule.task_state import open_task
from fermtui.schedule.why import KNOWN, Verdict, Why, WhyValues

ASK_GRAVITY = "ask-gravity"
ASK_PH = "ask-ph"
ASK_TEMP = "ask-temp"
FIRST_LOOK = timedelta(days=3)  # after pitching, where no forecast says better
OLD_NEWS = timedelta(days=7)  # while something waits for a gravity and no forecast says when
OLD_NEWS_FORETOLD = timedelta(days=14)  # the longest that even a forecast goes unchecked
BREAK_GAP = timedelta(hours=12)
GAP = timedelta(days=1)
FALLING_SG_PER_DAY = 0.002
SKIPPED_FOR = timedelta(days=3)
PH_AHEAD = timedelta(days=3)
PUT_OFF_AHEAD = timedelta(days=8)  # a week of calm can be shown by the day to which a step was postponed
METER_GAP = {"ph": timedelta(days=7), "temp_c": timedelta(days=4)}
METER_ASKS = {"ph": (ASK_PH, "ph"), "temp_c": (ASK_TEMP, "temperature")}
Gravity = GravityAtMost | GravityAtLeast | SugarLeftAtMost | SugarSpent | AbvAtLeast | AtEnd
Meter = MeasuredAtMost | MeasuredAtLeast
MEASURED = (
    GravityAtMost, GravityAtLeast, SugarLeftAtMost, SugarSpent, AbvAtLeast, AtEnd, StableDays, MeasuredAtMost,
    MeasuredAtLeast,
)  # fmt: skip


class WantedReading(NamedTuple):
    """One reading that would help: from when on, what for, and of what."""

    at: datetime
    why: Why
    key: str = ASK_GRAVITY
    what: str | None = None


class ReadingNeed(NamedTuple):
    """A condition that only a reading can meet. `calendar` is the date that the step has to wait for anyway; after
    `until` the reading no longer decides anything; `still_days` is the calm that is needed as well."""

    condition: Gravity | StableDays | Meter
    why: Why
    calendar: datetime | None = None
    until: datetime | None = None
    still_days: float = 0.0


def ask(context: Context, ordered: Sequence[Task], vessel: str) -> Task | None:
    """Return the next reading to take beyond those of the schedule itself, or None."""
    facts = context.facts
    if facts.emptied_at is not None or context.bottled_at is not None or context.pitched_at is None:
        return None
    want = _first_wanted(ordered, context)
    if want is not None:
        # What was settled last may be what made it wanted: then nobody was late with it before.
        settled = max((one.at for one in context.settled.values()), default=None)
        if settled is not None and settled <= context.now:
            want = want._replace(at=max(want.at, settled))
        skipped = context.skipped_at.get(want.key)
        if skipped is not None:
            want = want._replace(at=max(want.at, skipped + SKIPPED_FOR))
        if not _comes_anyway(ordered, want.at, context):
            return _as_task(want.key, want.what, want, context, vessel)
    if facts.ph is None and ASK_PH not in context.skipped_at:
        for task in ordered:
            if task.do in ("sulfite", "sorbate") and _near(task, context):
                why = Why("ask-ph", KNOWN, _wanted_for(task, context))
                return _as_task(ASK_PH, "ph", WantedReading(context.now, why), context, vessel)
    return None


def _first_wanted(ordered: Sequence[Task], context: Context) -> WantedReading | None:
    """Return the first reading that a rule of the schedule wants; where none wants one but for its age, the one that
    tells most about the finish."""
    wants = [want for task in ordered if task.is_open for want in _wants(task, context)]
    want = min(wants, key=lambda one: one.at, default=None)
    if want is not None and want.at < _last(context) + OLD_NEWS_FORETOLD:
        return want
    telling = _most_telling(context)
    if telling is None or (want is not None and want.at <= telling.at):
        return want
    return telling


def _most_telling(context: Context) -> WantedReading | None:
    """Return the reading that narrows the finish most, by the forecast from the last reading on."""
    if context.forecast is None or context.newest is None or context.now > _last(context) + OLD_NEWS_FORETOLD:
        return None
    best = context.forecast.best_reading()
    if best is None:
        return None
    values: WhyValues = {"days": best.days_wide_after, "days_now": best.days_wide_now}
    return WantedReading(best.at, Why("ask-telling", KNOWN, values))


def _as_task(key: str, what: str | None, want: WantedReading, context: Context, vessel: str) -> Task:
    whole_day = want.at - _last(context) >= GAP
    at = context.start_of(want.at) if whole_day else want.at
    verdict = Verdict(KNOWN, want.why, exactly(at), whole_day)
    blank = Task(vessel, key, None, "read", what, "waiting", None, whole_day, want.why)
    return open_task(blank, verdict, context, since=_last(context))


def _last(context: Context) -> datetime:
    """Return the time of the newest gravity, or of what it has to follow: the last addition, pitching."""
    newest = context.newest
    if newest is not None:
        return newest[0]
    return max(at for at in (context.pitched_at, context.facts.last_addition_at) if at is not None)


def _comes_anyway(ordered: Sequence[Task], at: datetime, context: Context) -> bool:
    """Tell whether a reading of the schedule is due now, or comes before this one would."""
    for task in ordered:
        if task.do != "read" or not task.is_open or task.window is None or task.every_days is not None:
            continue
        if task.state in ("due", "late") or (not task.forecast and context.now < task.window.likely <= at + GAP):
            return True
    return False


def _near(task: Task, context: Context) -> bool:
    return task.state in ("due", "late") or (
        task.is_open and task.window is not None and task.window.likely <= context.now + PH_AHEAD
    )


def _wanted_for(task: Task, context: Context) -> WhyValues:
    return {"for_task": task.key, "do": task.do, "what": task.what, "nth": nth(task.key, context.schedule)}


def _wants(task: Task, context: Context) -> Iterator[WantedReading]:
    step = task.step
    if step is None:
        return
    if task.postponed_until is not None and task.postponed_until - PUT_OFF_AHEAD > context.now:
        return  # nobody needs to look for the sake of what has been put off
    values = _wanted_for(task, context)
    if task.state not in ("waiting", "coming"):
        return
    conditions = (step.due.start, step.due.until) if isinstance(step.due, Every) else (step.due,)
    for condition in conditions:
        for need in _needs(condition, evaluate(condition, context), context):
            want = _want(need, values, context)
            if want is not None and (need.until is None or want.at < need.until):
                yield want


def _want(need: ReadingNeed, values: WhyValues, context: Context) -> WantedReading | None:
    condition = need.condition
    if isinstance(condition, StableDays):
        return _stable_want(need, condition.days, values, context)
    if isinstance(condition, MeasuredAtMost | MeasuredAtLeast):
        return _meter_want(need, condition, values, context)
    return _gravity_want(need, condition, values, context)


def _meter_want(need: ReadingNeed, condition: Meter, values: WhyValues, context: Context) -> WantedReading:
    """Ask for the pH or the temperature at once, then again every week or every four days until it fits."""
    read = context.measured(condition.what)
    at = read[-1][0] + METER_GAP[condition.what] if read else context.now
    if need.calendar is not None:
        at = max(at, need.calendar)
    return WantedReading(at, Why("ask-gravity", KNOWN, values, (need.why,)), *METER_ASKS[condition.what])


def _needs(condition: Condition, verdict: Verdict, context: Context) -> Iterator[ReadingNeed]:
    if isinstance(condition, AnyOf):
        verdicts = [(part, evaluate(part, context)) for part in condition.parts]
        dates = [v.window.likely for _, v in verdicts if v.state == KNOWN and v.window is not None]
        until = min(dates) if dates else None
        if until is None or until > context.now:
            for part, of_part in verdicts:
                if of_part.state != KNOWN:
                    yield from (need._replace(until=until) for need in _needs(part, of_part, context))
    elif isinstance(condition, AllOf):
        yield from _needs_of_all(condition, context)
    elif isinstance(condition, MEASURED) and verdict.state != KNOWN:
        yield ReadingNeed(condition, verdict.why)


def _needs_of_all(condition: AllOf, context: Context) -> Iterator[ReadingNeed]:
    calendar: datetime | None = None
    still_days = 0.0
    open_parts: list[tuple[Condition, Verdict]] = []
    for part, verdict in verdicts_of_parts(condition, context):
        if verdict.state == KNOWN and verdict.window is not None:
            at = verdict.window.likely
            calendar = at if calendar is None or at > calendar else calendar
        elif isinstance(part, (*MEASURED, AnyOf)):
            open_parts.append((part, verdict))
        else:
            return  # it hangs on a step that is not done yet: no reading helps now
        if isinstance(part, StableDays) and verdict.state != KNOWN:
            still_days = max(still_days, part.days)
    falling = [(part, verdict) for part, verdict in open_parts if not isinstance(part, StableDays)]
    for part, verdict in falling or open_parts:
        for need in _needs(part, verdict, context):
            yield need._replace(calendar=calendar, still_days=still_days)


def _falling(context: Context) -> bool:
    """Tell whether the gravity still falls from one reading to the next: then stability need not be shown yet."""
    if len(context.gravities) < 2:
        return False
    (earlier, before), (later, now) = context.gravities[-2:]
    return before - now > FALLING_SG_PER_DAY * max(1.0, (later - earlier) / GAP)


def _gravity_want(need: ReadingNeed, condition: Gravity, values: WhyValues, context: Context) -> WantedReading | None:
    is_break = isinstance(condition, SugarSpent)
    last = _last(context)
    why = need.why
    if context.forecast is None:
        at = last + OLD_NEWS if context.newest is not None else last + FIRST_LOOK
        if is_break:
            at = last + FIRST_LOOK  # a break passes within days
        reason = Why("ask-gravity", KNOWN, values, (why,))
    else:
        window = why.values.get("window")
        at = last + OLD_NEWS_FORETOLD
        if window is not None:
            at = min(at, max(window.earliest if is_break else window.likely, last + (BREAK_GAP if is_break else GAP)))
        reason = Why("ask-gravity" if window is None else "ask-crossing", KNOWN, values, (why,))
    if need.calendar is not None:
        at = max(at, need.calendar - timedelta(days=need.still_days))
    return WantedReading(at, reason)


def _stable_want(need: ReadingNeed, days: float, values: WhyValues, context: Context) -> WantedReading | None:
    """Ask for two readings some days apart, three from a week on, so that the last one completes the span."""
    span = timedelta(days=days)
    last = _last(context)
    run = context.steady
    if not run:
        at = last + GAP if context.newest is not None else last + FIRST_LOOK
    elif _falling(context):
        at = last + OLD_NEWS
    elif days >= 7:
        half_way = last + min(span / 2, OLD_NEWS_FORETOLD)
        at = half_way if len(run) == 1 else max(last + GAP, min(run[0].at + span, half_way))
    else:
        at = max(run[0].at + span, last + GAP)
    window = need.why.values.get("window")
    if window is not None:
        at = max(at, min(window.earliest - span, last + OLD_NEWS_FORETOLD))
    if need.calendar is not None:
        at = max(at, need.calendar - span)
    return WantedReading(at, Why("ask-stable", KNOWN, {**values, "days": days, "count": len(run)}))
