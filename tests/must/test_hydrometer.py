"""A reading at a temperature.

The rows come from the same chain evaluated by another program (trust: computed; no published hydrometer table for
fermenting must was found). Glass expands by 25e-6 per °C: ISO 1768:1975, conventional value.
"""

import pytest

from fermtui.must.composition import EMPTY, Must, ferment_to, from_gravity, from_gravity_and_abv, unferment
from fermtui.must.hydrometer import true_sg
from fermtui.must.limits import OutOfRange

SWEET = [  # calibrated °C, true SG, sample °C, reading
    (20.0, 1.000, 5, 1.00139),
    (20.0, 1.000, 35, 0.99619),
    (20.0, 1.050, 12, 1.05161),
    (20.0, 1.050, 30, 1.04718),
    (20.0, 1.100, 5, 1.10343),
    (20.0, 1.100, 32, 1.09597),
    (15.56, 1.000, 20, 0.99930),
    (15.56, 1.050, 28, 1.04708),
    (15.56, 1.100, 10, 1.10175),
]
FERMENTED = [  # % vol, true SG, sample °C, reading on an instrument for 20 °C
    (8, 1.0000, 5, 1.00196),
    (12, 0.9960, 10, 0.99797),
    (12, 0.9960, 35, 0.99122),
    (12, 1.0100, 30, 1.00686),
    (14, 1.0200, 12, 1.02216),
    (10, 1.0300, 5, 1.03293),
]


@pytest.mark.parametrize(("calibrated_c", "sg", "temp_c", "reading"), SWEET)
def test_a_must_without_alcohol(calibrated_c: float, sg: float, temp_c: float, reading: float) -> None:
    for start in (None, EMPTY, from_gravity(1.0, sg)):
        assert true_sg(reading, temp_c, start, calibrated_c=calibrated_c) == pytest.approx(sg, abs=0.00002)


@pytest.mark.parametrize(("abv", "sg", "temp_c", "reading"), FERMENTED)
def test_a_mead(abv: float, sg: float, temp_c: float, reading: float) -> None:
    mead = from_gravity_and_abv(4.0, sg, abv)
    assert true_sg(reading, temp_c, mead) == pytest.approx(sg, abs=0.00002)


@pytest.mark.parametrize(("abv", "sg", "temp_c", "reading"), FERMENTED)
def test_the_ledger_of_last_week_finds_it_too(abv: float, sg: float, temp_c: float, reading: float) -> None:
    """The ledger stands where the reading before left it; the new reading lies further down the same way."""
    earlier = unferment(from_gravity_and_abv(4.0, sg, abv), 150.0)
    assert earlier.sg > sg + 0.015
    assert true_sg(reading, temp_c, earlier) == pytest.approx(sg, abs=0.00002)


def test_sugar_alone_would_be_off_by_a_point() -> None:
    mead = from_gravity_and_abv(4.0, 0.996, 12.0)
    assert true_sg(0.99851, 5.0, None) - true_sg(0.99851, 5.0, mead) == pytest.approx(0.0011, abs=0.0002)


def test_no_temperature_means_the_one_on_the_scale() -> None:
    mead = from_gravity_and_abv(4.0, 1.010, 10.0)
    assert true_sg(1.010, None, mead) == pytest.approx(1.010, abs=1e-9)
    assert true_sg(1.010, None, mead, calibrated_c=15.56) == true_sg(1.010, 15.56, mead, calibrated_c=15.56)


def test_sixty_fahrenheit_instruments_read_against_denser_water() -> None:
    assert true_sg(1.000, None, None, calibrated_c=15.56) == pytest.approx(1.000, abs=1e-6)


def test_the_offset_is_added() -> None:
    assert true_sg(1.052, 20.0, None, offset_sg=-0.002) == pytest.approx(1.050, abs=1e-9)


def test_readings_off_the_way_still_come_back_whole() -> None:
    """Honey that nobody wrote down, and a must drier than its ledger allows: the reading stands."""
    must, _ = ferment_to(from_gravity(4.0, 1.050), 1.010)
    assert true_sg(1.080, 25.0, must) == pytest.approx(1.0814, abs=0.0004)
    assert true_sg(0.980, 25.0, must) == pytest.approx(0.9813, abs=0.0008)
    assert true_sg(0.990, 25.0, Must(1000.0)) == pytest.approx(0.9911, abs=0.0008)


@pytest.mark.parametrize(
    ("reading", "temp_c", "calibrated_c", "offset_sg", "says"),
    [
        (1.9, 20.0, 20.0, 0.0, r"reading 1\.9 SG is outside 0\.94 to 1\.4 SG"),
        (0.5, 20.0, 20.0, 0.0, r"reading 0\.5 SG"),
        (float("nan"), 20.0, 20.0, 0.0, "reading that is not a number"),
        (1.050, -80.0, 20.0, 0.0, "sample temperature -80 °C is outside -5 to 40 °C"),
        (1.050, 68.0, 20.0, 0.0, "sample temperature 68 °C"),
        (1.050, 20.0, 60.0, 0.0, "calibration temperature 60 °C"),
        (1.050, 20.0, 20.0, 0.2, r"offset of the hydrometer 0\.2 SG"),
        (1.050, 20.0, 20.0, 0.055, r"offset of the hydrometer 0\.055 SG is outside -0\.05 to 0\.05 SG"),
    ],
)
def test_nonsense_is_refused(reading: float, temp_c: float, calibrated_c: float, offset_sg: float, says: str) -> None:
    with pytest.raises(OutOfRange, match=says):
        true_sg(reading, temp_c, None, calibrated_c=calibrated_c, offset_sg=offset_sg)
