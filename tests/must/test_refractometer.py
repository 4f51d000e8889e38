"""Brix, before and during the ferment."""

import pytest

from fermtui.must.composition import EMPTY, ferment_to, from_gravity
from fermtui.must.limits import OutOfRange
from fermtui.must.refractometer import brix_at_20, plato_from_sg, refractive_index, sg_from_brix, sg_from_plato


@pytest.mark.parametrize("sg", [1.000, 1.010, 1.050, 1.095, 1.130, 1.220])
def test_plato_and_back(sg: float) -> None:
    assert sg_from_plato(plato_from_sg(sg)) == pytest.approx(sg, abs=1e-8)


def test_before_pitching_it_is_the_sugar() -> None:
    for start in (None, EMPTY, from_gravity(4.0, 1.060)):
        sg, plus_minus = sg_from_brix(22.69, start, fermented=False)
        assert sg == pytest.approx(1.095, abs=0.00002)
        assert 0.0007 < plus_minus < 0.0012


# By another program along the same additive model (trust: computed, expect 0.3 °Bx): OG, SG, reading in °Bx.
ALONG = [
    (1.060, 1.020, 8.58),
    (1.080, 1.060, 16.41),
    (1.090, 1.000, 8.23),
    (1.100, 1.040, 15.12),
    (1.110, 1.010, 11.58),
    (1.120, 1.020, 13.96),
]


@pytest.mark.parametrize(("og", "sg", "brix"), ALONG)
def test_while_it_ferments(og: float, sg: float, brix: float) -> None:
    must = from_gravity(4.0, og)
    found, plus_minus = sg_from_brix(brix, must, fermented=True)
    assert found == pytest.approx(sg, abs=0.0006)
    assert 0.002 < plus_minus < 0.003
    later, _ = ferment_to(must, (og + sg) / 2)
    assert sg_from_brix(brix, later, fermented=True)[0] == pytest.approx(found, abs=1e-6)


def test_plain_brix_would_be_far_off_in_a_mead() -> None:
    must = from_gravity(4.0, 1.090)
    assert sg_from_brix(8.23, must, fermented=False)[0] - sg_from_brix(8.23, must, fermented=True)[0] > 0.030


def test_its_own_index_leads_back_to_the_must() -> None:
    mead, _ = ferment_to(from_gravity(4.0, 1.090), 1.015)
    n = refractive_index(mead.extract_mass_percent, mead.ethanol_mass_percent)
    low, high = 0.0, 50.0
    for _ in range(60):
        brix = (low + high) / 2
        low, high = (brix, high) if refractive_index(brix) < n else (low, brix)
    assert sg_from_brix(low, from_gravity(4.0, 1.090), fermented=True)[0] == pytest.approx(mead.sg, abs=1e-6)


def test_more_sugar_than_the_ledger_knows_is_followed_upwards() -> None:
    must = from_gravity(4.0, 1.080)
    assert sg_from_brix(22.69, must, fermented=True)[0] == pytest.approx(1.095, abs=0.0001)


def test_less_than_alcohol_alone_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"refractometer reading 1\.0 °Bx is below .* alcohol reads as sugar"):
        sg_from_brix(1.0, from_gravity(4.0, 1.090), fermented=True)


def test_a_cold_sample_reads_too_much() -> None:
    assert brix_at_20(20.0, 10.0) == pytest.approx(19.35, abs=0.02)
    assert brix_at_20(0.1, 5.0) == 0.0


@pytest.mark.parametrize("brix", [-0.1, 51.0, float("nan")])
def test_readings_off_the_scale_are_refused(brix: float) -> None:
    for fermented in (False, True):
        with pytest.raises(OutOfRange, match="refractometer reading"):
            sg_from_brix(brix, from_gravity(4.0, 1.090), fermented=fermented)
    with pytest.raises(OutOfRange):
        brix_at_20(brix, 20.0)


def test_temperatures_beyond_the_table_are_refused() -> None:
    with pytest.raises(OutOfRange, match="sample temperature 35 °C is outside 5 to 30 °C"):
        brix_at_20(20.0, 35.0)
