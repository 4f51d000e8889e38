"""Fruit: friendly names, forms, room, what it brings and when."""

import pytest

from fermtui.must.cautions import MOMENTS
from fermtui.must.csv_tables import rows
from fermtui.must.fruit import (
    UnknownFruit,
    fruit,
    fruit_names,
    fruit_parts,
    other_names,
    room_left_l,
    treatment_of,
    treatments,
)
from fermtui.must.limits import OutOfRange


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("plum", "plum"),
        ("Plums", "plum"),
        ("raspberries", "raspberry"),
        ("black currant", "black currant"),
        ("Blackcurrants", "black currant"),
        ("black-currant", "black currant"),
        ("red_currants", "red or white currant"),
        ("Peaches", "peach"),
        ("sour cherries", "cherry sour"),
        ("grape European type", "grape European type"),
        ("apples", "apple with skin"),
    ],
)
def test_a_friendly_name_finds_its_fruit(asked: str, found: str) -> None:
    assert fruit(asked).name == found
    assert fruit(asked).counted_for is None


@pytest.mark.parametrize(
    ("asked", "found"), [("damson", "plum"), ("Sloes", "plum"), ("greengage", "plum"), ("cherries", "cherry sweet")]
)
def test_a_near_relative_says_what_it_stands_for(asked: str, found: str) -> None:
    assert fruit(asked).name == found
    assert fruit(asked).counted_for is not None


def test_every_row_is_reached_by_its_name() -> None:
    for row in rows("fruits"):
        assert f"NDB {row['ndb']}," in fruit(row["name"], row["form"]).source
    assert len(rows("fruits")) == 48
    assert set(other_names().values()) <= set(fruit_names())


def test_frozen_fruit_uses_its_frozen_row_where_there_is_one() -> None:
    assert fruit("blackberry", "frozen").sugar_percent == 10.67
    assert fruit("blackberry").sugar_percent == 4.88
    assert fruit("plum", "frozen").form == "raw"
    assert fruit("peach", "frozen").sugar_percent == 8.39  # never the sweetened packet


def test_an_unknown_fruit_is_refused_with_the_nearest_names() -> None:
    with pytest.raises(UnknownFruit, match="did you mean plum"):
        fruit("plumm")
    with pytest.raises(UnknownFruit, match="treatment 'boiled' is not known: it is one of raw, frozen"):
        fruit_parts("plum", 100, "boiled")


def test_a_pound_of_plums() -> None:
    parts = fruit_parts("plum", 453.6)
    assert parts.sugar_g == pytest.approx(45.0, abs=0.1)
    assert parts.water_g == pytest.approx(395.7, abs=0.1)
    assert parts.displaces_l == pytest.approx(0.458, abs=0.001)
    assert fruit_parts("plum", 453.6, "frozen").displaces_l == pytest.approx(0.435, abs=0.001)
    assert 0 < parts.sugar_sd_g < parts.sugar_g / 2


def test_stones_are_no_food_but_take_room() -> None:
    stoned = fruit_parts("plum", 1000)
    whole = fruit_parts("plum", 1000, as_bought=True)
    assert whole.sugar_g == pytest.approx(stoned.sugar_g * 0.94)
    assert whole.displaces_l == pytest.approx(stoned.displaces_l)
    assert whole.pulp_ml > stoned.pulp_ml
    assert fruit_parts("plum", 1000, "pureed", as_bought=True).displaces_l < whole.displaces_l


def test_peel_is_left_in_the_kitchen() -> None:
    assert fruit_parts("banana", 1000, as_bought=True).displaces_l < 0.7
    assert not fruit("banana").has_stones


def test_dried_fruit_holds_back_more_mead() -> None:
    assert fruit_parts("raisins", 500).pulled_loss_l > fruit_parts("plum", 500).pulled_loss_l


def test_room_above_the_fruit() -> None:
    assert room_left_l(4.5, 3.8, 0.46) == pytest.approx(0.24)
    assert room_left_l(4.5, 4.2, 0.46) < 0


def test_treatments_have_heat_time_and_cautions() -> None:
    assert {each.key for each in treatments()} == {"raw", "frozen", "simmered", "blanched", "pureed", "pectic enzyme"}
    assert treatment_of("simmered").temp_c == 71.1
    assert treatment_of("simmered").hold_s == 6
    for each in treatments():
        assert set(each.caution_moments) <= set(MOMENTS)
        assert each.source
    assert "fruit_heat" in treatment_of("blanched").caution_moments


def test_a_negative_mass_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"fruit -1 g is outside 0 to 10 000 000 g: no mass is negative"):
        fruit_parts("plum", -1)


@pytest.mark.parametrize("kind", ["plum", "strawberry", "sour cherry", "apple"])
def test_drained_fruit_keeps_about_a_fifth_of_its_weight(kind: str) -> None:
    # Handbooks of juice making, from memory: pressed or well drained fruit gives 70 to 85 % of its weight as juice, so
    # 0.15 to 0.30 mL a gram stays behind. More would cost bottles that are there, less would dose mead that is not.
    assert 0.15 <= fruit_parts(kind, 1000).pulled_loss_l <= 0.30


def test_a_guessed_fruit_is_twice_as_unsure_as_a_weighed_one() -> None:
    # Cultivars and years differ by about a sixth around the average of a food table (USDA SR28 gives standard errors of
    # that size for sugars of plums and berries, from memory); where the figure is a guess it may be off by a third.
    assert fruit("plum").sugar_sd_relative == pytest.approx(1 / 6, abs=0.03)
    assert fruit("elderberry").sugar_sd_relative == pytest.approx(1 / 3, abs=0.04)
