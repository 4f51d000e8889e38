"""What a plan asks for, explained before anything is written: honey, water, strength, yeast, nutrient, fruit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fermtui.explain import nutrients, sugar
from fermtui.explain.explained import Explained, Input
from fermtui.explain.strength import BALLING, DENSITY
from fermtui.must.fruit import fruit_parts
from fermtui.must.nutrients import YEAST_G_PER_L, YEAST_LEAST_G, YEAST_MORE_FROM_SG, YEAST_TWICE_AT_SG
from fermtui.schedule.met_at import FEED_RISE_SG

if TYPE_CHECKING:
    from fermtui.daybook.settings import Settings
    from fermtui.schedule.outcome import Addition
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
            "the extract that is gone once it stands at its end, turned into alcohol, in all that is in it then: "
            "the water and the sugar of fruit and fed honey count",
            (Input("from", plan.gravity, "SG"), Input("end", head.end, "SG"), *_added(plan, ("feed", "fruit"))),
            f"{BALLING}; {DENSITY}",
        ),
        Explained(
            "volume at the end", plan.outcome.final.volume_l, "L",
            "what was mixed and what is added, less what clings to pulled fruit and "
            f"{settings.rack_loss_percent:g} % at each racking",
            (Input("wanted volume", volume_l, "L"), *_added(plan, ("feed", "fruit", "sweeten"))),
            "mass balance; the losses are estimates (rack_loss_percent in cellar.toml), no source",
        ),
        Explained(
            "yeast", plan.yeast_g, "g",
            f"{YEAST_G_PER_L:g} g a litre and no less than {YEAST_LEAST_G:g} g; above {YEAST_MORE_FROM_SG:.3f} more, "
            f"twice as much at {YEAST_TWICE_AT_SG:.3f}",
            (Input("volume", volume_l, "L"), Input("gravity", plan.gravity, "SG")), "common practice, no source",
        ),
    ]  # fmt: skip
    found += [_feed(added, moisture) for added in plan.outcome.additions if added.do == "feed"]
    found += [
        sugar.honey(
            added.mass_g, volume_l=added.volume_l, from_sg=added.from_sg, to_sg=added.to_sg, moisture_percent=moisture
        )._replace(name="honey to sweeten")
        for added in plan.outcome.additions
        if added.do == "sweeten"
    ]
    if plan.doses is not None:
        label = settings.nutrients
        all_in = plan.outcome.all_in
        brix, demand = all_in.extract_mass_percent, head.yeast.demand
        found.append(nutrients.nitrogen_need(plan.doses, brix, demand, label.demand_factor(demand)))
        found += nutrients.nitrogen_grams(
            plan.doses, all_in.volume_l, inorganic_share=label.inorganic_share,
            autolysate_n_percent=label.autolysate_n_percent, effect=label.autolysate_effect,
        )  # fmt: skip
    if head.fruit is not None and head.fruit.mass_g:
        grams = head.fruit.mass_g
        found += sugar.fruit(fruit_parts(head.fruit.kind, grams, head.fruit.treatment or "raw"), grams)
    return tuple(found)


def _added(plan: Preview, kinds: tuple[str, ...]) -> tuple[Input, ...]:
    """What goes in on the way, as inputs of a sum."""
    names = {"feed": "honey fed", "sweeten": "honey to sweeten"}
    return tuple(
        Input(names.get(added.do) or f"{added.what}", added.mass_g, "g")
        for added in plan.outcome.additions
        if added.do in kinds
    )


def _feed(added: Addition, moisture_percent: float) -> Explained:
    return Explained(
        f"honey of {added.task}", added.mass_g, "g",
        "an equal part of the honey that the wanted strength still needs once it stands at the first gravity, and no "
        f"more than lifts it by {FEED_RISE_SG:.3f}",
        (
            Input("from", added.from_sg, "SG"), Input("to", added.to_sg, "SG"),
            Input("volume after it", added.volume_l, "L"), Input("moisture of the honey", moisture_percent, "%"),
        ),
        "mass balance; the rise of one feed is a careful guess, no source",
    )  # fmt: skip
