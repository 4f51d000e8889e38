"""Recipes, sweetening, feeding and blending by mass balance."""

import pytest

from fermtui.must.composition import ferment_to, from_gravity, from_gravity_and_abv, mix, potential_abv
from fermtui.must.honey import (
    blend_to_gravity,
    honey_for_strength,
    honey_must,
    honey_to_sweeten,
    juice_must,
    moisture_from_refractive_index,
    recipe,
    recipe_for_strength,
    recipe_with_juice,
    step_feeds,
    water_must,
)
from fermtui.must.limits import OutOfRange

DRY = from_gravity_and_abv(4.0, 1.000, 12.0)


def test_a_recipe_mixed_stands_where_it_should() -> None:
    plan = recipe(4.2, 1.095)
    assert plan.honey_g == pytest.approx(1256, abs=1)
    assert plan.water_l == pytest.approx(3.340, abs=0.001)
    mixed = mix(honey_must(plan.honey_g), water_must(plan.water_l))
    assert mixed.sg == pytest.approx(1.095, abs=1e-7)
    assert mixed.volume_l == pytest.approx(4.2, abs=1e-6)
    assert mixed.sg == pytest.approx(plan.must.sg, abs=1e-7)


def test_wetter_honey_takes_more_of_it() -> None:
    assert recipe(4.2, 1.095, 20.0).honey_g > recipe(4.2, 1.095, 15.0).honey_g
    assert recipe(4.2, 1.095, 20.0).water_l < recipe(4.2, 1.095, 15.0).water_l


def test_juice_instead_of_all_water() -> None:
    plan = recipe_with_juice(4.2, 1.095, 1.050)
    mixed = mix(honey_must(plan.honey_g), juice_must(plan.juice_l, 1.050))
    assert plan.water_l == 0.0
    assert mixed.sg == pytest.approx(1.095, abs=1e-7)
    assert mixed.volume_l == pytest.approx(4.2, abs=1e-6)


def test_some_juice_and_water_for_the_rest() -> None:
    plan = recipe_with_juice(4.2, 1.095, 1.050, juice_l=1.0)
    mixed = mix(honey_must(plan.honey_g), juice_must(1.0, 1.050), water_must(plan.water_l))
    assert mixed.sg == pytest.approx(1.095, abs=1e-7)
    assert mixed.volume_l == pytest.approx(4.2, abs=1e-6)


def test_juice_that_does_not_fit_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"juice of 1\.120 is heavier than the 1\.095 wanted"):
        recipe_with_juice(4.2, 1.095, 1.120)
    with pytest.raises(OutOfRange, match="bring more sugar than the"):
        recipe_with_juice(4.2, 1.020, 1.050, juice_l=4.0)
    with pytest.raises(OutOfRange, match=r"overflow 4\.2 L"):
        recipe_with_juice(4.2, 1.095, 1.050, juice_l=4.0)


@pytest.mark.parametrize(("abv", "end_sg"), [(12.0, 1.000), (14.0, 1.015), (6.0, 0.998)])
def test_a_recipe_for_a_strength(abv: float, end_sg: float) -> None:
    plan = recipe_for_strength(10.0, abv, end_sg)
    assert potential_abv(plan.must, end_sg) == pytest.approx(abv, abs=1e-5)
    assert plan.must.volume_l == pytest.approx(10.0, abs=1e-6)


def test_no_recipe_is_heavier_than_its_honey() -> None:
    with pytest.raises(OutOfRange, match=r"gravity 1\.440 is more than honey of 20 % water has by itself"):
        recipe(1.0, 1.440, 20.0)


def test_sweetening_counts_the_honeys_own_water() -> None:
    honey_g = honey_to_sweeten(DRY, 1.012)
    sweet = mix(DRY, honey_must(honey_g))
    assert sweet.sg == pytest.approx(1.012, abs=1e-7)
    assert sweet.volume_l > DRY.volume_l
    assert sweet.abv_percent < DRY.abv_percent
    assert honey_to_sweeten(DRY, DRY.sg) == 0.0


def test_honey_does_not_make_it_lighter() -> None:
    with pytest.raises(OutOfRange, match="honey only makes it heavier"):
        honey_to_sweeten(DRY, 0.995)


def test_feeding_up_to_a_strength() -> None:
    must, _ = ferment_to(from_gravity(4.0, 1.090), 1.020)
    honey_g = honey_for_strength(must, 16.0, 1.010)
    assert potential_abv(mix(must, honey_must(honey_g)), 1.010) == pytest.approx(16.0, abs=1e-5)
    assert honey_for_strength(must, 8.0, 1.010) == 0.0


def test_step_feeds_add_up_and_stay_below_the_upper_gravity() -> None:
    must, _ = ferment_to(from_gravity(4.0, 1.090), 1.030)
    given = step_feeds(must, 17.0, 1.010, feed_at_sg=1.015, up_to_sg=1.035)
    assert len(given) > 2
    assert sum(given) == pytest.approx(honey_for_strength(must, 17.0, 1.010), abs=1e-6)
    for honey_g in given:
        must = mix(ferment_to(must, 1.015)[0], honey_must(honey_g))
        assert must.sg <= 1.035 + 1e-7
    assert potential_abv(must, 1.010) == pytest.approx(17.0, abs=1e-4)


def test_steps_that_lead_nowhere_are_refused() -> None:
    must = from_gravity(4.0, 1.090)
    with pytest.raises(OutOfRange, match="gravity to feed at"):
        step_feeds(must, 17.0, 1.010, feed_at_sg=1.005, up_to_sg=1.035)
    with pytest.raises(OutOfRange, match="more than 30 feeds"):
        step_feeds(must, 20.0, 1.010, feed_at_sg=1.030, up_to_sg=1.0321)


def test_blending_to_a_gravity() -> None:
    sweet = from_gravity_and_abv(4.0, 1.030, 11.0)
    dry_l, sweet_l = blend_to_gravity(DRY, sweet, 1.010, 3.0)
    share = 1.0 / DRY.volume_l
    blend = mix(from_gravity_and_abv(dry_l, DRY.sg, DRY.abv_percent), from_gravity_and_abv(sweet_l, 1.030, 11.0))
    assert share == pytest.approx(0.25, abs=1e-6)
    assert blend.sg == pytest.approx(1.010, abs=1e-6)
    assert blend.volume_l == pytest.approx(3.0, abs=1e-5)
    assert sweet_l == pytest.approx(1.0, abs=0.01)


def test_a_blend_lies_between_its_parts() -> None:
    with pytest.raises(OutOfRange, match=r"gravity 1\.0500 does not lie between the two"):
        blend_to_gravity(DRY, from_gravity(2.0, 1.030), 1.050, 3.0)


@pytest.mark.parametrize("moisture_percent", [9.9, 30.1, 55.0, -1.0, float("nan")])
def test_moisture_outside_honey_is_refused(moisture_percent: float) -> None:
    with pytest.raises(OutOfRange, match=r"moisture of honey .* is outside 10 to 30 %"):
        honey_must(100.0, moisture_percent)
    with pytest.raises(OutOfRange):
        recipe(4.0, 1.090, moisture_percent)


def test_a_refractometer_for_honey_only() -> None:
    with pytest.raises(OutOfRange, match=r"refractive index of honey 1\.333"):
        moisture_from_refractive_index(1.333)
