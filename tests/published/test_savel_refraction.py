"""Refraction of a fermenting must: Savel and others, Kvasny Prumysl 66(2), 239-244 (2020), abstract.

At constant original extract the apparent extract is a linear function of the refraction; Savel, Kvasny Prumysl 17(3),
53-56 (1971), states 0.1 % by mass for an original extract of 11.5 %. (His scale of the immersion refractometer is only
remembered, so the constants are not tested.)
"""

from statistics import linear_regression

import pytest

from fermtui.must.composition import ferment_to, from_gravity
from fermtui.must.refractometer import plato_from_sg, refractive_index, sg_from_plato


@pytest.mark.parametrize(("original", "width"), [(11.5, 0.1), (16.0, 0.15)])
def test_apparent_extract_is_linear_in_refraction(original: float, width: float) -> None:
    wort = from_gravity(1.0, sg_from_plato(original))
    line = []
    for tenth in range(11):
        apparent = 2.0 + (original - 2.0) * tenth / 10
        beer, _ = ferment_to(wort, sg_from_plato(apparent))
        line.append((refractive_index(beer.extract_mass_percent, beer.ethanol_mass_percent), plato_from_sg(beer.sg)))
    slope, start = linear_regression([n for n, _ in line], [extract for _, extract in line])
    for n, extract in line:
        assert extract == pytest.approx(start + slope * n, abs=width)
