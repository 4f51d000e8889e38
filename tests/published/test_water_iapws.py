"""Water against IAPWS-95 and Kell (1975): data/water_density.csv."""

from collections.abc import Callable

import pytest

from fermtui.must.density import rho_water

Rows = list[dict[str, str]]


@pytest.mark.parametrize("column", ["rho_iapws95_kg_m3", "rho_kell1975_kg_m3"])
def test_water_is_within_eight_grams_a_cubic_metre(published: Callable[[str], Rows], column: str) -> None:
    for row in published("water_density"):
        assert rho_water(float(row["t_C"])) == pytest.approx(float(row[column]), abs=0.008), row
