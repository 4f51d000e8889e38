"""Air: the worst case of a sealed room."""

import pytest

from fermtui.must.air import co2_of_ethanol_g, co2_of_sugar_g, room_air
from fermtui.must.composition import Must, ferment
from fermtui.must.limits import OutOfRange


def test_a_gallon_in_a_small_room() -> None:
    air = room_air(co2_of_sugar_g(4 * 250), 30)
    assert air.co2_l == pytest.approx(267, abs=0.2)
    assert air.rise_ppm == pytest.approx(8902, abs=5)
    assert air.passed == "eight_hours"


def test_a_cupboard_is_dangerous() -> None:
    assert room_air(co2_of_sugar_g(4 * 250), 2).passed == "unconscious"


def test_a_hall_is_not() -> None:
    assert room_air(co2_of_sugar_g(4 * 250), 500).passed == "none"


def test_by_alcohol_a_little_less_than_by_sugar() -> None:
    after = ferment(Must(3000, 1000, 0), 900)
    assert 0.9 < co2_of_ethanol_g(after.ethanol_g) / co2_of_sugar_g(900) < 1


def test_no_room_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"room 0 m3 is outside 0\.05 to 10000 m3"):
        room_air(100, 0)
