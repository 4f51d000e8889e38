"""Laws that hold for any must, and the promise that nothing but OutOfRange ever comes out."""

from collections.abc import Callable
from math import isfinite

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fermtui.must import composition as c
from fermtui.must import density, honey, hydrometer, refractometer, strength
from fermtui.must.composition import Must
from fermtui.must.limits import OutOfRange

pytestmark = pytest.mark.slow

grams = st.floats(0.0, 50_000.0)
musts = st.builds(Must, st.floats(500.0, 50_000.0), grams, st.floats(0.0, 200.0))
meads = st.builds(c.from_gravity_and_abv, st.floats(0.5, 50.0), st.floats(1.0, 1.15), st.floats(0.0, 16.0))
any_number = st.floats(allow_nan=True, allow_infinity=True)
any_masses = st.floats(0.0, 1e8)
any_must = st.builds(Must, any_masses, any_masses, any_masses)


@given(meads, meads)
def test_mixing_conserves_each_mass(one: Must, two: Must) -> None:
    both = c.mix(one, two)
    assert both.mass_g == pytest.approx(one.mass_g + two.mass_g)
    assert both.ethanol_g == pytest.approx(one.ethanol_g + two.ethanol_g)


@given(any_must, st.floats(0.0, 1.0))
def test_taking_and_mixing_back_restores(must: Must, share: float) -> None:
    taken, left = c.take_share(must, share)
    back = c.mix(taken, left)
    assert (back.water_g, back.sugar_g, back.ethanol_g) == pytest.approx(
        (must.water_g, must.sugar_g, must.ethanol_g), rel=1e-12
    )


@given(meads, st.floats(0.01, 0.99))
def test_what_is_taken_is_like_what_is_left(must: Must, share: float) -> None:
    taken, left = c.take_volume(must, share * must.volume_l)
    assert taken.sg == pytest.approx(left.sg, abs=1e-9)
    assert taken.volume_l + left.volume_l == pytest.approx(must.volume_l, rel=1e-9)


@given(musts, st.floats(0.0, 1.0))
def test_fermenting_conserves_water_and_follows_balling(must: Must, share: float) -> None:
    eaten_g = share * must.sugar_g
    after = c.ferment(must, eaten_g)
    assert after.water_g == must.water_g
    assert must.mass_g - after.mass_g == pytest.approx(eaten_g * (1 - 1 / 2.0665), abs=1e-6)
    back = c.unferment(after, eaten_g)
    assert back.sugar_g == pytest.approx(must.sugar_g, abs=1e-6)
    assert back.ethanol_g == pytest.approx(must.ethanol_g, abs=1e-6)


@given(meads, st.floats(0.985, 1.15))
def test_fermenting_to_a_gravity_gets_there(must: Must, sg: float) -> None:
    assume(c.lowest_sg(must) < sg < must.sg - 1e-6)
    after, eaten_g = c.ferment_to(must, sg)
    assert after.sg == pytest.approx(sg, abs=2e-9)
    assert 0.0 < eaten_g <= must.sugar_g
    assert after.abv_percent > must.abv_percent


@given(st.floats(0.0, 0.6), st.floats(0.0, 0.3), st.floats(1e-4, 0.05), st.floats(-5.0, 40.0))
def test_density_rises_with_sugar_and_falls_with_ethanol(sugar: float, ethanol: float, more: float, t_c: float) -> None:
    plain = density.mixture_density(1.0, sugar, ethanol, t_c)
    assert density.mixture_density(1.0, sugar + more, ethanol, t_c) > plain
    if t_c >= 0:
        assert density.mixture_density(1.0, sugar, ethanol + more, t_c) < plain


@given(meads, st.floats(0.001, 0.05), st.floats(12.0, 25.0))
def test_sweetening_and_solving_back(must: Must, rise: float, moisture: float) -> None:
    sweet_sg = must.sg + rise
    sweet = c.mix(must, honey.honey_must(honey.honey_to_sweeten(must, sweet_sg, moisture), moisture))
    assert sweet.sg == pytest.approx(sweet_sg, abs=2e-9)
    assert sweet.ethanol_g == must.ethanol_g


@given(meads, st.floats(1.0, 1.2))
def test_correcting_the_gravity_keeps_the_volume(must: Must, sg: float) -> None:
    right = c.with_gravity(must, sg)
    assert right.sg == pytest.approx(sg, abs=1e-8)
    assert right.volume_l == pytest.approx(must.volume_l, rel=1e-8)


@given(meads, st.floats(-5.0, 40.0), st.floats(15.0, 25.0))
def test_a_reading_made_from_a_must_leads_back_to_it(must: Must, t_c: float, calibrated_c: float) -> None:
    rho = density.mixture_density(must.water_g, must.sugar_g, must.ethanol_g, t_c)
    shown = rho * (1 + hydrometer.GLASS_PER_C * (t_c - calibrated_c)) / density.rho_water(calibrated_c)
    assert hydrometer.true_sg(shown, t_c, must, calibrated_c=calibrated_c) == pytest.approx(must.sg, abs=1e-8)


