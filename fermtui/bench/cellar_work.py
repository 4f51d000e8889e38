"""Work in the cellar: yeast, additive, pasteurise, keg, freeze, energy, size, scales, potential."""

from __future__ import annotations

from fermtui.bench.options import GivenOptions, WrongOptions
from fermtui.bench.result import Sum, Value
from fermtui.explain.explained import Explained, Input
from fermtui.explain.strength import DENSITY
from fermtui.must import bottles, hydrometer_scales, limits, round_vessel
from fermtui.must.composition import ferment_to, from_gravity, from_gravity_and_abv, lowest_sg
from fermtui.must.energy import energy as energy_of
from fermtui.must.freezing import PLUS_MINUS_C, freezing_point_c
from fermtui.must.limits import OutOfRange, within
from fermtui.must.nutrients import (
    YEAST_G_PER_L,
    YEAST_LEAST_G,
    YEAST_MORE_FROM_SG,
    YEAST_TWICE_AT_SG,
    rehydration,
    yeast_g,
)
from fermtui.must.pasteurising import pasteurising_units

PRACTICE = "common practice, no source"
ADDITIVES = {
    "bentonite": (0.3, 1.0, "in hot water a day before, stirred in; rack when it has settled"),
    "tannin": (0.05, 0.3, "dissolved in a little mead; taste after a week"),
    "oak chips": (1.0, 4.0, "one to four weeks; taste weekly"),
    "oak cubes": (2.0, 4.0, "one to six months; taste weekly"),
}
"""g/L from and to, and how: common practice, no source."""
POTENTIAL = tuple(1.050 + 0.005 * step for step in range(21))
KEG_NEAR_SHARE = 0.05


def yeast(given: GivenOptions) -> Sum:
    """Dry yeast for a must, by its gravity and volume, and the water that wakes it."""
    volume_l, sg = limits.volume_l(given.number("volume")), given.number("gravity")
    grams = yeast_g(volume_l, sg)
    woken = rehydration(grams)
    inputs = (Input("volume", volume_l, "L"), Input("gravity", sg, "SG"))
    formula = (
        f"{YEAST_G_PER_L:g} g a litre and no less than {YEAST_LEAST_G:g} g; above {YEAST_MORE_FROM_SG:.3f} more, "
        f"twice as much at {YEAST_TWICE_AT_SG:.3f}"
    )
    step = Explained("dry yeast", grams, "g", formula, inputs, f"{PRACTICE}: the packet goes first")
    values: dict[str, Value] = {
        "yeast_g": grams, "rehydration_water_ml": woken.water_ml, "rehydration_nutrient_g": woken.nutrient_g,
    }  # fmt: skip
    return Sum("yeast", values, (), (step,))


def additive(given: GivenOptions) -> Sum:
    """Grams of finings, tannin or oak, from and to, and for a trial in a glass."""
    volume_l, kind = limits.volume_l(given.number("volume")), given.word("kind")
    low, high, way = ADDITIVES[kind]
    values: dict[str, Value] = {
        "from_g": low * volume_l, "up_to_g": high * volume_l, "trial_from_g": low * 0.1, "trial_up_to_g": high * 0.1,
        "how": way,
    }  # fmt: skip
    inputs = (Input("volume", volume_l, "L"), Input("from", low, "g/L"), Input("to", high, "g/L"))
    step = Explained("up to", high * volume_l, "g", "volume * g/L; the trial is for 100 mL", inputs, PRACTICE)
    return Sum("additive", values, (), (step,))


def pasteurise(given: GivenOptions) -> Sum:
    """Pasteurising units of a time at a temperature, or the minutes that they take."""
    temp_c, minutes, wanted = given.number("temp"), given.maybe("minutes"), given.number("units")
    rate = pasteurising_units(1.0, temp_c)
    values: dict[str, Value] = {"units_a_minute": rate}
    if minutes is not None:
        values["units"] = pasteurising_units(minutes, temp_c)
    if rate <= 0.0:
        raise OutOfRange(f"below 50 °C yeast is not killed in a sum of minutes: {temp_c:g} °C counts nothing")
    values["minutes_needed"] = wanted / rate
    inputs = (Input("of the drink itself", temp_c, "°C"), Input("units wanted", wanted))
    source = "Del Vecchio, Dayharsh and Baselt 1951, as quoted in handbooks; 50 units for a sweet drink: " + PRACTICE
    step = Explained("minutes needed", wanted / rate, "min", "units / 1.393^(T - 60)", inputs, source)
    return Sum("pasteurise", values, ("heat_bottles",), (step,))


