"""What a ferment does to the air of a room: air."""

from __future__ import annotations

from fermtui.bench.options import GivenOptions
from fermtui.bench.result import Sum, Value
from fermtui.explain import air as how
from fermtui.must import air as gas
from fermtui.must.composition import ferment_to, from_gravity
from fermtui.must.limits import OutOfRange


def air(given: GivenOptions) -> Sum:
    """CO2 of a ferment in a closed room."""
    volume_l, og, end = given.number("volume"), given.number("gravity"), given.number("end")
    room_m3, temp_c = given.number("room"), given.number("temp")
    if end > og:
        raise OutOfRange(f"end {end:.4f} is above the {og:.4f} that it begins at: nothing ferments")
    must = from_gravity(volume_l, og)
    done, _ = ferment_to(must, end)
    co2_g = gas.co2_of_ethanol_g(done.ethanol_g)
    level = gas.room_air(co2_g, room_m3, temp_c)
    values: dict[str, Value] = {
        "co2_g": co2_g,
        "co2_l": level.co2_l,
        "co2_ppm": level.level_ppm,
        "co2_rise_ppm": level.rise_ppm,
        "passed": level.passed,
        "co2_most_g": gas.co2_of_sugar_g(must.sugar_g),
    }
    now = given.maybe("now")
    if now is not None:
        given_off = gas.co2_of_ethanol_g(ferment_to(must, max(now, end))[0].ethanol_g)
        values |= {"co2_so_far_g": given_off, "co2_to_come_g": co2_g - given_off}
    steps = (
        how.carbon_dioxide(co2_g, done.ethanol_g, from_sg=og, to_sg=end, volume_l=volume_l),
        how.room(level, room_m3, temp_c),
    )
    return Sum("air", values, ("room_air",), steps)
