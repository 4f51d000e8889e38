"""Compute the tasks of one vessel from its facts, schedule, forecast and the clock."""

from collections.abc import Iterable
from datetime import datetime, timedelta, tzinfo
from functools import partial

from fermtui.daybook.head import Plan
from fermtui.daybook.kinds import kind_of
from fermtui.forecast.window import exactly
from fermtui.must.composition import Must
from fermtui.must.honey import MOISTURE_PERCENT
from fermtui.replay.contents import juice_bounds, ledger_must
from fermtui.replay.facts import Act, Facts
from fermtui.replay.stage import bottles_left
from fermtui.schedule.conditions import After, AllOf, AnyOf, Condition, Every
from fermtui.schedule.context import Context, ForecastSource
from fermtui.schedule.days import days_after
from fermtui.schedule.evaluate import evaluate
from fermtui.schedule.feeding import feeding_over, wanted_abv
from fermtui.schedule.matching import answer, takes_fruit_out
from fermtui.schedule.met_at import answered_at, known_at
from fermtui.schedule.missed_doses import one_dose_at_a_time
from fermtui.schedule.planned_steps import for_plan
from fermtui.schedule.readings_wanted import ask
from fermtui.schedule.steps import Schedule, Step, nth
from fermtui.schedule.task import Task
from fermtui.schedule.task_state import open_task
from fermtui.schedule.unplanned import fruit_beside_the_plan, part_to_pour, rest_to_bottle
from fermtui.schedule.ways import with_choice
from fermtui.schedule.why import KNOWN, Verdict, Why

OF_BOTTLES = frozenset({"taste", "open"})
OVER_WITH_THE_FERMENT = frozenset({"dose", "feed", "aerate"})
"""What no longer makes sense once the maker has said that the ferment is at its end."""


def tasks(
    facts: Facts,
    schedule: Schedule,
    plan: Plan,
    forecast: ForecastSource | None,
    now: datetime,
    zone: tzinfo,
    vessel: str,
    inherited: Iterable[Act] = (),
) -> tuple[Task, ...]:
    """Return a task for every step that this plan has, in the order of the file, then the reading that is asked for
    (`ask-gravity` or `ask-ph`, at most one), what a first bottling left (`bottle-rest`) and what is poured into a
    second vessel (`pour`); those have no `step`.

    Pure and total. `inherited` are the acts of the vessel that this one was poured off from, up to that moment.
    """
    here = for_plan(schedule, plan._replace(keep=facts.keep))
    context = prepared(Context(facts, here, plan, forecast, now, zone, inherited), vessel)
    ordered = one_dose_at_a_time(context, [context.task_of(step.key) for step in context.schedule.steps])
    ordered = with_choice(context, ordered, vessel)
    beside = tuple(fruit_beside_the_plan(context, ordered, vessel))
    extra = (ask(context, ordered, vessel), rest_to_bottle(context, ordered, vessel),
             part_to_pour(context, vessel), *beside)  # fmt: skip
    ordered.extend(task for task in extra if task is not None)
    return tuple(_in_zone(task, zone) for task in ordered)


def prepared(context: Context, vessel: str) -> Context:
    """Match the entries to the steps; each step's task is made when it is first asked for."""
    answer(context)
    made: dict[str, Task] = {}

    def task_of(key: str) -> Task:
        if key not in made:
            made[key] = _task(context.schedule.by_key[key], context, vessel)
        return made[key]

    context.task_of = task_of
    return context


def _task(step: Step, context: Context, vessel: str) -> Task:
    dose_n = dose_m = None
    if step.do in ("dose", "feed"):
        doses = context.schedule.by_do[step.do]
        dose_n, dose_m = doses.index(step) + 1, len(doses)
    every = step.due if isinstance(step.due, Every) else None
    # Made in one go: of a long tuple each changed copy costs several times as much as the first.
    made = partial(
        Task, vessel, step.key, step, step.do, step.what, window=None, is_date=False, say=step.say,
        dose_n=dose_n, dose_m=dose_m,
    )  # fmt: skip
    settled = context.settled.get(step.key)
    if settled is not None and settled.how == "done":
        why = Why("done", KNOWN, {"at": settled.at})
        return made(state="done", settled_at=settled.at, done_at=settled.at, done_by=settled.by, why=why)
    if settled is not None and settled.how == "missed":
        why = Why("missed", KNOWN, {"at": settled.at})
        return made(state="dropped", settled_at=settled.at, why=why)
    if settled is not None:
        why = Why("skipped", KNOWN, {"at": settled.at, "reason": settled.reason})
        return made(state="dropped", settled_at=settled.at, why=why)
    marks = () if every is None else tuple(context.times_done.get(step.key, ()))
    every_days = None if every is None else every.in_days
    over = _over(step, context)
    if over is not None:
        at, why = over
        done_at = marks[-1] if marks else None
        state = "done" if marks else "dropped"
        return made(state=state, settled_at=at, done_at=done_at, why=why, marks=marks, every_days=every_days)
    blank = made(state="waiting", why=_BLANK, marks=marks, every_days=every_days)
    if every is not None:
        return _repeating(blank, step, every, context)
    return _doubted(open_task(blank, evaluate(step.due, context), context), step, context)


