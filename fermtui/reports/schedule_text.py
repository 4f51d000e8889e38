"""A schedule as a page: its steps in order, each with when it comes due, in words and without any vessel."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from fermtui.reports.document import Pairs, Part, Points, Section, Table
from fermtui.schedule.conditions import (
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
from fermtui.schedule.steps import Schedule, Step
from fermtui.units import METRIC, Units, show_gravity, show_temp
from fermtui.wording.fields import as_written
from fermtui.wording.kinds import to_do
from fermtui.wording.plain import plain
from fermtui.wording.said import in_units
from fermtui.wording.step_names import ACTS, counted, event_name, rhythm

Measured = (
    GravityAtMost | GravityAtLeast | MeasuredAtMost | MeasuredAtLeast | SugarLeftAtMost | SugarSpent | AbvAtLeast
    | StableDays | AtEnd
)  # fmt: skip
_FOR = {
    "plan.fruit": "with fruit", "plan.sweet": "sweet", "plan.sparkling": "sparkling", "plan.spice": "with spice",
    "plan.malolactic": "malolactic",
    "not plan.fruit": "without fruit", "not plan.sweet": "dry", "not plan.sparkling": "still",
    "not plan.spice": "without spice", "not plan.malolactic": "without malolactic",
}  # fmt: skip


def schedule_page(schedule: Schedule, path: str, units: Units = METRIC) -> Iterator[Section]:
    """Where it stands, its steps, and what is said at each."""
    rows = [("file", path)]
    if schedule.about:
        rows.append(("about", in_units(plain(schedule.about, 400), units)))
    advice = [f"{step.key}: {in_units(plain(step.say, 300), units)}" for step in schedule.steps if step.say]
    parts: tuple[tuple[str, Part], ...] = (
        ("Schedule", Pairs(rows)),
        ("Steps", Table(("step", "do", "for", "due"), [step_row(step, schedule, units) for step in schedule.steps])),
        ("Said at that moment", Points(advice)),
    )
    for title, part in parts:
        if part[-1]:
            yield Section(title, part)


def step_row(step: Step, schedule: Schedule, units: Units = METRIC) -> tuple[str, str, str, str]:
    """Its key, what is to be done, for which meads, and when."""
    due = condition_text(step.due, schedule, units)
    if step.drop is not None:
        due += f"; left out {condition_text(step.drop, schedule, units)}"
    act = to_do(step.do, step.what)
    share = "" if step.share is None else f" {100 * step.share:.0f} %"
    return (plain(step.key, 30), act + share, _FOR.get(step.when or "", ""), due)


def condition_text(condition: Condition, schedule: Schedule, units: Units = METRIC) -> str:
    """A condition in words, as in `two days after pitching` or `at 1.005 or less and calm for three days`."""
    if isinstance(condition, AnyOf | AllOf):
        parts = [_inside(part, schedule, units) for part in condition.parts]
        return f" {'or' if isinstance(condition, AnyOf) else 'and'} ".join(parts)
    if isinstance(condition, Every):
        start = condition_text(condition.start, schedule, units)
        until = condition_text(condition.until, schedule, units)
        return f"{rhythm(condition.in_days)} from {start} until {until}"
    if isinstance(condition, After):
        return _after(condition, schedule)
    if isinstance(condition, Before):
        spans = ((condition.hours, "hours"), (condition.weeks, "weeks"))
        span = next((counted(count, unit) for count, unit in spans if count), counted(condition.days, "days"))
        return f"{span} before {_name(condition.ref, schedule)}"
    if isinstance(condition, On):
        return f"on {condition.day}"
    if isinstance(condition, AtOnce | Impossible):
        return "at once" if isinstance(condition, AtOnce) else "never"
    return _measured_text(condition, units)


def _measured_text(condition: Measured, units: Units) -> str:
    """A condition that a reading meets, in words."""
    if isinstance(condition, GravityAtMost):
        return f"at {show_gravity(condition.sg, units)} or less"
    if isinstance(condition, GravityAtLeast):
        return f"at {show_gravity(condition.sg, units)} or more"
    if isinstance(condition, MeasuredAtMost | MeasuredAtLeast):
        limit, acid = condition.limit, condition.what == "ph"
        value = f"pH {as_written(limit, units)}" if acid else show_temp(limit, units)
        return f"at {value} or {'less' if isinstance(condition, MeasuredAtMost) else 'more'}"
    if isinstance(condition, SugarLeftAtMost):
        return f"when {as_written(condition.g_per_l, units)} g/L or less may still ferment"
    if isinstance(condition, SugarSpent):
        if abs(condition.share - ONE_THIRD) < 1e-6:
            return "at the one-third sugar break"
        return f"when {100 * condition.share:.0f} % of the sugar is spent"
    if isinstance(condition, AbvAtLeast):
        return f"at {as_written(condition.percent, units)} % vol or more"
    if isinstance(condition, StableDays):
        return f"when stable for {counted(condition.days, 'days')}"
    return "at the planned end"


def _inside(part: Condition, schedule: Schedule, units: Units) -> str:
    """What stands inside another condition, in brackets where `and` and `or` could be mixed up."""
    text = condition_text(part, schedule, units)
    return f"({text})" if isinstance(part, AnyOf | AllOf) else text


def _after(condition: After, schedule: Schedule) -> str:
    name = _name(condition.ref, schedule) if condition.is_step else event_name(condition.ref)
    where = " (where there was any)" if condition.where_done else ""
    spans = ((condition.hours, "hours"), (condition.months, "months"), (condition.weeks, "weeks"))
    for count, unit in (*spans, (condition.days, "days")):
        if count:
            return f"{counted(count, unit)} after {name}{where}"
    return f"after {name}{where}"


def _name(key: str, schedule: Schedule) -> str:
    """The act where the key says no more than that, else the key: on this page it stands beside its step."""
    step = schedule.by_key.get(key)
    return ACTS[key] if key in ACTS and (step is None or step.do == key) else plain(key, 80)


def schedule_json(schedule: Schedule, path: str) -> Mapping[str, Any]:
    """A schedule as scripts read it: `due` and `drop` in words."""
    return {
        "schedule": schedule.name,
        "title": schedule.title,
        "about": schedule.about,
        "file": path,
        "steps": [
            {
                "step": step.key, "do": step.do, "what": step.what, "when": step.when, "share": step.share,
                "grace_days": step.grace_days, "due": condition_text(step.due, schedule),
                "drop": None if step.drop is None else condition_text(step.drop, schedule), "say": step.say,
            }
            for step in schedule.steps
        ],
    }  # fmt: skip
