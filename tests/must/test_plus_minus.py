"""How sure the sums are: each against the same worked by hand for one input, and against the sum at its edges."""

from __future__ import annotations

import pytest

from fermtui.must import plus_minus
from fermtui.must.bottles import pressure_bar_excess
from fermtui.must.composition import from_gravity_and_abv
from fermtui.must.limits import OutOfRange


def test_an_input_moves_the_sum_by_its_slope() -> None:
    assert plus_minus.spread(lambda x: 3.0 * x, 5.0, 0.2) == pytest.approx(0.6)
    assert plus_minus.spread(lambda x: -3.0 * x, 5.0, 0.2) == pytest.approx(0.6)


def test_at_the_edge_of_a_table_one_side_counts() -> None:
    def known_below_five(x: float) -> float:
        if x > 5.0:
            raise OutOfRange("the table ends there")
        return 3.0 * x

    assert plus_minus.spread(known_below_five, 5.0, 0.2) == pytest.approx(0.6)
    assert plus_minus.spread(known_below_five, 9.0, 0.2) == 0.0


def test_a_ph_that_is_off_by_a_twentieth_moves_the_sulfite_by_a_ninth() -> None:
    # 10^0.05 = 1.122 by the definition of pH: of 32 mg/L that is 3.7.
    sd = plus_minus.free_so2_mg_per_l(3.4, 20.0, 12.0, 0.8)
    assert sd == pytest.approx(31.9 * (10**0.05 - 10**-0.05) / 2, rel=0.05)
    # 4 L of it in potassium metabisulfite, 57.6 % SO2; and two per cent of the volume.
    assert plus_minus.metabisulfite_g(0.22, sd, 4.0, "potassium") == pytest.approx(sd * 4 / 576, rel=0.05)
    assert plus_minus.metabisulfite_g(0.0, sd, 4.0, "potassium") == 0.0


def test_a_warm_sample_adds_its_temperature_to_what_the_scale_shows() -> None:
    # Water swells by 0.00021 of itself from 20 to 21 °C and by 0.00030 from 30 to 31 (IAPWS-95): little beside 0.001.
    assert plus_minus.corrected_sg(1.000, 20.0, None) == pytest.approx((1e-6 + 0.00021**2) ** 0.5, abs=2e-5)
    assert plus_minus.corrected_sg(1.000, 30.0, None) == pytest.approx((1e-6 + 0.00030**2) ** 0.5, abs=2e-5)


def test_sorbate_hangs_on_strength_and_acid() -> None:
    # Underhill at 12 % and pH 3.3: 4 mL of 30 g/L a litre; 6 and 3.2 at 11 and 13 %, 3.5 and 4.5 at pH 3.2 and 3.4.
    by_strength, by_ph, by_volume = 0.3 * (6.0 - 3.2) / 2, 0.05 * (4.5 - 3.5) / 0.2, 0.02 * 4.0
    by_hand = 0.030 * 4.0 * (by_strength**2 + by_ph**2 + by_volume**2) ** 0.5
    assert plus_minus.sorbate_g(4.0, 3.3, 12.0) == pytest.approx(by_hand, rel=0.12)
    assert plus_minus.sorbate_g(4.0, 3.5, 10.0) > 0.0  # the table's corner


def test_honey_for_taste_hangs_most_on_how_the_gravity_is_read() -> None:
    before = from_gravity_and_abv(4.0, 0.998, 12.0)
    # 0.001 of the 0.012 wanted are a twelfth of some 155 g.
    assert plus_minus.honey_to_sweeten_g(before, 1.010, 17.1) == pytest.approx(155 / 12, rel=0.15)


def test_pressure_hangs_on_the_sugar_and_on_what_mead_holds() -> None:
    sure, unsure = (plus_minus.pressure_bar(8.0, 20.0, sugar_sd=sd) for sd in (0.0, 2.0))
    made = pressure_bar_excess(8.0, 20.0)
    assert sure == pytest.approx(made * 0.03 / 0.9, rel=0.02)
    assert unsure == pytest.approx((sure**2 + (made / 4) ** 2) ** 0.5, rel=0.02)
    assert plus_minus.pressure_bar(0.0, 20.0) == 0.0


def test_a_primed_bottle_is_less_sure_when_warm() -> None:
    assert 0.05 < plus_minus.primed_bar(2.5, 20.0) < plus_minus.primed_bar(2.5, 30.0) < 0.3
