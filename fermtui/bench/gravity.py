"""Readings, strength and mixtures: correct, strength, mixture."""

from __future__ import annotations

from fermtui.bench.options import GivenOptions, WrongOptions
from fermtui.bench.result import Sum, Value
from fermtui.explain import strength as how
from fermtui.explain.explained import Explained
from fermtui.must import composition, plus_minus
from fermtui.must.composition import Must, ferment_to, from_gravity, from_gravity_and_abv
from fermtui.must.density import curve_at, mixture_density, mixture_volume
from fermtui.must.honey import blend_to_gravity
from fermtui.must.hydrometer import true_sg
from fermtui.must.limits import OutOfRange, within
from fermtui.must.refractometer import brix_at_20, sg_from_brix
from fermtui.must.strength import abv_plus_minus, strength_band, sweetness_band

_PAIRS = ("sugar-percent", "ethanol-percent", "gravity", "abv")
_SETTLED_SG = 1e-7
_ROUNDS = 12


def correct(given: GivenOptions) -> Sum:
    """A reading at a temperature -> SG 20/20: by hydrometer (`gravity`), or by refractometer (`brix`, `original`)."""
    if given.one_of("gravity", "brix") == "brix":
        return _refractometer(given)
    if "original" in given.given:
        raise WrongOptions("correct takes {} with {} only: a hydrometer needs {} instead", "original", "brix", "abv")
    reading, calibrated_c = given.number("gravity"), given.number("calibrated")
    temp_c = given.maybe("temp")
    offset_sg, abv = -given.number("offset"), given.number("abv")
    within("strength", abv, 0.0, 25.0, "% vol", "no yeast goes further")
    at_c = calibrated_c if temp_c is None else temp_c
    sg = _with_alcohol(reading, at_c, abv, calibrated_c=calibrated_c, offset_sg=offset_sg)
    step = how.corrected_gravity(
        sg, reading=reading, temp_c=at_c, calibrated_c=calibrated_c, offset_sg=offset_sg, abv_percent=abv
    )
    start = None if abv == 0.0 else from_gravity_and_abv(1.0, sg, abv)
    sd = plus_minus.corrected_sg(reading, at_c, start, calibrated_c=calibrated_c, offset_sg=offset_sg)
    return Sum("correct", {"sg_20_20": sg, "plus_minus_sg": sd, "change_sg": sg - reading}, (), (step,))


def _with_alcohol(reading: float, temp_c: float, abv: float, *, calibrated_c: float, offset_sg: float) -> float:
    """The chemistry takes a must; here only its strength is known, so the must is corrected until both agree."""
    sg = true_sg(reading, temp_c, None, calibrated_c=calibrated_c, offset_sg=offset_sg)
    if abv == 0.0:
        return sg
    for _ in range(_ROUNDS):
        before = sg
        must = from_gravity_and_abv(1.0, sg, abv)
        sg = true_sg(reading, temp_c, must, calibrated_c=calibrated_c, offset_sg=offset_sg)
        if abs(sg - before) < _SETTLED_SG:
            break
    return sg


def _refractometer(given: GivenOptions) -> Sum:
    brix, original, temp_c = given.number("brix"), given.maybe("original"), given.maybe("temp")
    # A temperature is only worth typing for an instrument that does not compensate for it by itself.
    at_20 = brix if temp_c is None else brix_at_20(brix, temp_c)
    must = None if original is None else from_gravity(1.0, original)
    sg, sd = sg_from_brix(at_20, must, fermented=must is not None)
    values: dict[str, Value] = {"sg_20_20": sg, "plus_minus_sg": sd, "brix_at_20": at_20}
    steps = [how.refracted_gravity(sg, sd, brix=at_20, original=original)]
    if must is not None:
        done, _ = ferment_to(must, min(sg, must.sg))
        values["abv_percent"] = done.abv_percent
        steps.append(how.strength(done))
    return Sum("correct", values, (), tuple(steps))


