"""Units against their legal definitions: exact factors, so exact results."""

import pytest

from fermtui.units import mass_g, per_litre_g, temp_c, volume_l

INCH_CM = 2.54
"""Exact: international yard and pound agreement, 1959."""
POUND_G = 453.59237
"""Exact: international avoirdupois pound, 1959 (memory)."""


def test_us_gallon_is_231_cubic_inches() -> None:
    # NIST Handbook 44, appendix C.
    gallon_l = 231 * INCH_CM**3 / 1000
    assert volume_l("1 gal") == pytest.approx(gallon_l, rel=1e-12)
    assert volume_l("1 qt") == pytest.approx(gallon_l / 4, rel=1e-12)
    assert volume_l("1 pt") == pytest.approx(gallon_l / 8, rel=1e-12)
    assert volume_l("1 fl oz") == pytest.approx(gallon_l / 128, rel=1e-12)


def test_imperial_gallon() -> None:
    # UK Weights and Measures Act 1985 (memory): 4.54609 L.
    assert volume_l("1 imp gal") == 4.54609


def test_pound_and_ounce() -> None:
    assert mass_g("1 lb") == POUND_G
    assert mass_g("16 oz") == pytest.approx(POUND_G, rel=1e-12)


@pytest.mark.parametrize(("fahrenheit", "celsius"), [(32, 0), (212, 100), (68, 20), (-40, -40)])
def test_fixed_points_of_fahrenheit(fahrenheit: float, celsius: float) -> None:
    assert temp_c(f"{fahrenheit} F") == pytest.approx(celsius, abs=1e-12)


def test_pounds_in_a_thousand_gallons_are_those_that_the_law_prints() -> None:
    # 27 CFR 24.246 prints 2 lb/1000 US gal as 0.24 g/L (seen).
    assert mass_g("2 lb") / volume_l("1000 gal") == pytest.approx(per_litre_g("0.24 g/L"), abs=0.0005)
