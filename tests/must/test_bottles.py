"""Bottles: counts, closures, glass, fizz and pressure."""

from collections.abc import Callable

import pytest

from fermtui.must.bottles import (
    bottle_count,
    closures,
    closures_for,
    glass,
    line_bar,
    most_sugar_g_per_l,
    most_volumes,
    pressure_bar_excess,
    priming,
    residual_volumes,
    solubility_g_per_l_bar,
    sugar_for_bar_g_per_l,
    volume_after_losses_l,
)
from fermtui.must.limits import OutOfRange


def test_full_bottles_and_what_is_left() -> None:
    counted = bottle_count(3.6, 750, loss_percent=5)
    assert (counted.count, counted.filled_l) == (4, 3.0)
    assert counted.left_l == pytest.approx(0.42)
    assert bottle_count(0.2).count == 0


def test_an_exact_fill_is_not_lost_to_rounding() -> None:
    assert bottle_count(3.0).count == 4
    assert bottle_count(0.33 * 7, 330).count == 7
    assert bottle_count(0.1 + 0.2, 100).count == 3


def test_losses_in_turn() -> None:
    left = volume_after_losses_l(10, rackings=2, fruit_loss_l=0.5)
    assert left == pytest.approx(9.5 * 0.95 * 0.98**2)
    assert volume_after_losses_l(0.3, fruit_loss_l=0.5) == 0


def test_closures_against_the_planned_age() -> None:
    assert [closure.key for closure in closures_for(4)] == ["cork_high", "screw_cap"]
    assert {closure.key for closure in closures_for(0.5)} >= {"hand_cork", "screw_cap"}
    assert [closure.key for closure in closures_for(1, "sparkling")] == ["crown_cap", "wired_cork"]
    assert all("no source" in closure.source or "practice" in closure.source for closure in closures())


def test_no_closure_for_still_mead_is_taken_for_fizz() -> None:
    for closure in closures_for(0.5, "sparkling"):
        assert "cork" not in closure.key or closure.key == "wired_cork"


def test_glass_lines_climb() -> None:
    assert glass("still").limit_bar < glass("beer").limit_bar < glass("sparkling").limit_bar == 6
    assert line_bar("cork_pushed") < glass("still").limit_bar
    with pytest.raises(OutOfRange, match="still, beer, sparkling"):
        glass("swing")


def test_dry_and_degassed_mead_makes_no_pressure() -> None:
    assert pressure_bar_excess(0, 20) == pytest.approx(0)
    assert pressure_bar_excess(0, 20, start="degassed") == pytest.approx(0)
    assert pressure_bar_excess(0, 10) < 0  # cold mead draws its gas in
    assert pressure_bar_excess(0, 30) > 0.25  # saturated mead alone passes the cork line when warm


def test_a_degassed_bottle_stands_lower_when_warm() -> None:
    assert pressure_bar_excess(5, 30, start="degassed") < pressure_bar_excess(5, 30)


def test_thirty_degrees_add_about_a_third() -> None:
    for sugar in (5, 10, 24):
        assert 1.25 < pressure_bar_excess(sugar, 30) / pressure_bar_excess(sugar, 20) < 1.55


def test_small_bottles_and_more_headspace() -> None:
    small = pressure_bar_excess(10, 20, bottle_ml=330)
    assert small == pytest.approx(pressure_bar_excess(10, 20))
    assert pressure_bar_excess(10, 20, headspace_ml=60) < small


def test_sugar_that_fills_a_sparkling_bottle_to_its_line() -> None:
    sugar = sugar_for_bar_g_per_l(6, 20)
    assert 15 < sugar < 25
    assert pressure_bar_excess(sugar, 20) == pytest.approx(6)


def test_priming_by_kind_and_warmth() -> None:
    cane, dextrose, honey = (priming(4, 2.5, 20, kind).sugar_g for kind in ("sucrose", "dextrose", "honey"))
    assert cane < dextrose < honey
    assert priming(4, 2.5, 10).sugar_g < cane  # cold mead kept more of its own gas
    assert residual_volumes(10) > residual_volumes(20)


