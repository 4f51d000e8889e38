"""A refractometer away from 20 °C against OIV-MA-AS2-02 Table I: data/oiv_as2_02_refractometer_temperature.csv."""

from collections.abc import Callable

import pytest

from fermtui.must.refractometer import brix_at_20

Rows = list[dict[str, str]]


def test_every_seen_cell_up_to_50_brix(published: Callable[[str], Rows]) -> None:
    tried = 0
    for row in published("oiv_as2_02_refractometer_temperature"):
        for brix in (10, 15, 20, 25, 30, 35, 40, 45, 50):
            if cell := row[f"corr_at_{brix}_pct"]:
                assert brix_at_20(brix, float(row["t_C"])) - brix == pytest.approx(float(cell), abs=0.015), (row, brix)
                tried += 1
    assert tried > 55


def test_nothing_at_20() -> None:
    assert brix_at_20(24.0, 20.0) == 24.0
