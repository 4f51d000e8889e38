"""The numbers that the form of a task fills in, explained: a dose, fruit, a feed, the volume after a racking."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from fermtui.daybook.fields import FIELDS
from fermtui.daybook.head import Plan
from fermtui.daybook.settings import Settings
from fermtui.explain.explained import Explained, Input
from fermtui.must.limits import OutOfRange
from fermtui.replay.facts import Facts
from fermtui.replay.present import sugar_spent_percent
from fermtui.schedule.amounts import FRUIT_G_PER_L, amounts, must_in_all
from fermtui.schedule.doses import NAMES, totals_g
from fermtui.schedule.feeding import feeds_left, wanted_abv
from fermtui.schedule.rounding import Amounts
from fermtui.schedule.task import Task

SCHEDULE = "the schedule; how doses are shared out is common practice, no source"


def explain_task(task: Task, facts: Facts, plan: Plan, settings: Settings) -> tuple[Explained, ...]:
    """What a task asks for now, each number with what it comes from; nothing where the form reckons none of its own."""
    make = _MAKE.get(task.do)
    if make is None or not task.is_open:
        return ()
    try:
        return tuple(make(task, amounts(task, facts, plan, settings), facts, plan, settings))
    except OutOfRange:
        return ()


def _dose(task: Task, given: Amounts, facts: Facts, plan: Plan, settings: Settings) -> Iterator[Explained]:
    total = totals_g(facts, plan, settings.nutrients)
    share = task.step.share if task.step is not None else None
    part = share if share is not None else 1.0 / (task.dose_m or 1)
    spent = sugar_spent_percent(facts, facts.sg)
    how = "its share of all doses; late in the ferment only what the yeast can still use: no DAP above 9 % vol"
    for name in NAMES:
        mass_g = given.get(name)
        if not isinstance(mass_g, int | float):
            continue
        inputs = (
            Input("all doses together", total.get(name), "g"),
            Input("share of this one", 100.0 * part, "%"),
            Input("sugar spent", spent, "%"),
        )
        yield Explained(f"{FIELDS[name].name}, this dose", float(mass_g), "g", how, inputs, SCHEDULE)


def _fruit(_task: Task, given: Amounts, facts: Facts, plan: Plan, _settings: Settings) -> Iterator[Explained]:
    mass_g = given.get("mass_g")
    if not isinstance(mass_g, int | float):
        return
    if plan.fruit is not None and plan.fruit.mass_g is not None:
        yield Explained("fruit", float(mass_g), "g", "as planned", (), "vessel.toml, plan.fruit")
        return
    inputs = (Input("volume", plan.volume_l or facts.level_l, "L"), Input("fruit to the litre", FRUIT_G_PER_L, "g/L"))
    usual = "about a pound to the US gallon: common practice, no source"
    yield Explained("fruit", float(mass_g), "g", "volume times what a litre usually gets", inputs, usual)


def _feed(task: Task, given: Amounts, facts: Facts, plan: Plan, settings: Settings) -> Iterator[Explained]:
    must, honey_g = must_in_all(facts), given.get("honey_g")
    if must is None or not isinstance(honey_g, int | float):
        return
    how = "an equal part of the honey that the wanted strength still needs, and no more than lifts it by 20 points"
    inputs = (
        Input("volume", must.volume_l, "L"),
        Input("gravity, all fruit in", must.sg, "SG"),
        Input("wanted strength", wanted_abv(plan), "% vol"),
        Input("feeds left, this one included", float(feeds_left(task, facts))),
        Input("moisture of the honey", plan.honey_moisture_percent or settings.honey_moisture_percent, "%"),
    )
    yield Explained("honey of this feed", float(honey_g), "g", how, inputs, "mass balance; the step of a feed has none")


def _rack(_task: Task, given: Amounts, facts: Facts, _plan: Plan, settings: Settings) -> Iterator[Explained]:
    must, left_l = must_in_all(facts), given.get("volume_l")
    if must is None or not isinstance(left_l, int | float):
        return
    how = "what is in it, less what stays with the lees; off the fruit also what clings to it"
    inputs = (Input("in it", must.volume_l, "L"), Input("stays with the lees", settings.rack_loss_percent, "%"))
    yield Explained("volume after racking", float(left_l), "L", how, inputs, "cellar.toml, rack_loss_percent")


_MAKE: dict[str, Callable[[Task, Amounts, Facts, Plan, Settings], Iterator[Explained]]] = {
    "dose": _dose,
    "fruit": _fruit,
    "feed": _feed,
    "rack": _rack,
}
