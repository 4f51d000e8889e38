"""Honey: water by refractive index (IHC methods, AOAC 969.38) and average composition (USDA; US survey 1980).

data/honey_moisture_refractive_index.csv, data/honey_composition.csv (rows marked memory are not used).
"""

from collections.abc import Callable

import pytest

from fermtui.must.honey import MOISTURE_PERCENT, honey_must, moisture_from_refractive_index

Rows = list[dict[str, str]]


def test_water_by_refractive_index(published: Callable[[str], Rows]) -> None:
    for row in published("honey_moisture_refractive_index"):
        water = moisture_from_refractive_index(float(row["n_D_20C"]))
        assert water == pytest.approx(float(row["water_g_per_100g"]), abs=0.03), row


def test_the_default_is_the_usda_average(published: Callable[[str], Rows]) -> None:
    seen = {
        row["component"]: float(row["value"])
        for row in published("honey_composition")
        if row["source"].startswith("USDA") and row["status"] == "seen"
    }
    assert seen["water"] == MOISTURE_PERCENT
    honey = honey_must(100.0)
    assert honey.sugar_g == pytest.approx(seen["carbohydrate"] + seen["protein"], abs=0.3)


def test_all_that_is_not_water_is_extract(published: Callable[[str], Rows]) -> None:
    survey = [row for row in published("honey_composition") if row["source"] == "US1980"]
    water = sum(float(row["value"]) for row in survey if row["component"] == "water")
    rest = sum(float(row["value"]) for row in survey if row["component"] != "water")
    assert honey_must(100.0, water).sugar_g == pytest.approx(rest, abs=0.1)


@pytest.mark.parametrize("moisture_percent", [18.6, 20.0, 21.0, 23.0, 25.0])
def test_every_legal_honey_is_taken(moisture_percent: float) -> None:
    """US grades A to C, EU 2001/110/EC in general, AU/NZ, heather honey, baker's heather honey."""
    assert honey_must(1000.0, moisture_percent).water_g == pytest.approx(10 * moisture_percent)