def strength(given: GivenOptions) -> Sum:
    """% vol between two gravities of a must to which nothing was added, with its uncertainty."""
    og, fg = given.number("from"), given.number("to")
    sg_sd = given.number("read-to")
    if fg > og:
        raise OutOfRange(f"gravity {fg:.4f} is above the {og:.4f} that it began at: nothing has fermented")
    start = from_gravity(1.0, og)
    must, fermented_g = ferment_to(start, fg)
    sd = abv_plus_minus(must, fermented_g=fermented_g, og_sd=sg_sd, sg_sd=sg_sd)
    values: dict[str, Value] = {"abv_percent": must.abv_percent, "plus_minus": sd}
    steps: list[Explained] = [
        how.alcohol(must, fermented_g, from_sg=og),
        how.strength(must),
        how.plus_minus(sd, og_sd=sg_sd, sg_sd=sg_sd),
    ]
    if og > 1.001:
        spent = min(100.0, max(0.0, 100.0 * (og - fg) / (og - 1.0)))
        values["sugar_spent_percent"] = spent
        steps.append(how.sugar_spent(spent, og, fg))
    values["extract_left_g_per_l"] = must.sugar_g_per_l
    steps.append(how.extract_left(must))
    values["strength_band"] = strength_band(must.abv_percent)
    values["sweetness_band"] = sweetness_band(fg)
    return Sum("strength", values, ("drink",), tuple(steps))


def mixture(given: GivenOptions) -> Sum:
    """Per cent sugar and ethanol by mass -> density, SG and strength; or back, from `gravity` and `abv`; or a blend."""
    temp_c = given.number("temp")
    if given.given & {"with-gravity", "with-abv", "to"}:
        return _blend(given)
    if given.given & {"gravity", "abv"}:
        if given.given & {"sugar-percent", "ethanol-percent"}:
            raise WrongOptions("mixture takes {} and {}, or {} and {}, not both pairs", *_PAIRS)
        must = from_gravity_and_abv(1.0, given.needs("gravity", "{}", "abv"), given.maybe("abv") or 0.0)
    else:
        must = _by_percent(given)
    density = mixture_density(must.water_g, must.sugar_g, must.ethanol_g, temp_c)
    values: dict[str, Value] = {
        "density_kg_m3": density,
        "sg_20_20": must.sg,
        "abv_percent": must.abv_percent,
        "sugar_percent": must.extract_mass_percent,
        "ethanol_percent": must.ethanol_mass_percent,
        "sugar_g_per_l": must.sugar_g_per_l,
    }
    steps = (
        how.mixture("density", density, "kg/m3", must, temp_c),
        how.mixture("gravity at 20 °C", must.sg, "SG", must),
        how.strength(must),
    )
    return Sum("mixture", values, (), steps)


def _by_percent(given: GivenOptions) -> Must:
    if not given.given & {"sugar-percent", "ethanol-percent"}:
        raise WrongOptions("mixture needs {} and {}, or {} and {}", *_PAIRS)
    sugar, ethanol = given.maybe("sugar-percent") or 0.0, given.maybe("ethanol-percent") or 0.0
    why = "it is a share of the whole by mass"
    within("sugar", sugar, 0.0, 100.0, "%", why)
    within("ethanol", ethanol, 0.0, 100.0, "%", why)
    within("sugar and ethanol together", sugar + ethanol, 0.0, 100.0, "%", why)
    parts = (max(0.0, 100.0 - sugar - ethanol), sugar, ethanol)
    litres = mixture_volume(*parts, curve_at(20.0))
    return Must(*(part / litres for part in parts))


def _blend(given: GivenOptions) -> Sum:
    """How much of two meads gives a wanted gravity."""
    because = "a blend"
    first = from_gravity_and_abv(1.0, given.needs("gravity", because), given.needs("abv", because))
    second = from_gravity_and_abv(1.0, given.needs("with-gravity", because), given.needs("with-abv", because))
    to, volume_l = given.needs("to", because), given.needs("volume", because)
    first_l, second_l = blend_to_gravity(first, second, to, volume_l)
    blend = composition.mix(_litres(first, first_l), _litres(second, second_l))
    values: dict[str, Value] = {"first_l": first_l, "second_l": second_l}
    if blend.is_empty:
        raise OutOfRange("volume 0 L is no blend: say how many litres it is to be")
    values |= {"sg_20_20": blend.sg, "abv_percent": blend.abv_percent, "volume_l": blend.volume_l}
    steps = (how.mixture("gravity at 20 °C", blend.sg, "SG", blend), how.strength(blend))
    return Sum("mixture", values, (), steps)


def _litres(must: Must, volume_l: float) -> Must:
    share = volume_l / must.volume_l
    return Must(must.water_g * share, must.sugar_g * share, must.ethanol_g * share)
