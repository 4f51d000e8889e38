"""Composition against 532 analysed beers: Cutaia, Reid, Speers, J. Inst. Brew. 115(4), 318-327 (2009).

Table III, mean rows (the least and greatest stand column by column): data/cutaia2009_table_iii.csv.
"""

from collections.abc import Callable

import pytest

from fermtui.must.composition import Must, ferment_to, from_gravity
from fermtui.must.refractometer import plato_from_sg, sg_from_plato

Rows = list[dict[str, str]]


def test_mean_beers(published: Callable[[str], Rows]) -> None:
    means = [row for row in published("cutaia2009_table_iii") if row["statistic"] == "mean"]
    assert len(means) >= 4
    for row in means:
        extract, alcohol = float(row["real_extract_plato"]), float(row["alcohol_mass_pct"])
        beer = Must(100.0 - extract - alcohol, extract, alcohol)
        assert plato_from_sg(beer.sg) == pytest.approx(float(row["apparent_extract_plato"]), abs=0.05), row


def test_fermented_from_the_original_to_the_apparent_extract(published: Callable[[str], Rows]) -> None:
    """As a brewer reckons, from two gravities. The beers scatter: their own extracts miss Balling by up to 0.23 °P."""
    for row in published("cutaia2009_table_iii"):
        if row["statistic"] == "mean":
            wort = from_gravity(1.0, sg_from_plato(float(row["original_extract_plato"])))
            beer, _ = ferment_to(wort, sg_from_plato(float(row["apparent_extract_plato"])))
            assert beer.ethanol_mass_percent == pytest.approx(float(row["alcohol_mass_pct"]), abs=0.12), row
            assert beer.extract_mass_percent == pytest.approx(float(row["real_extract_plato"]), abs=0.05), row
