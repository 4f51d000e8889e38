"""Honey, water and juice of the must that is mixed first, by the gravity or the strength that is wanted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fermtui.must.composition import Must, from_gravity, mix
from fermtui.must.honey import USUAL_JUICE_SG, recipe, recipe_for_strength, recipe_with_juice
from fermtui.must.root_finding import find_root
from fermtui.schedule.feeding import down_to, fed_start_sg
from fermtui.schedule.outcome import planned_fruit
from fermtui.writing.plan_checks import MOST_SG
from fermtui.writing.wanted import PlanUnfit

if TYPE_CHECKING:
    from fermtui.daybook.head import Plan
    from fermtui.daybook.settings import Settings
    from fermtui.schedule.steps import Step
    from fermtui.writing.wanted import Wanted

CLOSE_ABV = 0.001


def ingredients(
    wanted: Wanted, plan: Plan, settings: Settings, feeds: tuple[Step, ...]
) -> tuple[Must, float, float, float]:
    """(must, g of honey, L of water, L of juice) of what is mixed first. Raises OutOfRange, PlanUnfit."""
    moisture = wanted.honey_moisture_percent or settings.honey_moisture_percent
    if wanted.gravity is None and wanted.abv_percent is None:
        raise PlanUnfit("say how strong it is to be: a gravity such as 1.095, or a strength such as 12 % vol")
    if wanted.gravity is not None and wanted.abv_percent is not None and not feeds:
        raise PlanUnfit(
            "a gravity and a strength together need a schedule that feeds honey, such as strong-step-fed: "
            "give one of them, or take that schedule"
        )
    gravity = wanted.gravity
    if gravity is None:
        gravity = _gravity_for(plan, wanted.volume_l, wanted.abv_percent or 0.0, moisture)
        if feeds:
            gravity = fed_start_sg(plan, gravity, feeds, moisture)
    if gravity < 1.005:
        raise PlanUnfit(f"a must of {gravity:.3f} has no sugar to ferment: from 1.030 on it is a light mead")
    if wanted.juice_l:
        made = recipe_with_juice(wanted.volume_l, gravity, wanted.juice_sg or USUAL_JUICE_SG, wanted.juice_l, moisture)
    elif wanted.juice_sg is not None:
        raise PlanUnfit("the gravity of a juice without its volume: say how much juice goes in, or leave it out")
    else:
        made = recipe(wanted.volume_l, gravity, moisture)
    return made.must, made.honey_g, made.water_l, made.juice_l


def _gravity_for(plan: Plan, volume_l: float, abv_percent: float, moisture_percent: float) -> float:
    """The gravity of a must that comes to a strength once its fruit is in and all of it stands at the plan's end: fruit
    brings more water than sugar. Raises OutOfRange, PlanUnfit.
    """
    alone = recipe_for_strength(volume_l, abv_percent, plan.end, moisture_percent).must.sg
    parts = planned_fruit(plan, None, volume_l)
    if parts is None:
        return alone
    juice = Must(parts.water_g, parts.sugar_g)

    def short(sg: float) -> float:
        return down_to(mix(from_gravity(volume_l, sg), juice), plan.end).abv_percent - abv_percent

    found = find_root(short, 1.0, MOST_SG, close=CLOSE_ABV)
    if found is None:
        raise PlanUnfit(
            f"with so much fruit no must of {MOST_SG:.3f} or less comes to {abv_percent:g} % vol: take less fruit or "
            "want less strength"
        )
    return found
