"""How far down a must may still ferment.

US honeys, survey of 1980: of 82.8 g of solids in 100 g, 1.5 g are higher sugars, 3.2 g undetermined, 0.2 g ash: 1.8 to
5.9 % that no yeast may take. Balling: 2.0665 g of extract give 1 g of ethanol; real extract = 0.1808 of the original +
0.8192 of the apparent, in degrees Plato.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fermtui.must.composition import EMPTY, Must, ferment, ferment_to, from_gravity
from fermtui.must.final_gravity import (
    STRONGEST_ABV,
    SUGAR_G_PER_L_PER_SG,
    UNFERMENTABLE_SHARE,
    left_to_ferment,
)


def plato(sg: float) -> float:
    """The polynomial of the ASBC tables, as in brewing handbooks."""
    return -616.868 + 1111.14 * sg - 630.272 * sg**2 + 135.997 * sg**3


def attenuated_sg(og: float, extract_g_per_l: float) -> float:
    """The gravity with so much real extract, by Balling's attenuation and the usual inverse of degrees Plato."""
    sg = 1.0
    for _ in range(4):
        apparent = (extract_g_per_l / (10.0 * sg) - 0.1808 * plato(og)) / 0.8192
        sg = 1.0 + apparent / (258.6 - 227.1 * apparent / 258.2)
    return sg


def fermented(og: float, sg: float, volume_l: float = 4.0) -> tuple[Must, float]:
    """A must of that original gravity at `sg`, and the extract that went in."""
    whole = from_gravity(volume_l, og)
    return ferment_to(whole, sg)[0], whole.sugar_g


def test_the_share_that_no_yeast_takes_lies_within_the_honey_survey() -> None:
    assert 1.5 / 82.8 < UNFERMENTABLE_SHARE < (1.5 + 3.2 + 0.2) / 82.8


@pytest.mark.parametrize("og", [1.060, 1.080, 1.095, 1.110])
def test_the_lowest_end_is_where_ballings_attenuation_puts_it(og: float) -> None:
    must, extract_g = fermented(og, 1.010)
    left = left_to_ferment(must, extract_g, None)
    rest_g_per_l = UNFERMENTABLE_SHARE * 10.0 * plato(og) * og
    assert left.end_sg == pytest.approx(attenuated_sg(og, rest_g_per_l), abs=0.0015)


@pytest.mark.parametrize(("og", "sg"), [(1.110, 1.002), (1.095, 1.000), (1.080, 1.004), (1.110, 1.007)])
def test_what_is_left_is_real_extract_less_the_rest_by_balling(og: float, sg: float) -> None:
    must, extract_g = fermented(og, sg)
    left = left_to_ferment(must, extract_g, None)
    real = 0.1808 * plato(og) + 0.8192 * plato(sg)
    expected = 10.0 * sg * real - UNFERMENTABLE_SHARE * 10.0 * og * plato(og)
    # Within what the density standards and Balling's real extract differ by.
    assert left.extract_g / must.volume_l == pytest.approx(expected, abs=3.0)


def test_grams_for_a_point_are_no_less_than_balling_says() -> None:
    # Balling: 0.8192 of the apparent change is real. The round figure in the program is a seventh more: never too low.
    high, _ = fermented(1.095, 1.010)
    low, _ = fermented(1.095, 1.000)
    fell = (high.sugar_g_per_l - low.sugar_g_per_l) / 0.010
    assert fell == pytest.approx(0.8192 * 10.0 * (plato(1.010) - plato(1.000)) / 0.010, rel=0.06)
    assert fell <= SUGAR_G_PER_L_PER_SG <= 1.2 * fell


def test_the_end_is_what_the_must_has_once_that_much_has_fermented() -> None:
    must, extract_g = fermented(1.100, 1.020)
    left = left_to_ferment(must, extract_g, 16.0)
    assert ferment(must, left.extract_g).sg == left.end_sg


