"""Shares by mass against the IUPAC conventional atomic weights."""

import pytest

from fermtui.must.air import CO2_G_PER_G_ETHANOL, CO2_G_PER_G_SUGAR, CO2_G_PER_MOL
from fermtui.must.csv_tables import keyed
from fermtui.must.nutrients import DAP_N_PERCENT
from fermtui.must.preservatives import SO2_SHARE, SORBIC_SHARE

H, C, N, OX, NA, P, S, K = 1.008, 12.011, 14.007, 15.999, 22.990, 30.974, 32.06, 39.098
"""IUPAC conventional atomic weights."""

DAP = 2 * N + 9 * H + P + 4 * OX
AMMONIUM_SULFATE = 2 * N + 8 * H + S + 4 * OX
SO2 = S + 2 * OX
SORBIC_ACID = 6 * C + 8 * H + 2 * OX
CO2 = C + 2 * OX
HEXOSE = 6 * C + 12 * H + 6 * OX
WATER = 2 * H + OX
ETHANOL = 2 * C + 6 * H + OX


def test_nitrogen_of_the_ammonium_salts() -> None:
    assert pytest.approx(100 * 2 * N / DAP, abs=0.02) == DAP_N_PERCENT
    table = keyed("nutrients")
    assert float(table["dap"]["n_percent"]) == DAP_N_PERCENT
    assert float(table["ammonium_sulfate"]["n_percent"]) == pytest.approx(100 * 2 * N / AMMONIUM_SULFATE, abs=0.02)


def test_sulfur_dioxide_of_the_metabisulfites() -> None:
    assert SO2_SHARE["potassium"] == pytest.approx(2 * SO2 / (2 * K + 2 * S + 5 * OX), abs=0.0005)
    assert SO2_SHARE["sodium"] == pytest.approx(2 * SO2 / (2 * NA + 2 * S + 5 * OX), abs=0.0005)


def test_sorbic_acid_of_potassium_sorbate() -> None:
    assert pytest.approx(SORBIC_ACID / (SORBIC_ACID - H + K), abs=0.0001) == SORBIC_SHARE


def test_carbon_dioxide_of_sugars_and_alcohol() -> None:
    assert pytest.approx(CO2, abs=0.001) == CO2_G_PER_MOL
    assert pytest.approx(2 * CO2 / HEXOSE, abs=0.0001) == CO2_G_PER_G_SUGAR
    assert pytest.approx(CO2 / ETHANOL, abs=0.0001) == CO2_G_PER_G_ETHANOL
    gives = {kind: float(row["co2_g_per_g"]) for kind, row in keyed("priming").items()}
    assert gives["sucrose"] == pytest.approx(4 * CO2 / (2 * HEXOSE - WATER), abs=0.0001)
    assert gives["dextrose"] == pytest.approx(2 * CO2 / (HEXOSE + WATER), abs=0.0001)
    # Honey: 82.12 g of sugars in 100 g, USDA SR28 NDB 19296.
    assert gives["honey"] == pytest.approx(0.8212 * 2 * CO2 / HEXOSE, abs=0.0002)
