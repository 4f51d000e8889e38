"""A condition -> whether and when it is met, and why, at the clock and with the forecast of its context."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime, timedelta
from typing import Any

from fermtui.forecast.window import Window, earliest_of, exactly, latest_of, not_before
from fermtui.replay.stability import CALM_SG, END_SLACK_SG
from fermtui.schedule.conditions import (
    FIRST_SIGN,
    ONE_THIRD,
    AbvAtLeast,
    After,
    AllOf,
    AnyOf,
    AtEnd,
    AtOnce,
    Before,
    Condition,
    Every,
    GravityAtLeast,
    GravityAtMost,
    Impossible,
    MeasuredAtLeast,
    MeasuredAtMost,
    On,
    StableDays,
    SugarLeftAtMost,
    SugarSpent,
)
from fermtui.schedule.context import FIRST_SIGN_FALL_SG, Context, answering
from fermtui.schedule.days import start_of_day
from fermtui.schedule.met_at import (
    FEED_RISE_SG,
    counting_parts,
    fits,
    known_at,
    opens_at,
    sg_at_spent,
    sg_of_sugar_left,
    shifted,
    shifted_back,
    wanted_abv,
)
from fermtui.schedule.steps import nth
from fermtui.schedule.why import EXPECTED, KNOWN, NEVER, WAITING, Verdict, Why, WhyValues


def evaluate(condition: Condition, context: Context) -> Verdict:
    """The verdict on a condition by itself; the steps before it are asked for through `context.task_of`.

    Remembered by identity for one run, because `()` and `(x,)` of different conditions compare equal. The condition
    is held beside its verdict, so that no other one can get its identity.
    """
    known = context.verdicts.get(id(condition))
    if known is None:
        known = context.verdicts[id(condition)] = condition, _EVALUATE[type(condition)](condition, context)
    return known[1]


def verdicts_of_parts(condition: AllOf, context: Context) -> list[tuple[Condition, Verdict]]:
    """The parts that count in this vessel, each with its verdict as a part of this condition.

    That differs from the part by itself where feeds are still to come: a gravity then has to be reached once more.
    """
    feeds = _feeds_ahead(condition, context)
    return [
        (
            part,
            _once_more(part, feeds, context) if feeds and isinstance(part, GravityAtMost) else evaluate(part, context),
        )
        for part in counting_parts(condition, context)
    ]


def _known(kind: str, values: WhyValues, at: datetime, *, is_date: bool = False) -> Verdict:
    return Verdict(KNOWN, Why(kind, KNOWN, values | {"at": at}), exactly(at), is_date)


def _expected(kind: str, values: WhyValues, window: Window, *, is_date: bool = False) -> Verdict:
    return Verdict(EXPECTED, Why(kind, EXPECTED, values | {"window": window}), window, is_date)


def _waiting(kind: str, values: WhyValues) -> Verdict:
    return Verdict(WAITING, Why(kind, WAITING, values))


def _at_once(_condition: AtOnce, context: Context) -> Verdict:
    at = context.facts.first_at or context.now
    return Verdict(KNOWN, Why("at-once"), exactly(min(at, context.now)), is_date=True)


def _span(condition: After | Before) -> tuple[float, str]:
    if condition.hours:
        return condition.hours, "hours"
    if condition.weeks:
        return condition.weeks, "weeks"
    months = getattr(condition, "months", 0)
    return (months, "months") if months else (condition.days, "days")


def _after(condition: After, context: Context) -> Verdict:
    count, unit = _span(condition)
    values: WhyValues = {"ref": condition.ref, "is_step": condition.is_step, "count": count, "unit": unit}
    is_date = unit != "hours"
    key = condition.ref
    if not condition.is_step:
        base = context.events.get(condition.ref)
        if base is not None:
            return _known("after", values, shifted(base, condition, context), is_date=is_date)
        step = answering(condition.ref, context.schedule)
        if step is None or (condition.ref == FIRST_SIGN and not context.task_of(step.key).is_open):
            return _first_sign(condition, values, context) if condition.ref == FIRST_SIGN else _waiting("after", values)
        key = step.key
    step = context.step(key)
    if step is not None:
        values["do"], values["what"], values["nth"] = step.do, step.what, nth(key, context.schedule)
    task = context.task_of(key)
    if task.state in ("done", "dropped"):
        if not condition.is_step:  # the step is out of the way but the event never happened
            return _waiting("after", values)
        values["skipped"] = task.state == "dropped"
        base = task.settled_at or context.now
        return _known("after", values, shifted(base, condition, context), is_date=is_date)
    if task.window is None:
        return _waiting("after", values)
    values["floats"] = task.floats
    window = not_before(task.window, context.now).each(lambda at: shifted(at, condition, context))
    return _expected("after", values, window, is_date=is_date)


def _first_sign(condition: After, values: WhyValues, context: Context) -> Verdict:
    """Where no step looks for it: the forecast says when the gravity will have come down so far."""
    forecast, g0 = context.forecast, context.facts.g0
    window = None if forecast is None or g0 is None else forecast.crossing(g0 - FIRST_SIGN_FALL_SG)
    if window is None or context.pitched_at is None:
        return _waiting("after", values)
    window = not_before(window, context.now).each(lambda at: shifted(at, condition, context))
    return _expected("after", values, window, is_date=values["unit"] != "hours")


def _before(condition: Before, context: Context) -> Verdict:
    count, unit = _span(condition)
    task = context.task_of(condition.ref)
    values: WhyValues = {
        "ref": condition.ref, "count": count, "unit": unit, "do": task.do, "what": task.what,
        "nth": nth(condition.ref, context.schedule),
    }  # fmt: skip
    is_date = unit != "hours"
    if task.window is None:
        return _waiting("before", values)
    window = task.window.each(lambda at: shifted_back(at, condition, context))
    if not task.forecast:
        values["at"] = window.likely
        return Verdict(KNOWN, Why("before", KNOWN, values), window, is_date=is_date)
    opens = opens_at(context.schedule.by_key[condition.ref].due, context)
    if opens is not None and shifted_back(opens, condition, context) <= context.now:
        values["at"], values["opens"] = context.start_of(context.now), True
        return Verdict(KNOWN, Why("before", KNOWN, values), exactly(values["at"]), is_date=is_date)
    values["floats"] = task.floats
    return _expected("before", values, not_before(window, context.now), is_date=is_date)


def _down_to(sg: float, kind: str, values: WhyValues, context: Context) -> Verdict:
    """A gravity to come down to: met by a reading, else by the forecast."""
    values["sg"] = sg
    newest = context.newest
    if newest is not None:
        values["last_at"], values["last_sg"] = newest
    elif context.was_read:
        values["since_addition"] = True
    at = context.at_or_below(sg)
    if at is not None:
        return _known(kind, values, at)
    forecast = context.forecast
    if forecast is None or context.pitched_at is None:
        return _waiting(kind, values)
    window = forecast.crossing(sg)
    values["readings"] = len(context.facts.after_pitch)
    if window is None and forecast.expected(context.now)[1] > sg:
        return _waiting(kind, values | {"unlikely": True})
    if window is None or window.likely <= context.now:
        window = exactly(context.now)  # likely there already: only a reading is missing
        values["passed"] = values["floats"] = True
    window = not_before(window, context.now)
    return _expected(kind, values, window)


def _gravity(condition: GravityAtMost, context: Context) -> Verdict:
    """Where the maker said that it has ended above it, it has come down as far as it ever will."""
    ended = context.facts.ended_at
    if ended is None or context.at_or_below(condition.sg) is not None:
        return _down_to(condition.sg, "gravity", {}, context)
    return _known("decided", {"sg": context.facts.end}, ended)


def _at_end(_condition: AtEnd, context: Context) -> Verdict:
    ended, end = context.facts.ended_at, context.facts.end
    if ended is None:
        return _down_to(end + END_SLACK_SG, "end", {}, context)
    return _known("decided", {"sg": end}, ended)


def _spent(condition: SugarSpent, context: Context) -> Verdict:
    values: WhyValues = {"share": condition.share, "third": abs(condition.share - ONE_THIRD) < 0.001}
    frozen = context.facts.spent_frozen_percent
    if frozen is not None and frozen >= 100.0 * condition.share:
        at = known_at(condition, context) or context.facts.last_sugar_at or context.now
        return _known("spent", values, at)
    g0 = context.facts.g0
    if g0 is None or g0 <= 1.001:
        return _waiting("spent", values)
    return _down_to(sg_at_spent(g0, condition.share), "spent", values, context)


def _abv(condition: AbvAtLeast, context: Context) -> Verdict:
    percent = wanted_abv(condition, context)
    values: WhyValues = {"abv_percent": percent}
    at = known_at(condition, context)
    if at is not None:
        return _known("abv", values, at)
    sg = context.sg_of_abv(percent)
    if sg is None:
        return _waiting("abv", values | {"unlikely": True})
    return _down_to(sg, "abv", values, context)


def _stable(condition: StableDays, context: Context) -> Verdict:
    days = condition.days
    values: WhyValues = {"days": days}
    at = context.stable_since(days)
    if at is not None:
        return _known("stable", values, at)
    run = context.steady
    if run:
        values["since"], values["last_at"], values["count"] = run[0].at, run[-1].at, len(run)
    forecast = context.forecast
    if forecast is None or context.pitched_at is None:
        return _waiting("stable", values)
    window = forecast.calm(days)
    now = context.now
    if window is None and forecast.expected(now)[1] - forecast.expected(now + timedelta(days=days))[1] > CALM_SG:
        return _waiting("stable", values | {"unlikely": True})
    if window is None or window.likely <= now:
        # Calm by the forecast: what is missing are the readings that show it.
        window = exactly(run[0].at + timedelta(days=days) if run else now + timedelta(days=days))
        values["floats"] = not run or window.likely <= now
        if window.likely <= now:
            values["passed"] = True
    window = not_before(window, context.now)
    values["readings"] = len(context.facts.after_pitch)
    return _expected("stable", values, window)


def _at_least(condition: GravityAtLeast, context: Context) -> Verdict:
    values: WhyValues = {"sg": condition.sg}
    if context.newest is not None:
        values["last_at"], values["last_sg"] = context.newest
    at = context.at_or_above(condition.sg)
    return _waiting("gravity-up", values) if at is None else _known("gravity-up", values, at)


def _measured(condition: MeasuredAtMost | MeasuredAtLeast, context: Context) -> Verdict:
    """Met while the newest readings fit, since the first of them."""
    values: WhyValues = {"what": condition.what, "limit": condition.limit}
    read = context.measured(condition.what)
    if read:
        values["last_at"], values["last_value"] = read[-1]
    since: datetime | None = None
    for at, value in reversed(read):
        if not fits(condition, value):
            break
        since = at
    kind = "at-most" if isinstance(condition, MeasuredAtMost) else "at-least"
    return _waiting(kind, values) if since is None else _known(kind, values, since)


def _sugar_left(condition: SugarLeftAtMost, context: Context) -> Verdict:
    if context.facts.sg is None:
        return _waiting("sugar-left", {"g_per_l": condition.g_per_l})
    return _down_to(sg_of_sugar_left(condition, context), "sugar-left", {"g_per_l": condition.g_per_l}, context)


def _on(condition: On, context: Context) -> Verdict:
    at = start_of_day(condition.day, context.zone)
    return Verdict(KNOWN, Why("on", KNOWN, {"at": at}), exactly(at), is_date=True)


def _feeds_ahead(condition: Condition, context: Context) -> int:
    """How many feeds that are still to come a condition waits for."""
    parts = condition.parts if isinstance(condition, AllOf) else (condition,)
    most = 0
    for part in parts:
        step = context.step(part.ref) if isinstance(part, After) and part.is_step else None
        if step is not None and step.do == "feed" and context.task_of(step.key).is_open:
            most = max(most, 1 + _feeds_ahead(step.due, context))
    return most


def _once_more(condition: GravityAtMost, feeds: int, context: Context) -> Verdict:
    """A gravity that has to be reached again after feeds to come: their sugar has to ferment as well, so it is reached
    about when the present course would have come down so much further."""
    values: WhyValues = {"sg": condition.sg, "again": True, "readings": len(context.facts.after_pitch)}
    forecast = context.forecast if context.pitched_at is not None else None
    window = None if forecast is None else forecast.crossing(condition.sg - feeds * FEED_RISE_SG)
    if window is None:
        return _waiting("gravity", values)
    window = not_before(window, context.now)
    return _expected("gravity", values, window)


def _all(condition: AllOf, context: Context) -> Verdict:
    verdicts = [verdict for _, verdict in verdicts_of_parts(condition, context)]
    whys = tuple(verdict.why for verdict in verdicts)
    states = {verdict.state for verdict in verdicts}
    if NEVER in states:
        return Verdict(NEVER, Why("all", NEVER, {}, whys))
    if WAITING in states:
        return Verdict(WAITING, Why("all", WAITING, {}, whys))
    if not verdicts:
        return _at_once(AtOnce(), context)
    window = latest_of(_windows(verdicts))
    state = EXPECTED if EXPECTED in states else KNOWN
    last = max(verdicts, key=lambda verdict: verdict.window.likely if verdict.window else context.now)
    if len(whys) == 1:
        return Verdict(state, whys[0], window, is_date=last.is_date)
    which = whys.index(last.why)
    values: WhyValues = {"window": window, "which": which, "floats": _floats(last)}
    return Verdict(state, Why("all", state, values, whys), window, is_date=last.is_date)


def _floats(verdict: Verdict) -> bool:
    return bool(verdict.why.values.get("floats"))


def _any(condition: AnyOf, context: Context) -> Verdict:
    verdicts = [evaluate(part, context) for part in condition.parts]
    whys = tuple(verdict.why for verdict in verdicts)
    dated = [(verdict.window, verdict) for verdict in verdicts if verdict.window is not None]
    if not dated:
        state = WAITING if any(verdict.state == WAITING for verdict in verdicts) else NEVER
        return Verdict(state, Why("any", state, {}, whys))
    known = [(window, verdict) for window, verdict in dated if verdict.state == KNOWN]
    met = [(window, verdict) for window, verdict in known if window.likely <= context.now]
    first_window, first = min(met or dated, key=lambda one: one[0].likely)
    if met or len(known) == len(dated):
        window, state = first_window, KNOWN
    else:
        window = earliest_of(_windows(verdicts))
        state = KNOWN if first.state == KNOWN and window == first_window else EXPECTED
    values: WhyValues = {"window": window, "which": verdicts.index(first), "met": bool(met), "floats": _floats(first)}
    return Verdict(state, Why("any", state, values, whys), window, is_date=first.is_date)


def _windows(verdicts: Iterable[Verdict]) -> list[Window]:
    return [verdict.window for verdict in verdicts if verdict.window is not None]


_EVALUATE: dict[type, Callable[[Any, Context], Verdict]] = {
    AtOnce: _at_once,
    After: _after,
    Before: _before,
    GravityAtMost: _gravity,
    SugarSpent: _spent,
    AbvAtLeast: _abv,
    GravityAtLeast: _at_least,
    MeasuredAtMost: _measured,
    MeasuredAtLeast: _measured,
    SugarLeftAtMost: _sugar_left,
    StableDays: _stable,
    AtEnd: _at_end,
    On: _on,
    Every: lambda condition, context: evaluate(condition.start, context),
    AnyOf: _any,
    AllOf: _all,
    Impossible: lambda _condition, _context: Verdict(NEVER, Why("impossible", NEVER)),
}
