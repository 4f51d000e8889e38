"""What a plan asks for, explained before anything is written: honey, water, strength, yeast, nutrient, fruit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fermtui.explain import nutrients, sugar
from fermtui.explain.explained import Explained, Input
from fermtui.explain.strength import BALLING, DENSITY
from fermtui.must.composition import from_gravity
from fermtui.must.fruit import fruit_parts
from fermtui.writing.planning import YEAST_G_PER_L, YEAST_LEAST_G

if TYPE_CHECKING:
    from fermtui.daybook.settings import Settings
    from fermtui.writing.planning import Preview


def explain_plan(plan: Preview, settings: Settings) -> tuple[Explained, ...]:
    """Every number of a plan, in the order of its page."""
    head = plan.head.plan
    volume_l, moisture = head.volume_l or 0.0, head.honey_moisture_percent or settings.honey_moisture_percent
    wanted = (Input("wanted volume", volume_l, "L"), Input("wanted gravity", plan.gravity, "SG"))
    juice = (Input("juice", plan.juice_l, "L"),) if plan.juice_l else ()
    found = [
        Explained(
            "honey", plan.honey_g, "g",
            f"so much that its sugar{' and that of the juice' if juice else ''} in the wanted volume has that gravity",
            (*wanted, Input("moisture of the honey", moisture, "%"), *juice),
            "mass balance; moisture 17.1 %: USDA nutrient data base 19296, unless another is given",
        ),
        Explained(
            "water", plan.water_l, "L", "what the wanted must holds of water, less what honey and juice bring",
            (*wanted, Input("honey", plan.honey_g, "g"), *juice), f"mass balance; {DENSITY}",
        ),
        Explained(
            "strength at the end", plan.end_abv_percent, "% vol",
            "the extract that is gone once it stands at its end, turned into alcohol",
            (Input("from", plan.gravity, "SG"), Input("end", head.end, "SG")), f"{BALLING}; {DENSITY}",
        ),
        Explained(
            "yeast", plan.yeast_g, "g", f"{YEAST_G_PER_L:g} g a litre, and no less than {YEAST_LEAST_G:g} g",
            (Input("volume", volume_l, "L"),), "common practice, no source",
        ),
    ]  # fmt: skip
    if plan.doses is not None:
        label = settings.nutrients
        brix, demand = from_gravity(1.0, plan.gravity).extract_mass_percent, head.yeast.demand
        found.append(nutrients.nitrogen_need(plan.doses, brix, demand, label.demand_factor(demand)))
        found += nutrients.nitrogen_grams(
            plan.doses, volume_l, inorganic_share=label.inorganic_share,
            autolysate_n_percent=label.autolysate_n_percent, effect=label.autolysate_effect,
        )  # fmt: skip
    if head.fruit is not None and head.fruit.mass_g:
        grams = head.fruit.mass_g
        found += sugar.fruit(fruit_parts(head.fruit.kind, grams, head.fruit.treatment or "raw"), grams)
    return tuple(found)
