"""Refraction of a fermenting must: Savel and others, Kvasny Prumysl 66(2), 239-244 (2020), abstract.

At constant original extract the apparent extract is a linear function of the refraction; Savel, Kvasny Prumysl 17(3),
53-56 (1971), states 0.1 % by mass for an original extract of 11.5 %, and 0.3830 % for each unit of the immersion
refractometer. Its scale is from memory (Wagner's tables: 0 is 1.32736, 50 is 1.34650): 0.000383 a unit, so the slope is
known to a few per cent and the start is not tested. Straight it would be without the alcohol too; the slope would not
be his.
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
    if original == 11.5:
        assert slope == pytest.approx(0.3830 / ((1.34650 - 1.32736) / 50), rel=0.05)


def test_a_dry_mead_still_reads_what_its_alcohol_bends() -> None:
    # By Balling and the CRC Handbook: 1.095 is 22.67 % by mass; at 1.000 4.10 % of real extract and 10.18 % of alcohol
    # are left. Sucrose of 4.10 % has 1.3389, alcohol of 10.18 % 0.0067 more than water: 1.3456, which is 8.6 % of
    # sucrose (0.00147 a per cent).
    mead, _ = ferment_to(from_gravity(1.0, 1.095), 1.000)
    assert mead.extract_mass_percent == pytest.approx(4.10, abs=0.25)
    assert mead.ethanol_mass_percent == pytest.approx(10.18, abs=0.15)
    assert refractive_index(mead.extract_mass_percent, mead.ethanol_mass_percent) == pytest.approx(1.3456, abs=0.0005)
    assert refractive_index(8.6) == pytest.approx(1.3456, abs=0.0003)