def test_a_yeast_goes_a_little_past_its_tolerance_and_no_further() -> None:
    must, extract_g = fermented(1.140, 1.040)
    left = left_to_ferment(must, extract_g, 14.0)
    assert ferment(must, left.extract_g).abv_percent == pytest.approx(16.0, abs=0.15)  # two above: common practice
    assert left.extract_g < left_to_ferment(must, extract_g, None).extract_g
    past, extract_g = fermented(1.140, 1.005)
    assert past.abv_percent > 16.0
    assert left_to_ferment(past, extract_g, 14.0).extract_g == 0.0


def test_where_the_tolerance_is_not_known_a_strong_one_is_taken() -> None:
    must, extract_g = fermented(1.180, 1.080)
    left = left_to_ferment(must, extract_g, None)
    assert ferment(must, left.extract_g).abv_percent == pytest.approx(STRONGEST_ABV, abs=0.15)


def test_nothing_is_left_of_nothing() -> None:
    left = left_to_ferment(EMPTY, 0.0, None)
    assert (left.extract_g, left.sd_g) == (0.0, 0.0)
    water = left_to_ferment(Must(1000.0), 0.0, None)
    assert water.extract_g == 0.0
    assert water.end_sg == pytest.approx(1.0, abs=1e-4)


def test_the_error_is_the_spread_of_honeys_and_the_step_of_the_scale() -> None:
    must, extract_g = fermented(1.095, 1.000, 1.0)
    fine, coarse = (left_to_ferment(must, extract_g, None, sd).sd_g for sd in (0.001, 0.002))
    # 1 % of about 242 g, and 2.5 g a point: sqrt(2.4² + 2.5²) and sqrt(2.4² + 5²).
    assert fine == pytest.approx(3.5, abs=0.15)
    assert coarse == pytest.approx(5.5, abs=0.2)


def test_the_error_of_the_strength_counts_where_the_tolerance_is_the_bound() -> None:
    must, extract_g = fermented(1.140, 1.040, 1.0)
    weaker, _ = fermented(1.140, 1.0423, 1.0)
    assert must.abv_percent - weaker.abv_percent == pytest.approx(0.3, abs=0.05)
    one, other = left_to_ferment(must, extract_g, 14.0), left_to_ferment(weaker, extract_g, 14.0)
    assert one.sd_g >= other.extract_g - one.extract_g


OGS = st.floats(1.040, 1.160)
SPENT = st.floats(0.0, 0.95)
TOLERANCES = st.none() | st.floats(5.0, 20.0)


@settings(max_examples=150)
@given(OGS, SPENT, SPENT, TOLERANCES)
def test_what_is_left_falls_as_it_ferments(og: float, one: float, other: float, tolerance: float | None) -> None:
    whole = from_gravity(4.0, og)
    early, late = (ferment(whole, share * whole.sugar_g) for share in sorted((one, other)))
    assert (
        left_to_ferment(late, whole.sugar_g, tolerance).extract_g
        <= left_to_ferment(early, whole.sugar_g, tolerance).extract_g + 1e-6
    )


@settings(max_examples=150)
@given(OGS, SPENT, st.floats(5.0, 20.0), st.floats(0.0, 5.0))
def test_more_tolerance_never_leaves_less(og: float, spent: float, tolerance: float, more: float) -> None:
    whole = from_gravity(4.0, og)
    must = ferment(whole, spent * whole.sugar_g)
    strong, weak = (left_to_ferment(must, whole.sugar_g, abv) for abv in (tolerance + more, tolerance))
    assert strong.extract_g >= weak.extract_g - 1e-9
    assert strong.end_sg <= weak.end_sg + 1e-9


@settings(max_examples=150)
@given(OGS, SPENT, TOLERANCES)
def test_it_is_no_more_than_is_there_and_ends_no_higher_than_it_stands(
    og: float, spent: float, tolerance: float | None
) -> None:
    whole = from_gravity(4.0, og)
    must = ferment(whole, spent * whole.sugar_g)
    left = left_to_ferment(must, whole.sugar_g, tolerance)
    assert 0.0 <= left.extract_g <= must.sugar_g
    assert left.end_sg <= must.sg + 1e-9
    assert left.sd_g > 0.0