def keg(given: GivenOptions) -> Sum:
    """The pressure that a keg is set to for wanted volumes of CO2 at its temperature."""
    volumes, temp_c = given.number("fizz"), given.number("temp")
    bar = bottles.volumes_to_bar(volumes, temp_c)
    if bar < 0.0:
        least = bottles.residual_volumes(temp_c)
        stays = f"{volumes:g} volumes stay in without pressure at {temp_c:g} °C"
        raise OutOfRange(f"{stays}: from {least:.1f} on it takes some")
    inputs = (Input("volumes", volumes), Input("temperature", temp_c, "°C"), Input("of water", bottles.MEAD_FACTOR))
    step = Explained(
        "pressure above air", bar, "bar", "volumes * 1.96 g/L / solubility - 1.013 bar", inputs,
        "Weiss 1974 times 0.90 for mead; within 5 % of the table that is usual for beer",
    )  # fmt: skip
    near = KEG_NEAR_SHARE * (bar + 1.013)
    values: dict[str, Value] = {"keg_bar": bar, "keg_plus_minus_bar": near, "keg_psi": bar * 14.504}
    return Sum("keg", values, ("keg_pressure",), (step,))


def freeze(given: GivenOptions) -> Sum:
    """The temperature at which ice begins to form."""
    must = from_gravity_and_abv(1.0, given.number("gravity"), given.number("abv"))
    point = freezing_point_c(must)
    inputs = (Input("strength", must.abv_percent, "% vol"), Input("sugar", must.sugar_g_per_l, "g/L"))
    step = Explained(
        "freezing point", point, "°C", "table of ethanol in water, less 1.86 K for each mole of sugar in a kg of water",
        inputs, "CRC Handbook, from memory; ideal up to 5 % vol",
    )  # fmt: skip
    return Sum("freeze", {"freezing_c": point, "freezing_plus_minus_c": PLUS_MINUS_C}, ("full_glass_cold",), (step,))


def energy(given: GivenOptions) -> Sum:
    """Energy, alcohol and sugar of a glass."""
    found = energy_of(given.number("glass"), given.number("abv"), given.number("sugar"), given.number("acid"))
    values: dict[str, Value] = {
        "energy_kj": found.kj, "energy_kcal": found.kcal, "alcohol_g": found.ethanol_g, "sugar_g": found.sugar_g,
    }  # fmt: skip
    inputs = (Input("alcohol", found.ethanol_g, "g"), Input("sugar", found.sugar_g, "g"))
    formula = "29 kJ/g of alcohol + 17 of sugar + 13 of acid"
    source = "Regulation (EU) No 1169/2011, Annex XIV"
    return Sum("energy", values, ("drink",), (Explained("energy", found.kj, "kJ", formula, inputs, source),))


def size(given: GivenOptions) -> Sum:
    """What a vessel holds, by tape or by weight of water."""
    water, around = given.maybe("water"), given.maybe("around")
    inputs: tuple[Input, ...]
    if (water is None) == (around is None):
        raise WrongOptions("size needs {} (weighed), or {} and {} (by tape)", "water", "around", "height")
    if water is not None:
        temp_c = given.number("temp")
        litres = round_vessel.volume_by_weight_l(water / 1000.0, temp_c)
        inputs = (Input("water", water / 1000.0, "kg"), Input("temperature", temp_c, "°C"))
        step = Explained("it holds", litres, "L", "mass / density of water", inputs, DENSITY)
    else:
        height, wall = given.needs("height", "{}", "around"), given.number("wall")
        litres = round_vessel.round_volume_l(around or 0.0, height, wall)
        inputs = (Input("around", around, "cm"), Input("height", height, "cm"), Input("wall", wall, "mm"))
        step = Explained("it holds", litres, "L", "pi / 4 * (around / pi - 2 walls)^2 * height", inputs, "geometry")
    return Sum("size", {"holds_l": litres}, (), (step,))


def scales(given: GivenOptions) -> Sum:
    """One density on every scale."""
    scale = given.one_of("gravity", *hydrometer_scales.SCALES)
    shown = given.number(scale)
    sg = shown if scale == "gravity" else hydrometer_scales.sg_of_mark(scale, shown)
    within("gravity", sg, 0.98, 1.29, "SG", "the scales end there")
    values: dict[str, Value] = {"sg_20_20": sg}
    values |= {f"degrees_{name}": hydrometer_scales.mark_of_sg(name, sg) for name in hydrometer_scales.SCALES}
    source = "OIV-MA-AS2-01 (Oechsle); ICUMSA SPS-4 (Plato); from memory: NBS modulus 145 (Baumé), Klosterneuburg (KMW)"
    step = Explained("gravity at 20 °C", sg, "SG", "by the definition of each scale", (Input(scale, shown),), source)
    return Sum("scales", values, (), (step,))


def potential(given: GivenOptions) -> Sum:
    """A table: what strength a must of each gravity comes to at an end."""
    end = given.number("end")
    rows = []
    for sg in POTENTIAL:
        must = from_gravity(1.0, sg)
        done = ferment_to(must, max(end, lowest_sg(must)))[0] if end < sg else must
        rows.append(round(done.abv_percent, 1))
    gravities = tuple(round(sg, 3) for sg in POTENTIAL)
    values: dict[str, Value] = {"from_gravities": gravities, "strengths_percent": tuple(rows)}
    step = Explained(
        "strength", rows[-1], "% vol", "extract / 2.0665 as ethanol, by mass balance", (Input("end", end, "SG"),),
        f"Balling; {DENSITY}",
    )  # fmt: skip
    return Sum("potential", values, (), (step,))