def test_a_still_wish_needs_no_sugar() -> None:
    still = priming(4, 0.5, 20)
    assert still.sugar_g == 0
    assert still.bar_at_20c == pytest.approx(0, abs=1e-9)


def test_priming_shows_what_warm_bottles_stand() -> None:
    lively = priming(4, 6, 18)
    assert lively.bar_at_20c > glass("sparkling").limit_bar
    assert lively.bar_at_30c > lively.bar_at_20c


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (lambda: priming(4, 2.5, 20, "syrup"), "sucrose, dextrose, honey"),
        (lambda: pressure_bar_excess(-1), "refermentable sugar -1 g/L is outside 0 to 300 g/L"),
        (lambda: pressure_bar_excess(4, -80), "temperature -80 °C"),
        (lambda: bottle_count(4, 0), "bottle size 0 mL"),
        (lambda: closures_for(-1), "planned age -1 years"),
        (lambda: solubility_g_per_l_bar(20, 1.3), "solubility factor 1.3 is outside 0.5 to 1.2"),
    ],
)
def test_what_is_out_of_range_gets_one_sentence(wrong: Callable[[], object], says: str) -> None:
    with pytest.raises(OutOfRange, match=says):
        wrong()


def test_a_bottle_that_lacks_two_millilitres_is_not_counted() -> None:
    assert bottle_count(2.998, 750.0).count == 3
    assert bottle_count(2.998, 750.0).left_l == pytest.approx(0.748)


# Weiss (1974): water holds 0.870 volumes at 20 °C and 0.664 at 30 (tables of the equation); a tenth less in mead.
def test_a_beer_bottle_that_is_sound_in_the_cellar_may_not_be_so_in_a_warm_room() -> None:
    made = priming(4, 2.6, 20)
    assert made.bar_at_20c == pytest.approx(2.6 / (0.870 * 0.9) * 1.01325 - 1.01325, abs=0.05)
    assert made.bar_at_30c == pytest.approx(2.6 / (0.664 * 0.9) * 1.01325 - 1.01325, abs=0.05)
    beer = glass("beer")
    assert made.bar_at_20c < beer.limit_bar < made.bar_at_30c
    assert not beer.holds(made.bar_at_20c, made.bar_at_30c)
    most = priming(4, most_volumes("beer"), 20)
    assert beer.holds(most.bar_at_20c, most.bar_at_30c)
    assert most_volumes("beer") == pytest.approx((3.0 + 1.01325) / 1.01325 * 0.664 * 0.9, abs=0.02)


@pytest.mark.parametrize("key", ["still", "beer", "sparkling"])
def test_the_most_sugar_of_a_glass_is_within_both_of_its_lines_and_a_gram_more_is_not(key: str) -> None:
    most = most_sugar_g_per_l(key)
    kind = glass(key)
    assert kind.holds(pressure_bar_excess(most, 20), pressure_bar_excess(most, 30))
    assert not kind.holds(pressure_bar_excess(most + 1, 20), pressure_bar_excess(most + 1, 30))


def test_mead_alone_in_a_warm_room_is_no_fault_of_its_bottle() -> None:
    assert glass("still").holds(pressure_bar_excess(0, 20), pressure_bar_excess(0, 30))


def test_mead_holds_a_tenth_less_of_its_own_gas_than_water() -> None:
    # Henry constants of a sparkling wine at 10 °C, 2.1 g/(L bar), and of a lager at 6 °C, 2.4 (PMC8047704, table 1);
    # water: 2.33 and 2.68 (Weiss 1974).
    assert residual_volumes(10) / residual_volumes(10, 1.0) == pytest.approx(2.1 / 2.33, abs=0.01)
    assert residual_volumes(6) / residual_volumes(6, 1.0) == pytest.approx(2.4 / 2.68, abs=0.01)
    # The usual polynomial of brewing, in °F, from memory, goes by water: 0.86 at 20 °C.
    assert residual_volumes(20, 1.0) == pytest.approx(3.0378 - 0.050062 * 68 + 0.00026555 * 68**2, abs=0.02)
