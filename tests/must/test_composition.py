"""The ledger."""

import pytest

from fermtui.must.composition import (
    EMPTY,
    Must,
    ferment,
    ferment_to,
    from_gravity,
    from_gravity_and_abv,
    lowest_sg,
    mix,
    potential_abv,
    take_share,
    take_volume,
    unferment,
    with_gravity,
)
from fermtui.must.honey import honey_must
from fermtui.must.limits import OutOfRange


def test_strength_stays_right_after_honey_and_fruit() -> None:
    """20 L of 1.090 down to 1.030, 2 kg of honey and 2 kg of fruit (11 % sugar, 85 % water), down to 1.005.

    13.9 % vol by the ledger; 15.1 % by adding the drops up and 11.4 % by first minus last.
    """
    must, _ = ferment_to(from_gravity(20.0, 1.090), 1.030)
    assert must.abv_percent == pytest.approx(8.0, abs=0.05)
    must = mix(must, honey_must(2000.0), Must(2000.0 * 0.85, 2000.0 * 0.11, 0.0))
    must, _ = ferment_to(must, 1.005)
    assert must.abv_percent == pytest.approx(13.9, abs=0.05)


# The same balance by another program (trust: computed): OG, SG, % vol, real extract in % by mass, litres left of one.
BALANCE = [
    (1.035, 1.020, 1.939, 5.826, 0.9987),
    (1.065, 0.995, 9.246, 1.977, 0.9926),
    (1.085, 1.010, 9.980, 6.027, 0.9916),
    (1.095, 1.000, 12.730, 4.324, 0.9889),
    (1.125, 0.995, 17.692, 4.467, 0.9832),
]


@pytest.mark.parametrize(("og", "sg", "abv", "extract", "volume"), BALANCE)
def test_fermenting_down(og: float, sg: float, abv: float, extract: float, volume: float) -> None:
    must, fermented_g = ferment_to(from_gravity(1.0, og), sg)
    assert must.sg == pytest.approx(sg, abs=1e-8)
    assert must.abv_percent == pytest.approx(abv, abs=0.001)
    assert must.extract_mass_percent == pytest.approx(extract, abs=0.001)
    assert must.volume_l == pytest.approx(volume, abs=0.0001)
    assert unferment(must, fermented_g).sg == pytest.approx(og, abs=1e-8)
    assert potential_abv(from_gravity(1.0, og), sg) == must.abv_percent


def test_a_dry_mead_still_holds_extract() -> None:
    assert ferment_to(from_gravity(1.0, 1.095), 1.000)[0].sugar_g_per_l == pytest.approx(43, abs=1)


def test_a_reading_above_the_ledger_ferments_nothing() -> None:
    must = from_gravity(1.0, 1.050)
    assert ferment_to(must, 1.051) == (must, 0.0)


def test_a_gravity_below_dryness_is_refused_with_the_lowest() -> None:
    must = from_gravity(1.0, 1.050)
    assert lowest_sg(must) == pytest.approx(0.989, abs=0.0005)
    with pytest.raises(OutOfRange, match=r"gravity 0\.9800 is below 0\.98\d\d, where this must has no extract left"):
        ferment_to(must, 0.980)


def test_fermenting_more_than_there_is_is_refused() -> None:
    with pytest.raises(OutOfRange, match="yeast eats no more than is there"):
        ferment(Must(100.0, 10.0, 0.0), 11.0)


@pytest.mark.parametrize(("sg", "abv"), [(1.000, 12.0), (0.990, 11.0), (1.030, 8.0), (1.080, 0.0)])
def test_a_mead_by_gravity_and_strength(sg: float, abv: float) -> None:
    mead = from_gravity_and_abv(4.5, sg, abv)
    assert mead.sg == pytest.approx(sg, abs=1e-8)
    assert mead.abv_percent == pytest.approx(abv, abs=1e-6)
    assert mead.volume_l == pytest.approx(4.5, abs=1e-7)


def test_no_mead_is_that_light() -> None:
    with pytest.raises(OutOfRange, match=r"nothing of 5 % vol stands at 0\.9800, not even without sugar"):
        from_gravity_and_abv(1.0, 0.980, 5.0)


def test_topping_up_brings_its_alcohol() -> None:
    must = mix(from_gravity_and_abv(4.0, 1.000, 12.0), from_gravity_and_abv(0.5, 1.010, 10.0))
    assert must.abv_percent == pytest.approx((4.0 * 12 + 0.5 * 10) / 4.5, abs=0.02)


def test_an_original_gravity_corrects_the_honey() -> None:
    must = mix(from_gravity(20.0, 1.090), EMPTY)
    corrected = with_gravity(must, 1.086)
    assert corrected.sg == pytest.approx(1.086, abs=1e-8)
    assert corrected.volume_l == pytest.approx(must.volume_l, abs=1e-6)
    watered = with_gravity(must, 1.086, keep="water")
    assert watered.sg == pytest.approx(1.086, abs=1e-8)
    assert watered.water_g == must.water_g


def test_correcting_keeps_the_ethanol() -> None:
    mead = from_gravity_and_abv(4.0, 1.000, 12.0)
    assert with_gravity(mead, 1.004).ethanol_g == mead.ethanol_g


def test_taking_a_volume() -> None:
    must = from_gravity_and_abv(5.0, 1.010, 9.0)
    taken, left = take_volume(must, 0.75)
    assert taken.volume_l == pytest.approx(0.75, abs=1e-9)
    assert left.volume_l == pytest.approx(4.25, abs=1e-6)
    assert left.sg == pytest.approx(must.sg, abs=1e-9)
    assert take_volume(must, must.volume_l)[1].is_empty
    with pytest.raises(OutOfRange, match="volume taken 6 L is more than the 5 L that are there"):
        take_volume(must, 6.0)


def test_an_empty_vessel() -> None:
    assert EMPTY.is_empty
    assert EMPTY.volume_l == 0.0
    assert take_share(EMPTY, 0.5) == (EMPTY, EMPTY)
    assert take_volume(EMPTY, 0.0) == (EMPTY, EMPTY)
    for ask in ("sg", "abv_percent", "sugar_g_per_l", "extract_mass_percent", "ethanol_mass_percent"):
        with pytest.raises(OutOfRange, match="the vessel is empty"):
            getattr(EMPTY, ask)


@pytest.mark.parametrize("bad", [-1.0, float("nan"), float("inf"), 1e9])
def test_masses_are_finite_and_not_negative(bad: float) -> None:
    for masses in ((bad, 0.0, 0.0), (0.0, bad, 0.0), (0.0, 0.0, bad)):
        with pytest.raises(OutOfRange):
            Must(*masses)


def test_gravities_outside_must_are_refused() -> None:
    with pytest.raises(OutOfRange, match=r"gravity 1\.9 SG is outside 1 to 1\.45 SG"):
        from_gravity(1.0, 1.9)
    with pytest.raises(OutOfRange, match=r"below 1\.000 there is alcohol in it"):
        from_gravity(1.0, 0.998)


def test_a_refusal_names_the_strength_that_cannot_be() -> None:
    with pytest.raises(OutOfRange, match=r"nothing of 30 % vol stands at 0\.9500"):
        from_gravity_and_abv(10.0, 0.95, 30.0)
