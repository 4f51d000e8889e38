"""What is sealed: bottles, pressure."""

from __future__ import annotations

from fermtui.bench.options import GivenOptions
from fermtui.bench.result import Sum, Value
from fermtui.explain import bottles as how
from fermtui.explain.explained import Explained
from fermtui.must.bottles import (
    CO2_G_PER_VOLUME,
    Start,
    bottle_count,
    closures_for,
    glass,
    line_bar,
    most_sugar_g_per_l,
    most_volumes,
    pressure_bar_excess,
    priming,
    volume_after_losses_l,
)
from fermtui.must.limits import OutOfRange
from fermtui.must.plus_minus import SUGAR_REL_SD, pressure_bar, primed_bar

WARM_C, WARM_ROOM_C = 25.0, 30.0


def bottles(given: GivenOptions) -> Sum:
    """Full bottles after losses; sugar for a wanted fizz; closures for planned years."""
    volume_l, loss = given.number("volume"), given.number("loss-percent")
    after_l = volume_after_losses_l(
        volume_l,
        rackings=int(_whole(given, "rackings")),
        fruit_loss_l=given.number("fruit-loss"),
        ferment_loss_percent=loss,
    )
    count = bottle_count(after_l, given.number("size"))
    values: dict[str, Value] = {
        "count": count.count,
        "left_l": count.left_l,
        "filled_l": count.filled_l,
        "after_losses_l": after_l,
    }
    steps: list[Explained] = [how.bottles(count, volume_l, 100.0 * (1.0 - after_l / volume_l) if volume_l else 0.0)]
    keys = ["ullage"]
    kind = given.word("glass")
    fizz = given.maybe("fizz")
    if fizz is not None and after_l > 0.0:
        warmest_c, sugar = given.number("warmest"), given.word("prime-with")
        made = priming(after_l, fizz, warmest_c, sugar)
        values |= {
            "priming_g": made.sugar_g,
            "residual_volumes": made.residual_volumes,
            "bar_at_20c": made.bar_at_20c,
            "bar_at_30c": made.bar_at_30c,
            "bar_plus_minus": primed_bar(made.co2_g_per_l / CO2_G_PER_VOLUME, WARM_ROOM_C, warmest_c),
            "glass_limit_bar": glass(kind).limit_bar,
            "glass_warm_limit_bar": glass(kind).warm_limit_bar,
            "within_glass": glass(kind).holds(made.bar_at_20c, made.bar_at_30c),
            "most_volumes": most_volumes(kind),
        }
        most = most_volumes(kind)
        steps.append(
            how.priming(made, volume_l=after_l, volumes=fizz, warmest_c=warmest_c, kind=sugar, most_volumes=most)
        )
        keys += ["sparkling_glass"]
    years = given.maybe("years")
    if years is not None:
        values["closures"] = tuple(closure.key for closure in closures_for(years, kind))
    return Sum("bottles", values, tuple(keys), tuple(steps))


def _whole(given: GivenOptions, name: str) -> float:
    value = given.number(name)
    if value != int(value):
        raise OutOfRange(f"{name} {value:g} is not a whole number: they are counted")
    return value


def pressure(given: GivenOptions) -> Sum:
    """Excess pressure in a sealed bottle once sugar in it has fermented."""
    sugar, temp_c, size = given.number("sugar"), given.number("temp"), given.number("size")
    start: Start = "degassed" if given.word("start") == "degassed" else "saturated"
    kind = glass(given.word("glass"))

    def at(celsius: float) -> float:
        return pressure_bar_excess(sugar, celsius, start=start, bottle_ml=size)

    bar, at_20c, at_30c = at(temp_c), at(20.0), at(30.0)
    values: dict[str, Value] = {
        "bar_excess": bar,
        "bar_at_20c": at_20c,
        "bar_at_30c": at_30c,
        "bar_plus_minus": pressure_bar(sugar, WARM_ROOM_C, start=start, bottle_ml=size, sugar_sd=SUGAR_REL_SD * sugar),
        "glass_limit_bar": kind.limit_bar,
        "glass_warm_limit_bar": kind.warm_limit_bar,
        "within_glass": kind.holds(at_20c, at_30c),
        "sugar_within_glass_g_per_l": most_sugar_g_per_l(kind.key, size),
        "cork_moves_above_bar": line_bar("cork_pushed"),
    }
    keys = []
    if not kind.holds(at_20c, at_30c) or sugar > 0.0:
        keys.append("bottle_bomb" if kind.key == "still" else "sparkling_glass")
    if temp_c >= WARM_C:
        keys.append("cool_store")
    step = how.pressure(bar, sugar_g_per_l=sugar, temp_c=temp_c, bottle_ml=size, start=start)
    return Sum("pressure", values, tuple(keys), (step,))
