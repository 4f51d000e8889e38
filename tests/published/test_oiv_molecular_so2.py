"""Molecular SO2 against OIV-MA-AS323-04C table I and the UC Cooperative Extension table of 1982."""

from collections.abc import Callable

import pytest

from fermtui.must.preservatives import molecular_share, molecular_share_plain

Rows = Callable[[str], list[dict[str, str]]]

IONIC_LOWERING = 0.08
"""The method takes the mixed constant at I = 0.038 'about 0.08 lower' than table I."""


@pytest.mark.parametrize("ph", [2.9, 3.3, 3.7, 4.2])
def test_the_molecular_share_is_that_of_the_oiv_table_within_two_percent(published: Rows, ph: float) -> None:
    for row in published("oiv_as323_04c_pkt"):
        expected = 1 / (10 ** (ph - (float(row["thermodynamic_pkT"]) - IONIC_LOWERING)) + 1)
        share = molecular_share(ph, float(row["temperature_C"]), float(row["alcohol_pct_vol"]))
        assert share == pytest.approx(expected, rel=0.02), row


def test_the_plain_form_is_the_printed_table_of_1982(published: Rows) -> None:
    for row in published("uc_1982_free_so2"):
        ph = float(row["pH"])
        # Rows between tenths sit up to about 3 mg/L high in the print.
        near = 1.1 if round(ph * 100) % 10 == 0 else 3.1
        for molecular, column in (
            (0.8, "free_SO2_mg_per_L_for_0.8_molecular"),
            (0.5, "free_SO2_mg_per_L_for_0.5_molecular"),
        ):
            assert molecular / molecular_share_plain(ph) == pytest.approx(float(row[column]), abs=near), row


def test_alcohol_spares_sulfite_as_the_oiv_table_says() -> None:
    # pK rises by 0.20 from 0 to 10 % vol at 20 °C in table I, so less free SO2 holds the same molecular SO2.
    weak, strong = (0.8 / molecular_share(3.4, 20, abv) for abv in (0, 10))
    assert weak / strong == pytest.approx(10**0.199, rel=0.03)
