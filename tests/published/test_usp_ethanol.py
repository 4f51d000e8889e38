"""Ethanol in water against the USP 29 alcoholometric table (from NBS Bulletin vol. 9): data/usp_alcoholometric.csv.

The table counts % vol at 15.56 °C (60 °F) and weighs in air, 1.2 kg/m3.
"""

from collections.abc import Callable

import pytest

from fermtui.must.density import rho_ethanol_water, rho_water

Rows = list[dict[str, str]]
AIR = 1.2
SIXTY_F = 15.56


@pytest.mark.parametrize(("column", "temp_c"), [("sg_air_25_25", 25.0), ("sg_air_15_56_15_56", SIXTY_F)])
def test_gravity_in_air_at_two_temperatures(published: Callable[[str], Rows], column: str, temp_c: float) -> None:
    for row in published("usp_alcoholometric"):
        in_air = rho_ethanol_water(float(row["ethanol_mass_pct"]) / 100, temp_c) - AIR
        assert in_air / (rho_water(temp_c) - AIR) == pytest.approx(float(row[column]), abs=0.0001), row


def test_percent_by_mass_and_by_volume(published: Callable[[str], Rows]) -> None:
    pure = rho_ethanol_water(1.0, SIXTY_F)
    for row in published("usp_alcoholometric"):
        share = float(row["ethanol_mass_pct"]) / 100
        vol_percent = 100 * share * rho_ethanol_water(share, SIXTY_F) / pure
        assert vol_percent == pytest.approx(float(row["vol_pct_at_15_56C"]), abs=0.015), row
