"""Degrees Brix against the USDA sucrose conversion table, file code 135-A-50: data/sucrose_usda_135a50.csv.

The table is the apparent gravity in air of 1.2 kg/m3.
"""

from collections.abc import Callable

import pytest

from fermtui.must.density import RHO_WATER_20, rho_sugar_water

Rows = list[dict[str, str]]
AIR = 1.2


def test_apparent_gravity(published: Callable[[str], Rows]) -> None:
    for row in published("sucrose_usda_135a50"):
        apparent = (rho_sugar_water(float(row["brix_mass_pct"]) / 100, 20.0) - AIR) / (RHO_WATER_20 - AIR)
        assert apparent == pytest.approx(float(row["sg_air_20_20"]), abs=0.0001), row
