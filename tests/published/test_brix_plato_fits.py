"""Brix and Plato from gravity against public fits to NBS Circular C440 and to the ASBC table (true within 0.0001 SG).

Both fits take the apparent gravity 20/20 in air. Polynomials seen in public encyclopedia text on the Brix scale.
"""

import pytest

from fermtui.must.density import RHO_WATER_20
from fermtui.must.refractometer import plato_from_sg, sg_from_plato

AIR = 1.2


def apparent(plato: float) -> float:
    return (sg_from_plato(plato) * RHO_WATER_20 - AIR) / (RHO_WATER_20 - AIR)


@pytest.mark.parametrize("brix", range(41))
def test_brix_by_nbs_c440(brix: int) -> None:
    s = apparent(brix)
    fit = 182.4601 * s**3 - 775.6821 * s**2 + 1262.7794 * s - 669.5622
    assert fit == pytest.approx(brix, abs=0.025)


@pytest.mark.parametrize("plato", range(31))
def test_plato_by_asbc(plato: int) -> None:
    s = apparent(plato)
    fit = 135.997 * s**3 - 630.272 * s**2 + 1111.14 * s - 616.868
    assert fit == pytest.approx(plato, abs=0.025)


@pytest.mark.parametrize("sg", [1.010, 1.040, 1.080])
def test_plato_by_the_one_parameter_form(sg: float) -> None:
    """J. Buhl, OSF preprint 9wfym (2023): 260.4 - 260.4/S, good to 20 degrees."""
    assert plato_from_sg(sg) == pytest.approx(260.4 - 260.4 / sg, abs=0.06)
