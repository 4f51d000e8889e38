"""CO2 in mead and bottles against published solubilities and the practice of sparkling wine."""

import pytest

from fermtui.must.bottles import pressure_bar_excess, priming, solubility_g_per_l_bar, volumes_to_bar


@pytest.mark.parametrize(
    ("temp_c", "g_per_100_g", "vapour_bar"),
    [(0, 0.3346, 0.0061), (10, 0.2318, 0.0123), (20, 0.1688, 0.0234), (30, 0.1257, 0.0425), (40, 0.0973, 0.0738)],
)
def test_water_holds_what_the_tables_of_chemistry_have(temp_c: float, g_per_100_g: float, vapour_bar: float) -> None:
    # Lange's Handbook of Chemistry, g of CO2 in 100 g of water where gas and vapour together have 1 atm, from memory;
    # vapour pressure of water: any steam table. Not Weiss (1974), whose formula the code has.
    grams = 10 * g_per_100_g / (1.01325 - vapour_bar)
    assert solubility_g_per_l_bar(temp_c, factor=1) == pytest.approx(grams, rel=0.015)


def test_water_at_25_c_holds_what_the_nist_webbook_says() -> None:
    # NIST Chemistry WebBook, Henry's law constant of CO2: 0.034 to 0.035 mol/(kg bar), from memory.
    assert 0.033 <= solubility_g_per_l_bar(25, factor=1) / 44.009 <= 0.0355


@pytest.mark.parametrize(("temp_c", "bunsen"), [(0, 1.7967), (10, 1.1847), (20, 0.9014)])
def test_water_agrees_with_an_old_printed_table(temp_c: float, bunsen: float) -> None:
    # Bunsen's volumes, seen in a printed table; the nineteenth century is within 4 %.
    volumes = solubility_g_per_l_bar(temp_c, factor=1) * 1.01325 / 1.9768
    assert volumes == pytest.approx(bunsen, rel=0.04)


@pytest.mark.parametrize(("temp_c", "measured"), [(10, 2.1), (6, 2.4)])
def test_mead_holds_what_was_measured_in_sparkling_wine_and_lager(temp_c: float, measured: float) -> None:
    # Henry constants in g/(L bar), PMC8047704 table 1 (seen).
    assert solubility_g_per_l_bar(temp_c) == pytest.approx(measured, rel=0.02)


def test_the_sugar_of_a_sparkling_wine_gives_its_usual_pressure() -> None:
    # 24 g/L of sugar at filling gives 5 to 6 bar at 10 °C: traditional method (glossaries seen; 24 g/L from memory).
    assert 5 <= pressure_bar_excess(24, 10) <= 6
    assert 5 <= pressure_bar_excess(24, 10, start="degassed") <= 6


def test_priming_agrees_with_that_practice() -> None:
    # The same 24 g/L as cane sugar into a mead that fermented at 20 °C.
    wanted = 24 * 0.514 / 1.9768 + 0.78
    assert priming(1, wanted, 20).sugar_g == pytest.approx(24, rel=0.01)
    assert 5 <= volumes_to_bar(wanted, 10) <= 6.3


def test_two_grams_a_litre_pass_half_a_bar_and_the_cork_line() -> None:
    # Cork trade council bulletins: at most 0.14 bar excess behind a pushed cork (seen).
    assert pressure_bar_excess(2, 20) > 0.5
    assert pressure_bar_excess(0.5, 20) > 0.14
