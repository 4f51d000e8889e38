"""Common practice, no source: what makers of small batches find in their jugs."""

import pytest

from fermtui.must.bottles import bottle_count, closures_for, volume_after_losses_l
from fermtui.must.fruit import fruit_parts, room_left_l

US_GALLON_L = 3.785411784
POUND_G = 453.59237
TWO_FINGERS_L = 0.15
"""Some 35 mm in the shoulder of a jug."""


@pytest.mark.parametrize("kind", ["plum", "raspberry", "sour cherry", "black currant", "strawberry"])
@pytest.mark.parametrize("treatment", ["raw", "frozen", "pureed"])
def test_a_gallon_with_room_left_for_a_pound_of_fruit_gives_four_full_bottles(kind: str, treatment: str) -> None:
    parts = fruit_parts(kind, POUND_G, treatment)
    must_l = US_GALLON_L - TWO_FINGERS_L - parts.displaces_l
    assert room_left_l(US_GALLON_L, must_l, parts.displaces_l) == pytest.approx(TWO_FINGERS_L)
    with_juice_l = must_l + (parts.water_g + parts.sugar_g * 0.62) / 1000
    left_l = volume_after_losses_l(with_juice_l, rackings=0, fruit_loss_l=parts.pulled_loss_l)
    bottles = bottle_count(left_l, 750)
    assert bottles.count == 4
    assert bottles.left_l < 0.75


def test_hand_pushed_corks_are_only_for_what_is_drunk_within_six_months() -> None:
    assert "hand_cork" in {closure.key for closure in closures_for(0.5)}
    assert "hand_cork" not in {closure.key for closure in closures_for(0.6)}
