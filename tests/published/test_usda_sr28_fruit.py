"""Fruit against USDA SR28 (2016) by NDB number, and its densities against Choi & Okos (1986)."""

from collections.abc import Callable

import pytest

from fermtui.must.fruit import fruit, fruit_names, fruit_parts

Rows = Callable[[str], list[dict[str, str]]]

CHOI_OKOS_20C = {
    "water_g": 0.99574,
    "protein_g": 1.3195,
    "fat_g": 0.9172,
    "fibre_g": 1.3042,
    "ash_g": 2.4182,
}
"""g/mL at 20 °C, Choi & Okos (1986), as quoted with the fruit data; carbohydrate without fibre 1.5929."""


def test_a_hundred_grams_hold_the_water_and_sugar_of_the_published_record(published: Rows) -> None:
    for row in published("usda_sr28_fruit"):
        treatment = "frozen" if row["form"] == "frozen" else "raw"
        parts = fruit_parts(row["fruit"], 100, treatment, cut="crushed")
        assert parts.water_g == pytest.approx(float(row["water_g"])), row
        assert parts.sugar_g == pytest.approx(float(row["sugar_g"])), row
        assert f"NDB {row['ndb']}," in parts.fruit.source
        assert parts.fruit.counted_for is None


def test_what_is_bought_less_the_published_refuse_is_what_is_eaten(published: Rows) -> None:
    for row in published("usda_sr28_fruit"):
        treatment = "frozen" if row["form"] == "frozen" else "raw"
        parts = fruit_parts(row["fruit"], 1000, treatment, as_bought=True)
        assert parts.edible_g == pytest.approx(1000 - 10 * float(row["refuse_percent"])), row


def test_crushed_fruit_takes_the_room_of_its_components(published: Rows) -> None:
    for row in published("usda_sr28_fruit"):
        volume_ml = sum(float(row[part] or 0) / density for part, density in CHOI_OKOS_20C.items())
        volume_ml += (float(row["carbohydrate_g"]) - float(row["fibre_g"] or 0)) / 1.5929
        treatment = "frozen" if row["form"] == "frozen" else "raw"
        parts = fruit_parts(row["fruit"], 100, treatment, cut="crushed")
        assert parts.displaces_l * 1000 == pytest.approx(volume_ml, rel=0.01), row


def test_rows_without_usda_sugar_say_so() -> None:
    # Black currant sugars: Belitz, Grosch & Schieberle, Food Chemistry, table 18.3; the others are upper bounds.
    assert fruit("blackcurrant").sugar_percent == 6.30
    assert "textbook" in fruit("black currant").source
    for name in ("elderberry", "gooseberry", "quince"):
        assert "estimate" in fruit(name).source
        assert fruit(name).sugar_sd_relative > fruit("plum").sugar_sd_relative
    assert len(fruit_names()) == 43


def test_low_acid_fruit_is_what_the_ph_lists_put_above_the_acid_food_line() -> None:
    # pH of common foods lists (FDA-derived): high end above 4.6, the acid food line.
    flagged = {name for name in fruit_names() if fruit(name).low_acid}
    assert {"mango", "banana", "fig", "papaya", "watermelon"} <= flagged
    assert not flagged & {"plum", "raspberry", "cranberry", "lemon without peel", "black currant"}
