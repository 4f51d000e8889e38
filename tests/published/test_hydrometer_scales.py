"""Marks of hydrometers that show no SG, against published tables."""

import pytest

from fermtui.must.hydrometer_scales import mark_of_sg, sg_of_density, sg_of_mark
from fermtui.must.limits import OutOfRange


# Austrian wine law, classes of must by KMW and Oechsle as they are printed side by side (from memory).
@pytest.mark.parametrize(("kmw", "oechsle"), [(14, 68), (15, 73), (17, 84), (19, 94), (21, 105), (25, 127), (30, 156)])
def test_kmw_beside_oechsle(kmw: float, oechsle: float) -> None:
    assert mark_of_sg("oechsle", sg_of_mark("kmw", kmw)) == pytest.approx(oechsle, abs=0.6)
    assert mark_of_sg("kmw", sg_of_mark("oechsle", oechsle)) == pytest.approx(kmw, abs=0.12)


def test_twenty_kmw_as_the_instruments_say() -> None:
    """Instrument manuals: 20 KMW = 99.6 °Oe."""
    assert mark_of_sg("oechsle", sg_of_mark("kmw", 20.0)) == pytest.approx(99.6, abs=0.05)


# NBS Circular on hydrometers, degrees Baumé for liquids heavier than water, modulus 145 (from memory).
@pytest.mark.parametrize(("baume", "sg"), [(0, 1.0), (10, 1.0741), (12, 1.0902), (20, 1.1600), (30, 1.2609)])
def test_baume_by_the_bureau_of_standards(baume: float, sg: float) -> None:
    assert sg_of_mark("baume", baume) == pytest.approx(sg, abs=0.00005)
    assert mark_of_sg("baume", sg) == pytest.approx(baume, abs=0.01)


def test_oechsle_is_a_definition() -> None:
    """OIV-MA-AS2-01: the thousandths by which a must is heavier than water."""
    assert sg_of_mark("oechsle", 80.0) == pytest.approx(1.080, abs=1e-9)


# ASBC table, apparent 20/20 in air (Goldiner, Klemann, Kämpf 1966; from memory): true gravities lie within 0.0001.
@pytest.mark.parametrize(("plato", "sg"), [(10, 1.04003), (12, 1.04837), (15, 1.06111), (20, 1.08287)])
def test_plato_is_a_density(plato: float, sg: float) -> None:
    assert sg_of_mark("plato", plato) == pytest.approx(sg, abs=0.00015)
    assert mark_of_sg("plato", sg) == pytest.approx(plato, abs=0.04)


def test_density_over_that_of_water() -> None:
    """IAPWS-95: water at 20 °C and one atmosphere has 998.207 kg/m3."""
    assert sg_of_density(998.207) == pytest.approx(1.0, abs=1e-5)
    assert sg_of_density(1098.0277) == pytest.approx(1.1, abs=1e-5)


@pytest.mark.parametrize(("scale", "degrees"), [("plato", 51), ("oechsle", 301), ("baume", 34), ("kmw", 54)])
def test_beyond_the_scale(scale: str, degrees: float) -> None:
    with pytest.raises(OutOfRange):
        sg_of_mark(scale, degrees)
