"""What a vessel comes to when the steps ahead of it are done as planned: what goes in when, strength, volume, room.

A walk of the mass balance over the open steps in the order of time. Losses are those of the settings (lees) and of the
fruit table (what clings to pulled fruit); samples are not counted.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from fermtui.daybook.head import Plan
from fermtui.daybook.settings import Settings
from fermtui.must.composition import EXTRACT_PER_ETHANOL, Must, mix, take_volume
from fermtui.must.fruit import FruitParts, UnknownFruit, fruit_parts
from fermtui.must.honey import honey_must, honey_to_sweeten
from fermtui.must.limits import OutOfRange
from fermtui.schedule.amounts import FRUIT_G_PER_L
from fermtui.schedule.conditions import AtEnd, leaves
from fermtui.schedule.feeding import down_to, feed_at_sg, feed_honey_g
from fermtui.schedule.task import Task

LEAST_HONEY_G = 1.0


class Addition(NamedTuple):
    """What one step puts in: grams of honey or fruit, the gravity before and after it, litres and % vol after it."""

    task: str
    do: str
    what: str | None
    mass_g: float
    from_sg: float
    to_sg: float
    volume_l: float
    abv_percent: float


class Outcome(NamedTuple):
    """`all_in` is what ferments as if nothing had, `before_dose` the same up to the first dose; `end` is fermented out
    and not sweetened, `final` what is bottled. `level_l` is the highest level on the way, fruit included; `juice_l`
    of fruit that is in before the first dose.
    """

    additions: tuple[Addition, ...]
    all_in: Must
    juice_l: float
    end: Must
    final: Must
    level_l: float


class _Walk:
    """The vessel on its way; every method is one kind of step."""

    def __init__(self, must: Must, plan: Plan, settings: Settings, fruit: tuple[FruitParts, ...] = ()) -> None:
        self.must, self.plan, self.settings = must, plan, settings
        self.moisture_percent = plan.honey_moisture_percent or settings.honey_moisture_percent
        self.fruit = list(fruit)
        self.level_l = must.volume_l + sum(parts.pulp_ml for parts in fruit) / 1000.0
        self.additions: list[Addition] = []
        self.end: Must | None = None

    def put_in(self, task: Task, what: str | None, mass_g: float, more: Must) -> None:
        """Note and pour in what a step adds."""
        before, self.must = self.must.sg, mix(self.must, more)
        made = Addition(task.key, task.do, what, mass_g, before, self.must.sg, self.must.volume_l,
                        self.must.abv_percent)  # fmt: skip
        self.additions.append(made)
        # Of fruit, the part that is neither water nor sugar comes on top of what the juice adds.
        pulp_l = sum(parts.pulp_ml / 1000.0 for parts in self.fruit)
        self.level_l = max(self.level_l, self.must.volume_l + pulp_l)

    def feed(self, task: Task, left: int) -> None:
        """Feed honey at the gravity of the step."""
        at_sg = feed_at_sg(task.step)
        self.must = self.must if at_sg is None else down_to(self.must, at_sg)
        honey_g = feed_honey_g(self.must, self.plan, left, self.moisture_percent, at_sg)
        if honey_g >= LEAST_HONEY_G:
            self.put_in(task, None, honey_g, honey_must(honey_g, self.moisture_percent))

    def add_fruit(self, task: Task) -> None:
        """Put the planned fruit in; its room is counted with the air in it."""
        parts = planned_fruit(self.plan, task.what, self.plan.volume_l or self.must.volume_l)
        if parts is None:
            return
        at_sg = feed_at_sg(task.step)
        if task.step is not None and any(isinstance(one, AtEnd) for one in leaves(task.step.due)):
            at_sg = self.plan.end
        self.must = self.must if at_sg is None else down_to(self.must, max(at_sg, self.plan.end))
        self.level_l = max(self.level_l, self.must.volume_l + parts.displaces_l)
        self.fruit.append(parts)
        kind = task.what or (self.plan.fruit.kind if self.plan.fruit is not None else None)
        self.put_in(task, kind, parts.edible_g, Must(parts.water_g, parts.sugar_g))

    def pull(self) -> None:
        """Take the fruit out, and what clings to it."""
        self.lose(sum(parts.pulled_loss_l for parts in self.fruit))
        self.fruit = []

    def rack(self) -> None:
        """Rack off what has ended: the first time that, too, is where fruit comes out."""
        self.ferment_out()
        if self.fruit:
            self.pull()
        self.lose(self.must.volume_l * self.settings.rack_loss_percent / 100.0)

    def sweeten(self, task: Task) -> None:
        """Sweeten to the planned gravity."""
        self.ferment_out()
        if self.plan.sweet_to is None or self.plan.sweet_to <= self.must.sg:
            return
        honey_g = honey_to_sweeten(self.must, self.plan.sweet_to, self.moisture_percent)
        if honey_g >= LEAST_HONEY_G:
            self.put_in(task, None, honey_g, honey_must(honey_g, self.moisture_percent))

    def ferment_out(self) -> None:
        """Ferment to the plan's end; once is enough."""
        if self.end is None:
            self.must = self.end = down_to(self.must, self.plan.end)

    def lose(self, litres: float) -> None:
        """Lose so much at the composition that it has."""
        self.must = take_volume(self.must, max(0.0, self.must.volume_l - litres))[0]


