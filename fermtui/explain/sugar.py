"""Honey and fruit: how grams, water and room come about."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fermtui.explain.explained import Explained, Input

if TYPE_CHECKING:
    from fermtui.must.fruit import FruitParts


def honey(grams: float, *, volume_l: float, from_sg: float, to_sg: float, moisture_percent: float) -> Explained:
    """Honey that lifts a gravity, its own water and volume counted."""
    return Explained(
        "honey",
        grams,
        "g",
        "so much that water, sugar and alcohol, with the honey's own water and sugar, have the wanted gravity",
        (
            Input("volume", volume_l, "L"),
            Input("from", from_sg, "SG"),
            Input("to", to_sg, "SG"),
            Input("moisture of the honey", moisture_percent, "%"),
        ),
        "mass balance; moisture 17.1 %: USDA nutrient data base 19296, unless another is given",
    )


def fruit(parts: FruitParts, mass_g: float) -> tuple[Explained, ...]:
    """Sugar, water and room of fruit."""
    of = parts.fruit
    given = Input(f"{of.name}, {of.form}", mass_g, "g")
    eaten = Input("edible part", parts.edible_g, "g")
    source = of.source + (f"; {of.counted_for} is counted as its relative" if of.counted_for else "")
    return (
        Explained("sugar of the fruit", parts.sugar_g, "g", "edible part x sugar", (
            given, eaten, Input("sugar", of.sugar_percent, "%"), Input("give or take", parts.sugar_sd_g, "g"),
        ), source),
        Explained("water of the fruit", parts.water_g, "g", "edible part x water", (
            given, eaten, Input("water", of.water_percent, "%"),
        ), source),
        Explained("room that the fruit takes", parts.displaces_l, "L", "mass / density / (1 - air in whole fruit)", (
            given, Input("density", f"{of.density_g_per_ml:g} g/mL"), Input("air in whole fruit", of.air_share),
        ), "density by Choi & Okos (1986) from the composition; air in whole fruit as the table says"),
    )  # fmt: skip