@given(st.floats(0.94, 1.40), st.floats(-5.0, 40.0), st.one_of(st.none(), musts, meads))
def test_every_plausible_reading_has_a_gravity(reading: float, t_c: float, start: Must | None) -> None:
    sg = hydrometer.true_sg(reading, t_c, start)
    assert sg == pytest.approx(reading, abs=0.03)


@given(meads, st.floats(0.0, 2000.0), st.floats(0.0, 500.0))
def test_uncertainty_is_a_sane_number(must: Must, fermented_g: float, fruit_g: float) -> None:
    plus_minus = strength.abv_plus_minus(must, fermented_g=fermented_g, fruit_sugar_g=fruit_g)
    assert isfinite(plus_minus)
    assert plus_minus >= 0.0


CALLS: dict[str, Callable[[Must, float, float, float], object]] = {
    "must": lambda _m, x, y, z: Must(x, y, z),
    "sg": lambda m, *_: m.sg,
    "abv": lambda m, *_: m.abv_percent,
    "take_share": lambda m, x, *_: c.take_share(m, x),
    "take_volume": lambda m, x, *_: c.take_volume(m, x),
    "ferment": lambda m, x, *_: c.ferment(m, x),
    "ferment_to": lambda m, x, *_: c.ferment_to(m, x),
    "unferment": lambda m, x, *_: c.unferment(m, x),
    "potential": lambda m, x, *_: c.potential_abv(m, x),
    "from_gravity": lambda _m, x, y, _z: c.from_gravity(x, y),
    "from_both": lambda _m, x, y, z: c.from_gravity_and_abv(x, y, z),
    "with_gravity": lambda m, x, *_: (c.with_gravity(m, x), c.with_gravity(m, x, keep="water")),
    "density": lambda _m, x, y, z: density.mixture_density(x, y, 1.0, z),
    "true_sg": lambda m, x, y, z: hydrometer.true_sg(x, y, m, calibrated_c=z),
    "brix": lambda m, x, *_: refractometer.sg_from_brix(x, m, fermented=True),
    "plain brix": lambda _m, x, *_: refractometer.sg_from_brix(x, None, fermented=False),
    "brix temp": lambda _m, x, y, _z: refractometer.brix_at_20(x, y),
    "honey": lambda _m, x, y, _z: honey.honey_must(x, y),
    "recipe": lambda _m, x, y, z: honey.recipe(x, y, z),
    "juice": lambda _m, x, y, z: (honey.recipe_with_juice(x, y, z), honey.recipe_with_juice(x, y, 1.05, z)),
    "strength recipe": lambda _m, x, y, z: honey.recipe_for_strength(x, y, z),
    "sweeten": lambda m, x, y, _z: honey.honey_to_sweeten(m, x, y),
    "feed": honey.honey_for_strength,
    "steps": lambda m, x, y, z: honey.step_feeds(m, x, y, feed_at_sg=z, up_to_sg=y + 0.05),
    "blend": lambda m, x, y, z: honey.blend_to_gravity(m, c.from_gravity(x, y), z, x),
    "index": lambda _m, x, *_: honey.moisture_from_refractive_index(x),
    "plus_minus": lambda m, x, y, z: strength.abv_plus_minus(m, fermented_g=x, og_sd=y, fruit_sugar_g=z),
}
likely = st.one_of(
    any_number, st.floats(0.0, 100.0), st.floats(0.9, 1.5), st.sampled_from([0.0, -0.0, 1.0, 1.05, 20.0, 5e-324, 1e308])
)
odd_musts = st.one_of(
    any_must,
    meads,
    st.builds(Must, *[st.sampled_from([0.0, 5e-324, 1e-12, 1e-6, 1.0, 1e8])] * 3),
)


def numbers_in(result: object) -> list[float]:
    if isinstance(result, float):
        return [result]
    if isinstance(result, Must):
        return [result.water_g, result.sugar_g, result.ethanol_g]
    if isinstance(result, honey.Recipe):
        return [result.honey_g, result.water_l, result.juice_l, *numbers_in(result.must)]
    assert isinstance(result, tuple)
    return [number for part in result for number in numbers_in(part)]


@pytest.mark.parametrize("name", CALLS)
@given(must=odd_musts, x=likely, y=likely, z=likely)
def test_any_input_gives_sane_numbers_or_the_one_refusal(name: str, must: Must, x: float, y: float, z: float) -> None:
    try:
        result = CALLS[name](must, x, y, z)
    except OutOfRange as refusal:
        sentence = str(refusal)
        assert sentence
        assert "nan" not in sentence
        return
    for number in numbers_in(result):
        assert isfinite(number)
        assert number >= 0.0
