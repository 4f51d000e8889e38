"""Ceilings against 27 CFR, OIV and EU rules, and CO2 against OSHA and NIOSH. Values from memory say so."""

from collections.abc import Callable

import pytest

from fermtui.must.air import limit_passed, limit_ppm
from fermtui.must.bottles import fill_level_mm, ullage_mm
from fermtui.must.csv_tables import limit
from fermtui.must.nutrients import dap_room_g, yan_need_mg_per_l
from fermtui.must.preservatives import sulfite_level

Rows = Callable[[str], list[dict[str, str]]]

US_GALLON_L = 3.785411784
"""Exact: 231 cubic inches, NIST Handbook 44."""
POUND_G = 453.59237


def test_sulfite_lines() -> None:
    assert sulfite_level(20, 350) == "total above 200"
    assert sulfite_level(20, 350.1) == "total above 350"  # 27 CFR 4.22(b)(1)
    assert sulfite_level(20, 200.1) == "total above 200"  # OIV-MA-C1-01 (2019), white, up to 4 g/L sugars
    assert sulfite_level(50.1, 90) == "free above 50"  # free SO2 noticed by taste, two sources
    assert sulfite_level(50, 200) == "fine"


def test_ammonium_phosphate() -> None:
    # 27 CFR 24.246, memory: 8 lb per 1000 US gal; Reg (EU) 2019/934 annex I, memory: 1 g/L.
    assert limit("dap_us") == pytest.approx(8 * POUND_G / (1000 * US_GALLON_L), abs=0.002)
    assert limit("dap_eu") == 1.0
    assert dap_room_g(10, 0) == pytest.approx(9.6)


def test_home_allowance() -> None:
    # 27 CFR 24.75(b): 200 US gal a calendar year with two or more adults, 100 with one.
    assert limit("home_two_adults_us") == pytest.approx(200 * US_GALLON_L, abs=0.01)
    assert limit("home_one_adult_us") == pytest.approx(100 * US_GALLON_L, abs=0.01)


def test_co2_lines_of_osha_and_niosh(published: Rows) -> None:
    for row in published("osha_niosh_co2"):
        assert limit_ppm(row["limit"]) == float(row["ppm"])
        assert limit_passed(float(row["ppm"]) + 1) == row["limit"]


@pytest.mark.parametrize(("brix", "yan"), [(21, 200), (25, 300), (28, 400), (33, 400)])
def test_nitrogen_need_of_uc_davis(brix: float, yan: float) -> None:
    # UC Davis Viticulture & Enology, tips for avoiding fermentation lags (seen).
    assert yan_need_mg_per_l(brix=brix) == pytest.approx(yan)


@pytest.mark.parametrize(("brix", "yan"), [(23, 250), (27, 350)])
def test_nitrogen_need_near_bisson_and_butzke(brix: float, yan: float) -> None:
    # Table attributed to Bisson & Butzke (2000), from memory; the line between the seen points gives 250 and 367.
    assert yan_need_mg_per_l(brix=brix) == pytest.approx(yan, abs=17)


def test_low_demand_strains_stay_above_what_finished() -> None:
    # UC Davis: low-demand strains finished on 120 mg/L at 21 °Brix; Watson et al.: recommendations span 140 to 500.
    assert yan_need_mg_per_l(brix=21, demand="low") >= 120
    assert yan_need_mg_per_l(brix=30, demand="high") <= 500


def test_fill_level_of_the_cork_bulletin(published: Rows) -> None:
    for row in published("cork_bulletin_fill"):
        temp_c = (float(row["mead_temperature_F"]) - 32) / 1.8
        assert fill_level_mm(temp_c) == pytest.approx(float(row["fill_level_from_top_mm"]), abs=0.1), row
        assert ullage_mm(temp_c, 45) == pytest.approx(float(row["ullage_below_45mm_cork_mm"]), abs=0.1), row
        assert ullage_mm(temp_c, 49) == pytest.approx(float(row["ullage_below_49mm_cork_mm"]), abs=0.1), row
