"""Sorbate against T. Underhill's table, the OIV limit, and doses remembered from Peynaud."""

from collections.abc import Callable

import pytest

from fermtui.must.preservatives import SorbateDose, WaysOut, sorbate_dose

Rows = Callable[[str], list[dict[str, str]]]


def dosed(volume_l: float, ph: float, abv_percent: float) -> SorbateDose:
    dose = sorbate_dose(volume_l, ph, abv_percent)
    assert isinstance(dose, SorbateDose)
    return dose


def test_every_published_cell_comes_back(published: Rows) -> None:
    for row in published("underhill_sorbate"):
        dose = dosed(4, float(row["pH"]), float(row["alcohol_pct_vol"]))
        assert dose.potassium_sorbate_g == pytest.approx(4 * 0.030 * float(row["solution_30_g_per_L_mL_per_L"])), row
        assert not dose.capped


def test_no_dose_passes_the_oiv_limit_of_200_mg_per_l() -> None:
    # OIV II.3.4.5; the table's largest cell, 10 % and pH 3.5, would be 201.5.
    dose = dosed(10, 3.5, 10)
    assert dose.sorbic_acid_mg_per_l == 200
    assert dose.capped


@pytest.mark.parametrize(("abv", "peynaud"), [(10, 150), (11, 125), (12, 100), (13, 75), (14, 50)])
def test_the_table_agrees_in_size_with_peynaud(abv: float, peynaud: float) -> None:
    # Peynaud's doses are from memory, at no stated pH: the same size, not the same figure.
    low, high = (dosed(1, ph, abv).sorbic_acid_mg_per_l for ph in (3.1, 3.5))
    assert low - 10 <= peynaud <= high + 10


def test_outside_the_table_there_is_no_dose() -> None:
    for ph, abv in ((3.51, 12), (3.3, 9.9), (3.8, 7)):
        assert isinstance(sorbate_dose(4, ph, abv), WaysOut)
