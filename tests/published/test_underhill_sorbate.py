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


def test_the_cells_that_were_not_seen_go_with_rows_and_columns(published: Rows) -> None:
    # What it grows by from one pH to the next hardly hangs on the strength: so the published neighbours tell the cells
    # between. 13 % and 3.5: 3.5 x 5/4.5..7.5/7; 12 % and 3.1: 3.5 x 4.5/5..2/2.2; 14 % and 3.3: between 2.2 and 2.7.
    for abv, ph, low, high in ((13, 3.5, 3.75, 4.1), (12, 3.1, 3.05, 3.25), (14, 3.3, 2.4, 2.55), (10, 3.2, 5.9, 6.4)):
        assert low <= dosed(1, ph, abv).potassium_sorbate_g / 0.030 <= high, (abv, ph)
    for row in published("underhill_sorbate"):
        here = float(row["solution_30_g_per_L_mL_per_L"])
        assert dosed(1, float(row["pH"]), float(row["alcohol_pct_vol"])).sorbic_acid_mg_per_l <= 30 * here * 0.7465


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
