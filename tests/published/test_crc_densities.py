"""Sugar and ethanol at 20 °C against the CRC Handbook, 102nd ed. (2021): data/crc_*.csv.

0.0002 g/cm3: the handbook and the standards that the program follows differ by up to 0.00016.
"""

from collections.abc import Callable

import pytest

from fermtui.must.density import rho_ethanol_water, rho_sugar_water

Rows = list[dict[str, str]]


@pytest.mark.parametrize(("table", "density"), [("crc_sucrose", rho_sugar_water), ("crc_ethanol", rho_ethanol_water)])
def test_density(published: Callable[[str], Rows], table: str, density: Callable[[float, float], float]) -> None:
    for row in published(table):
        ours = density(float(row["mass_pct"]) / 100, 20.0) / 1000
        assert ours == pytest.approx(float(row["density_20C_g_cm3"]), abs=0.0002), row


def test_the_sugars_of_honey_lie_where_the_docstring_says(published: Callable[[str], Rows]) -> None:
    """Fructose and glucose in equal parts are lighter than sucrose by 0.0005 at 24 %, never by more than 0.001."""
    fructose = {row["mass_pct"]: float(row["density_20C_g_cm3"]) for row in published("crc_fructose")}
    glucose = {row["mass_pct"]: float(row["density_20C_g_cm3"]) for row in published("crc_glucose")}
    shared = [percent for percent in fructose if percent in glucose and float(percent) <= 30]
    assert len(shared) > 8
    for percent in shared:
        invert = (fructose[percent] + glucose[percent]) / 2
        assert 0 <= rho_sugar_water(float(percent) / 100, 20.0) / 1000 - invert + 0.0002 <= 0.0012, percent
    at_24 = rho_sugar_water(0.24, 20.0) / 1000 - (fructose["24"] + glucose["24"]) / 2
    assert at_24 == pytest.approx(0.0005, abs=0.0002)