def outcome(
    must: Must,
    tasks: Iterable[Task],
    plan: Plan,
    settings: Settings,
    fruit: tuple[FruitParts, ...] = (),
    *,
    ended: bool = False,
) -> Outcome:
    """Walk from `must` (what is in it now, `fruit` in it) over the open ones of `tasks`; with `ended` it ferments no
    more, whatever sugar is in it. Raises OutOfRange.
    """
    walk = _Walk(must, plan, settings, fruit)
    if ended:
        walk.end = must
    ahead = in_time([task for task in tasks if task.is_open])
    feeds = sum(1 for task in ahead if task.do == "feed")
    all_in, juice_l, dosed = _unfermented(must), 0.0, not any(task.do == "dose" for task in ahead)
    for task in ahead:
        before = len(walk.additions)
        if task.do == "feed":
            walk.feed(task, feeds)
            feeds -= 1
        elif task.do == "fruit":
            walk.add_fruit(task)
        elif task.do == "pull" and task.what in (None, "fruit") and walk.fruit:
            walk.pull()
        elif task.do == "rack":
            walk.rack()
        elif task.do == "sweeten":
            walk.sweeten(task)
        dosed = dosed or task.do == "dose"
        for added in walk.additions[before:]:
            if added.do == "feed":
                all_in = mix(all_in, honey_must(added.mass_g, walk.moisture_percent))
            elif added.do == "fruit" and not dosed:
                juice = Must(walk.fruit[-1].water_g, walk.fruit[-1].sugar_g)
                all_in, juice_l = mix(all_in, juice), juice_l + juice.volume_l
    walk.ferment_out()
    if walk.fruit:
        walk.pull()
    return Outcome(tuple(walk.additions), all_in, juice_l, walk.end or walk.must, walk.must, walk.level_l)


def planned_fruit(plan: Plan, what: str | None, volume_l: float) -> FruitParts | None:
    """Return what the planned fruit brings, the usual mass where none is named; None where nobody knows the fruit."""
    planned = plan.fruit
    kind = what or (None if planned is None else planned.kind)
    if kind is None:
        return None
    own = planned if planned is not None and planned.kind == kind else None
    mass_g = own.mass_g if own is not None and own.mass_g is not None else volume_l * FRUIT_G_PER_L
    try:
        return fruit_parts(kind, mass_g, (own.treatment if own else None) or "raw")
    except (UnknownFruit, OutOfRange):
        return None


def in_time(tasks: Iterable[Task]) -> list[Task]:
    """Return tasks by their likely day, those without one where the schedule has them."""
    keyed: list[tuple[float, Task]] = []
    last = float("-inf")
    for task in tasks:
        last = last if task.likely is None else task.likely.timestamp()
        keyed.append((last, task))
    return [task for _, task in sorted(keyed, key=lambda one: one[0])]


def _unfermented(must: Must) -> Must:
    return Must(must.water_g, must.sugar_g + must.ethanol_g * EXTRACT_PER_ETHANOL)
