"""Two meads, or mead and spirit, together; a strength without an original gravity: blend, fortify, unknown."""

from __future__ import annotations

from math import hypot

from fermtui.bench.options import GivenOptions, WrongOptions
from fermtui.bench.result import Sum, Value
from fermtui.explain import strength as how
from fermtui.explain.explained import Explained, Input, with_plus_minus
from fermtui.must import without_original
from fermtui.must.composition import Must, from_gravity_and_abv, mix
from fermtui.must.limits import OutOfRange
from fermtui.must.root_finding import find_root

KNOWN_ABV = 0.3
"""How well the strength of a mead is known, in % vol."""


def blend(given: GivenOptions) -> Sum:
    """Two meads together, by their volumes or to a strength or a gravity."""
    first = from_gravity_and_abv(1.0, given.number("gravity"), given.number("abv"))
    second = from_gravity_and_abv(1.0, given.number("with-gravity"), given.number("with-abv"))
    volume_l, with_l = given.maybe("volume"), given.maybe("with-volume")
    to_abv, to_sg = given.maybe("to-abv"), given.maybe("to")
    if (to_abv is None) == (to_sg is None) and with_l is None:
        raise WrongOptions("blend needs {}, or one of {} and {}", "with-volume", "to-abv", "to")
    if volume_l is None:
        raise WrongOptions("blend needs {}", "volume")
    if with_l is None:
        with_l = _to_reach(first, second, volume_l, to_abv, to_sg)
    made = mix(_litres(first, volume_l), _litres(second, with_l))
    near = hypot(volume_l * KNOWN_ABV, with_l * KNOWN_ABV) / (volume_l + with_l)
    values: dict[str, Value] = {
        "first_l": volume_l, "second_l": with_l, "volume_l": made.volume_l, "sg_20_20": made.sg,
        "abv_percent": made.abv_percent, "plus_minus": near,
    }  # fmt: skip
    steps = (how.mixture("gravity at 20 °C", made.sg, "SG", made), with_plus_minus(how.strength(made), near))
    return Sum("blend", values, ("blend_live",), steps)


def _to_reach(first: Must, second: Must, volume_l: float, to_abv: float | None, to_sg: float | None) -> float:
    """Litres of the second for so many of the first."""

    def off(with_l: float) -> float:
        made = mix(_litres(first, volume_l), _litres(second, with_l))
        return made.abv_percent - to_abv if to_abv is not None else 1000.0 * (made.sg - (to_sg or 0.0))

    found = find_root(off, 0.0, 1000.0 * volume_l, close=1e-6)
    if found is None:
        wanted = f"{to_abv:g} % vol" if to_abv is not None else f"{to_sg:.4f}"
        raise OutOfRange(f"no blend of the two comes to {wanted}: it lies between what the one and the other have")
    return found


def fortify(given: GivenOptions) -> Sum:
    """Spirit into mead, by a wanted strength or by what is poured in; volumes shrink a little."""
    base = from_gravity_and_abv(given.number("volume"), given.number("gravity"), given.number("abv"))
    strong = given.number("spirit-abv")
    spirit = _spirit(strong)
    to, poured_l = given.maybe("to-abv"), given.maybe("spirit")
    if (to is None) == (poured_l is None):
        raise WrongOptions("fortify needs one of {} and {}", "to-abv", "spirit")
    if poured_l is None:
        wanted = to or 0.0
        most = 1000.0 * base.volume_l
        found = find_root(lambda litres: mix(base, _litres(spirit, litres)).abv_percent - wanted, 0.0, most, close=1e-6)
        if found is None:
            raise OutOfRange(f"{wanted:g} % vol lies not between the mead and the spirit of {strong:g} % vol")
        poured_l = found
    made = mix(base, _litres(spirit, poured_l)) if poured_l > 0.0 else base
    values: dict[str, Value] = {
        "spirit_l": poured_l, "volume_after_l": made.volume_l, "abv_after_percent": made.abv_percent,
        "plus_minus": KNOWN_ABV * base.volume_l / made.volume_l, "gravity_after": made.sg,
    }  # fmt: skip
    inputs = (Input("mead", base.volume_l, "L"), Input("spirit", poured_l, "L"), Input("of", strong, "% vol"))
    step = Explained(
        "volume after", made.volume_l, "L", "masses together / density of the mixture: ethanol and water shrink",
        inputs, how.DENSITY,
    )  # fmt: skip
    return Sum("fortify", values, ("fortify_law",), (step, how.strength(made)))


def _spirit(abv: float) -> Must:
    """A litre of ethanol and water of that strength."""
    if not 20.0 <= abv <= 96.5:
        raise OutOfRange(f"spirit of {abv:g} % vol is none: 20 to 96.5 % vol")
    part = find_root(lambda percent: Must(100.0 - percent, 0.0, percent).abv_percent - abv, 0.0, 95.5, close=1e-6)
    if part is None:
        raise OutOfRange(f"spirit of {abv:g} % vol cannot be")
    whole = Must(100.0 - part, 0.0, part)
    return _litres(whole, 1.0)


def unknown(given: GivenOptions) -> Sum:
    """The strength of a mead whose original gravity is not known."""
    way = given.one_of("brix", "distillate", "boiled")
    inputs: tuple[Input, ...]
    if way == "distillate":
        shown = given.number("distillate")
        strength, near = without_original.by_distillate(shown)
        formula, inputs = "strength of ethanol and water at this density", (Input("distillate, made up", shown, "SG"),)
    else:
        now = given.needs("gravity", "{}", way)
        shown = given.number(way)
        if way == "brix":
            strength, near = without_original.by_refractometer(now, shown)
            formula = "water, sugar and ethanol that have both this density and this refractive index"
            inputs = (Input("hydrometer", now, "SG"), Input("refractometer", shown, "°Bx"))
        else:
            strength, near = without_original.by_boiling(now, shown)
            formula = "ethanol that makes the difference in density, the extract being the same"
            inputs = (Input("before", now, "SG"), Input("boiled off and made up", shown, "SG"))
    step = Explained("strength", strength, "% vol", formula, inputs, f"{how.DENSITY}; CRC Handbook for refraction")
    values: dict[str, Value] = {"abv_percent": strength, "plus_minus": near}
    return Sum("unknown", values, ("open_flame",) if way != "brix" else (), (with_plus_minus(step, near),))


def _litres(must: Must, volume_l: float) -> Must:
    share = volume_l / must.volume_l
    return Must(must.water_g * share, must.sugar_g * share, must.ethanol_g * share)
