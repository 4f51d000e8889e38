"""What brings sugar: honey, sweeten."""

from __future__ import annotations

from fermtui.bench.options import GivenOptions, WrongOptions
from fermtui.bench.result import Sum, Value
from fermtui.explain import strength as strong
from fermtui.explain import sugar as how
from fermtui.explain.explained import Explained, Input
from fermtui.must import honey as balance
from fermtui.must.composition import Must, ferment_to, from_gravity_and_abv, lowest_sg, mix
from fermtui.must.density import RHO_WATER_20
from fermtui.must.honey import Recipe, honey_must
from fermtui.must.plus_minus import honey_to_sweeten_g
from fermtui.must.strength import OG_NOT_READ_SD, abv_plus_minus


def honey(given: GivenOptions) -> Sum:
    """Honey and water for a volume: of a gravity, or of a strength once it has fermented to `end`; juice, feeding."""
    volume_l, end = given.number("volume"), given.number("end")
    moisture = _moisture(given)
    abv, gravity = given.maybe("abv"), given.maybe("gravity")
    if abv is None and gravity is None:
        raise WrongOptions(
            "honey needs {}, or {} (the strength wanted once it has fermented to {})", "gravity", "abv", "end"
        )
    if gravity is None:
        gravity = balance.recipe_for_strength(1.0, abv or 0.0, end, moisture).must.sg
        made = _recipe(given, volume_l, gravity, moisture)
        feeds: tuple[float, ...] = ()
    else:
        made = _recipe(given, volume_l, gravity, moisture)
        feeds = () if abv is None else _feeds(given, made.must, abv, end, moisture)
    values: dict[str, Value] = {"honey_g": made.honey_g, "water_l": made.water_l}
    if made.juice_l:
        values["juice_l"] = made.juice_l
    values |= {"gravity": made.must.sg, "moisture_percent": moisture}
    whole = mix(made.must, *(honey_must(fed, moisture) for fed in feeds))
    if end <= whole.sg:
        done, fermented_g = ferment_to(whole, max(end, lowest_sg(whole)))
        values["potential_abv_percent"] = done.abv_percent
        # Mixed by weight and not read yet, fed without a reading.
        values["potential_abv_plus_minus"] = abv_plus_minus(
            done, fermented_g=fermented_g, og_sd=OG_NOT_READ_SD, honey_added_unmeasured_g=sum(feeds)
        )
    if feeds:
        values |= {"feed_g": sum(feeds), "feeds_g": feeds}
    steps = _recipe_steps(made, volume_l, moisture)
    return Sum("honey", values, ("headspace",), steps)


def _moisture(given: GivenOptions) -> float:
    index = given.maybe("index")
    return given.number("moisture") if index is None else balance.moisture_from_refractive_index(index)


def _recipe(given: GivenOptions, volume_l: float, gravity: float, moisture: float) -> Recipe:
    juice_sg, juice_l = given.maybe("juice-gravity"), given.maybe("juice")
    if juice_sg is None:
        if juice_l is not None:
            raise WrongOptions("honey with {} needs {} as well", "juice", "juice-gravity")
        return balance.recipe(volume_l, gravity, moisture)
    return balance.recipe_with_juice(volume_l, gravity, juice_sg, juice_l, moisture)


def _feeds(given: GivenOptions, must: Must, abv: float, end: float, moisture: float) -> tuple[float, ...]:
    low, high = given.maybe("feed-at"), given.maybe("feed-to")
    if (low is None) != (high is None):
        raise WrongOptions("honey takes {} and {} together", "feed-at", "feed-to")
    if low is None or high is None:
        whole = balance.honey_for_strength(must, abv, end, moisture)
        return (whole,) if whole > 0.0 else ()
    return balance.step_feeds(must, abv, end, feed_at_sg=low, up_to_sg=high, moisture_percent=moisture)


def _recipe_steps(made: Recipe, volume_l: float, moisture: float) -> tuple[Explained, ...]:
    inputs = (
        Input("volume at 20 °C", volume_l, "L"),
        Input("gravity", made.must.sg, "SG"),
        Input("sugar in it", made.must.sugar_g, "g"),
        Input("water in it", made.must.water_g, "g"),
        Input("moisture of the honey", moisture, "%"),
        Input("juice", made.juice_l, "L"),
    )
    source = f"mass balance; {strong.DENSITY}"
    return (
        Explained("honey", made.honey_g, "g", "(sugar - sugar of the juice) / (1 - moisture)", inputs, source),
        Explained("water", made.water_l, "L", "(water - water of juice and honey) / "
                  f"{RHO_WATER_20 / 1000:.5f} kg/L", inputs, source),
    )  # fmt: skip


def sweeten(given: GivenOptions) -> Sum:
    """Honey for a wanted gravity in a finished mead, and what becomes of volume and strength."""
    volume_l, to = given.number("volume"), given.number("to")
    moisture = given.number("moisture")
    before = from_gravity_and_abv(volume_l, given.number("from"), given.number("abv"))
    grams = balance.honey_to_sweeten(before, to, moisture)
    after = mix(before, honey_must(grams, moisture))
    values: dict[str, Value] = {
        "honey_g": grams,
        "honey_plus_minus_g": honey_to_sweeten_g(before, to, moisture),
        "volume_after_l": after.volume_l,
        "abv_after_percent": after.abv_percent,
        "sugar_added_g_per_l": (after.sugar_g - before.sugar_g) / after.volume_l,
    }
    steps = (
        how.honey(grams, volume_l=volume_l, from_sg=before.sg, to_sg=to, moisture_percent=moisture),
        strong.strength(after, "strength after"),
    )
    return Sum("sweeten", values, ("sweeten_order",), steps)
