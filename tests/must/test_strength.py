"""How sure a strength is: the analytic figure against doing it over with everything a little off."""

from math import hypot

import pytest

from fermtui.must.composition import EMPTY, Must, ferment_to, from_gravity, from_gravity_and_abv, mix, potential_abv
from fermtui.must.limits import OutOfRange
from fermtui.must.strength import abv_plus_minus

NOTHING_ELSE = {"og_sd": 0.0, "sg_sd": 0.0, "yield_rel_sd": 0.0}


def mead(og: float = 1.090, sg: float = 1.000) -> tuple[Must, float]:
    return ferment_to(from_gravity(5.0, og), sg)


def test_a_usual_mead_is_sure_to_three_tenths() -> None:
    must, fermented_g = mead()
    assert abv_plus_minus(must, fermented_g=fermented_g) == pytest.approx(0.26, abs=0.05)
    assert abv_plus_minus(must, fermented_g=fermented_g, fruit_sugar_g=120.0) == pytest.approx(0.32, abs=0.05)


def test_an_error_of_the_last_reading() -> None:
    must, fermented_g = mead()
    again = (potential_abv(from_gravity(5.0, 1.090), 0.999) - potential_abv(from_gravity(5.0, 1.090), 1.001)) / 2
    alone = abv_plus_minus(must, fermented_g=fermented_g, **{**NOTHING_ELSE, "sg_sd": 0.001})
    assert alone == pytest.approx(again, rel=0.01)


def test_an_error_of_the_original_gravity() -> None:
    must, fermented_g = mead()
    again = (potential_abv(from_gravity(5.0, 1.091), 1.000) - potential_abv(from_gravity(5.0, 1.089), 1.000)) / 2
    alone = abv_plus_minus(must, fermented_g=fermented_g, **{**NOTHING_ELSE, "og_sd": 0.001})
    assert alone == pytest.approx(again, rel=0.03)


def test_an_error_of_the_yield() -> None:
    """Two percent more ethanol from each gram: solve the same gravity by hand, one gram of extract at a time."""
    start, (must, fermented_g) = from_gravity(5.0, 1.090), mead()
    richer = 1.02 / 2.0665
    low, high = 0.0, start.sugar_g
    for _ in range(60):
        eaten = (low + high) / 2
        heavier = Must(start.water_g, start.sugar_g - eaten, eaten * richer).sg > 1.000
        low, high = (eaten, high) if heavier else (low, eaten)
    again = Must(start.water_g, start.sugar_g - low, low * richer).abv_percent - must.abv_percent
    alone = abv_plus_minus(must, fermented_g=fermented_g, **{**NOTHING_ELSE, "yield_rel_sd": 0.02})
    assert alone == pytest.approx(again, rel=0.02)


def test_an_error_of_the_fruit() -> None:
    start = mead(sg=1.010)[0]
    fruit, richer = Must(850.0, 100.0), Must(850.0, 120.0)
    must, _ = ferment_to(mix(start, fruit), 1.000)
    again = ferment_to(mix(start, richer), 1.000)[0].abv_percent - must.abv_percent
    alone = abv_plus_minus(must, fermented_g=1000.0, fruit_sugar_g=100.0, fruit_rel_sd=0.2, **NOTHING_ELSE)
    assert alone == pytest.approx(again, rel=0.02)


def test_honey_fed_without_a_reading() -> None:
    must, fermented_g = mead()
    alone = abv_plus_minus(
        must, fermented_g=fermented_g, honey_added_unmeasured_g=1000.0, honey_rel_sd=0.02, **NOTHING_ELSE
    )
    assert alone == pytest.approx(0.16, abs=0.02)


def test_independent_errors_add_as_squares() -> None:
    must, fermented_g = mead()
    parts = [
        abv_plus_minus(must, fermented_g=fermented_g, **{**NOTHING_ELSE, name: sd})
        for name, sd in (("og_sd", 0.001), ("sg_sd", 0.001), ("yield_rel_sd", 0.02))
    ]
    assert abv_plus_minus(must, fermented_g=fermented_g) == pytest.approx(hypot(*parts), rel=1e-9)


def test_nothing_fermented_nothing_unsure() -> None:
    assert abv_plus_minus(from_gravity(5.0, 1.090), fermented_g=0.0) == 0.0


def test_a_mead_poured_in_whole_still_has_its_reading() -> None:
    assert 0.1 < abv_plus_minus(from_gravity_and_abv(4.0, 1.000, 12.0), fermented_g=0.0) < 0.3


def test_nonsense_is_refused() -> None:
    must, fermented_g = mead()
    with pytest.raises(OutOfRange, match="yield uncertainty"):
        abv_plus_minus(must, fermented_g=fermented_g, yield_rel_sd=2.0)
    with pytest.raises(OutOfRange, match="original gravity's uncertainty"):
        abv_plus_minus(must, fermented_g=fermented_g, og_sd=float("nan"))
    with pytest.raises(OutOfRange, match="the vessel is empty"):
        abv_plus_minus(EMPTY, fermented_g=0.0)