def _doubted(task: Task, step: Step, context: Context) -> Task:
    """Ask for a gravity before a dose whose last moment has probably passed without a reading."""
    if step.do != "dose" or step.drop is None or task.state not in ("due", "late"):
        return task
    over = evaluate(step.drop, context)
    if not over.why.values.get("passed"):
        return task
    return task._replace(why=Why("doubted", task.why.state, {}, (over.why, task.why)))


_BLANK = Why("")


def _over(step: Step, context: Context) -> tuple[datetime, Why] | None:
    """Return when and why the step is no longer needed, or None."""
    facts, now = context.facts, context.now
    if facts.emptied_at is not None and not (bottles_left(facts) and _is_about_bottles(step, context)):
        return facts.emptied_at, Why("emptied", KNOWN, {"at": facts.emptied_at})
    if step.drop is not None:
        at = known_at(step.drop, context)
        if at is not None and at <= now:
            return at, Why("dropped", KNOWN, {"at": at}, (evaluate(step.drop, context).why,))
    if facts.ended_at is not None and step.do in OVER_WITH_THE_FERMENT:
        return facts.ended_at, Why("its-end", KNOWN, {"at": facts.ended_at})
    if step.do == "feed" and facts.volume_known and feeding_over(_all_in(facts), context.plan, MOISTURE_PERCENT):
        at = facts.last_at or now
        return at, Why("strong-enough", KNOWN, {"at": at, "abv_percent": wanted_abv(context.plan) or 0.0})
    lasts = kind_of(step.do).beyond_bottling or _counts_from_bottling(step.due, context)
    if context.bottled_at is not None and not lasts:
        return context.bottled_at, Why("bottled", KNOWN, {"at": context.bottled_at})
    if (step.do == "punch" or takes_fruit_out(step)) and not facts.fruit_in:
        went = _fruit_over(context)
        if went is not None:
            return went, Why("no-fruit", KNOWN, {"at": went})
    ahead = context.schedule.ahead_of.get(step.key)
    if ahead is not None:
        target = context.task_of(ahead)
        if not target.is_open:
            at = target.settled_at or now
            return at, Why("passed", KNOWN, {
                "at": at, "ref": ahead, "do": target.do, "what": target.what, "nth": nth(ahead, context.schedule),
            })  # fmt: skip
    return None


def _is_about_bottles(step: Step, context: Context) -> bool:
    """Return whether a step goes on while bottles are full: a tasting, a pressure check, what hangs on the bottling."""
    return step.do in OF_BOTTLES or _counts_from_bottling(step.due, context)


def _all_in(facts: Facts) -> Must | None:
    must = ledger_must(facts)
    if must is None or not facts.pending:
        return must
    return juice_bounds(must, facts.pending)[0]


def _counts_from_bottling(condition: Condition, context: Context) -> bool:
    """Return whether a condition hangs on the bottling: what comes after it is no less wanted once it is done."""
    if isinstance(condition, After):
        step = context.step(condition.ref) if condition.is_step else None
        return condition.ref in ("bottle", "bottled") or (step is not None and step.do == "bottle")
    if isinstance(condition, Every):
        return _counts_from_bottling(condition.start, context)
    if isinstance(condition, AllOf | AnyOf):
        return any(_counts_from_bottling(part, context) for part in condition.parts)
    return isinstance(condition, Every) and _counts_from_bottling(condition.start, context)


def _fruit_over(context: Context) -> datetime | None:
    """Return since when there is no fruit and none to come; None while a step still brings some."""
    last: datetime | None = context.facts.first_at or context.now
    for step in context.schedule.by_do.get("fruit", ()):
        at = answered_at(step.key, context)
        if at is None or at > context.now:
            return None
        last = at
    pulled = [lot.pulled_at for lot in context.facts.fruit if lot.pulled_at is not None]
    return pulled[-1] if pulled else last


def _repeating(blank: Task, step: Step, every: Every, context: Context) -> Task:
    start = evaluate(every.start, context)
    until = known_at(every.until, context)
    times = [*blank.marks, context.skipped_at[step.key]] if step.key in context.skipped_at else blank.marks
    last = max(times) if times else None
    if until is not None and until <= context.now:
        return _ended(blank, until)
    if start.state != KNOWN or start.window is None:
        return open_task(blank, start, context)
    upcoming, is_date = start.window.likely, start.is_date
    if last is not None:
        again = days_after(last, every.days, context.zone) if every.days else last + timedelta(hours=every.hours)
        if again > upcoming:
            upcoming, is_date = again, bool(every.days)
    if until is not None and upcoming >= until:
        return _ended(blank, until)
    why = Why("every", KNOWN, {"days": every.in_days, "at": upcoming, "last": last}, (start.why,))
    return open_task(blank, Verdict(KNOWN, why, exactly(upcoming), is_date), context, since=last)


def _ended(blank: Task, until: datetime) -> Task:
    why = Why("ended", KNOWN, {"at": until, "times": len(blank.marks)})
    if blank.marks:
        return blank._replace(state="done", settled_at=until, done_at=blank.marks[-1], why=why)
    return blank._replace(state="dropped", settled_at=until, why=why)


def _in_zone(task: Task, zone: tzinfo) -> Task:
    window = task.window
    if window is not None:
        window = window.each(lambda at: at.astimezone(zone))
    if window is None and task.settled_at is None:
        return task
    return task._replace(
        window=window,
        settled_at=None if task.settled_at is None else task.settled_at.astimezone(zone),
        late_from=None if task.late_from is None else task.late_from.astimezone(zone),
    )
