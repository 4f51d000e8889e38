"""Refractive index of sugar and ethanol in water against the CRC Handbook and the ICUMSA fit.

data/icumsa_sucrose_refractive_index.csv: only the column solved from the published polynomial, not the remembered one.
"""

from collections.abc import Callable

import pytest

from fermtui.must.refractometer import refractive_index

Rows = list[dict[str, str]]


def test_sucrose_by_icumsa(published: Callable[[str], Rows]) -> None:
    for row in published("icumsa_sucrose_refractive_index"):
        ours = refractive_index(float(row["sucrose_mass_pct"]))
        assert ours == pytest.approx(float(row["n_from_polynomial"]), abs=0.0001), row


def test_the_published_polynomial_gives_the_sugar_back() -> None:
    """Brix from refractive index at 589.3 nm, the fit to the ICUMSA table as printed in a public encyclopedia."""
    for brix in range(0, 41, 5):
        n = refractive_index(float(brix))
        fit = ((((11758.74 * n - 88885.21) * n + 270177.93) * n - 413145.80) * n + 318417.95) * n - 99127.4536
        assert fit == pytest.approx(brix, abs=0.06)


def test_crc_sucrose(published: Callable[[str], Rows]) -> None:
    for row in published("crc_sucrose"):
        assert refractive_index(float(row["mass_pct"])) == pytest.approx(float(row["n_D_20C"]), abs=0.0001), row


def test_crc_ethanol(published: Callable[[str], Rows]) -> None:
    for row in published("crc_ethanol"):
        if (percent := float(row["mass_pct"])) <= 40:
            assert refractive_index(0.0, percent) == pytest.approx(float(row["n_D_20C"]), abs=0.0001), row
