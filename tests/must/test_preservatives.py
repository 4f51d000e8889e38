"""Sulfite and sorbate: doses, ceilings, and where there is no dose."""

import pytest

from fermtui.must.cautions import way_out
from fermtui.must.limits import OutOfRange
from fermtui.must.preservatives import (
    SorbateDose,
    WaysOut,
    as_solution_ml,
    free_so2_needed_mg_per_l,
    molecular_share,
    must_sulfite_g,
    pk_so2,
    sorbate_dose,
    sorbic_acid_mg_per_l,
    sulfite_dose,
)


def test_a_usual_dose() -> None:
    dose = sulfite_dose(4, 3.4, 12)
    # 32 mg/L at pH 3.4 is printed by UC Cooperative Extension (1982); the OIV's constants ask for less at 12 % vol.
    assert dose.free_so2_mg_per_l == dose.free_so2_by_plain_pk_mg_per_l == pytest.approx(31.9, abs=0.1)
    assert dose.free_so2_by_oiv_mg_per_l == pytest.approx(22.7, abs=0.1)
    # 4 L x 31.9 mg/L / 0.576 (SO2 in potassium metabisulfite, IUPAC weights)
    assert dose.metabisulfite_g == pytest.approx(0.2215, abs=0.001)
    assert dose.level == "fine"


def test_what_is_in_already_counts_and_nothing_is_taken_off() -> None:
    assert sulfite_dose(4, 3.4, 12, free_mg_per_l=15).add_so2_mg_per_l == pytest.approx(16.9, abs=0.1)
    enough = sulfite_dose(4, 3.4, 12, free_mg_per_l=40, total_mg_per_l=90)
    assert enough.metabisulfite_g == 0
    assert (enough.free_after_mg_per_l, enough.total_after_mg_per_l) == (40, 90)


def test_the_sodium_salt_is_stronger_and_bound_sulfite_costs_more() -> None:
    plain = sulfite_dose(4, 3.4, 12)
    assert sulfite_dose(4, 3.4, 12, salt="sodium").metabisulfite_g == pytest.approx(plain.metabisulfite_g * 576 / 674)
    bound = sulfite_dose(4, 3.4, 12, bound_share=0.4)
    assert bound.free_after_mg_per_l == pytest.approx(plain.free_after_mg_per_l)
    # 31.9 mg/L free of an addition of which four tenths bind is 53.2 in all.
    assert bound.total_after_mg_per_l == pytest.approx(31.9 / 0.6, abs=0.1)
    assert bound.bound_percent == pytest.approx(40.0)
    # 20 of 60 mg/L that stand there are free; 11.9 more of both leave 31.9 of 71.9.
    there = sulfite_dose(4, 3.4, 12, free_mg_per_l=20, total_mg_per_l=60)
    assert there.bound_percent == pytest.approx(100 * 40.0 / 71.9, abs=0.1)


def test_the_level_climbs_with_ph() -> None:
    levels = [sulfite_dose(4, ph, 12).level for ph in (3.2, 3.8, 4.4, 4.7)]
    assert levels == ["fine", "free above 50", "total above 200", "total above 350"]


def test_below_the_pk_table_its_slope_is_carried_on_to_ten_degrees_and_said() -> None:
    # The constant falls on below 20 °C as it does in the table (0.202 for 5 °C), and with it the molecular part: to
    # take 20 °C for 12 would halve the dose of a cold cellar.
    assert pk_so2(20, 11) - pk_so2(12, 11) == pytest.approx(8 * 0.202 / 5, abs=0.005)
    cold = sulfite_dose(4, 3.4, 12, 12)
    assert (cold.temp_used_c, cold.extrapolated) == (12, True)
    assert cold.free_so2_mg_per_l == cold.free_so2_by_oiv_mg_per_l == pytest.approx(22.7 * 10**0.323, abs=1.0)
    assert not sulfite_dose(4, 3.4, 12, 20).extrapolated
    # No further than ten degrees below what was measured.
    assert pk_so2(-2, 11) == pk_so2(10, 11) < pk_so2(12, 11)
    assert sulfite_dose(4, 3.4, 12, 4).temp_used_c == 10
    assert pk_so2(20, 22) == pk_so2(20, 20)


@pytest.mark.parametrize(("ph", "abv", "temp_c"), [(3.0, 8, 20), (3.4, 12, 20), (3.4, 12, 11), (3.8, 16, 30)])
def test_the_larger_of_both_sources_counts(ph: float, abv: float, temp_c: float) -> None:
    dose = sulfite_dose(4, ph, abv, temp_c)
    assert dose.free_so2_mg_per_l == max(dose.free_so2_by_oiv_mg_per_l, dose.free_so2_by_plain_pk_mg_per_l)
    assert dose.free_so2_mg_per_l == free_so2_needed_mg_per_l(ph, temp_c, abv)
    assert dose.free_so2_mg_per_l * dose.molecular_percent / 100 == pytest.approx(0.8)


def test_warmth_and_alcohol_set_molecular_so2_free() -> None:
    assert molecular_share(3.4, 30, 12) > molecular_share(3.4, 20, 12) > molecular_share(3.4, 20, 0)
    assert free_so2_needed_mg_per_l(3.4, 20, 12, 0.5) < free_so2_needed_mg_per_l(3.4, 20, 12)


def test_a_small_dose_is_measured_as_solution() -> None:
    assert as_solution_ml(0.158) == pytest.approx(1.58)


def test_raw_fruit_gets_fifty_milligrams() -> None:
    assert must_sulfite_g(10) == pytest.approx(0.868, abs=0.001)


def test_stronger_and_more_acid_than_the_table_use_its_safe_edges() -> None:
    edge = sorbate_dose(4, 3.3, 14)
    beyond = sorbate_dose(4, 3.3, 16.5)
    assert isinstance(edge, SorbateDose)
    assert isinstance(beyond, SorbateDose)
    assert beyond.potassium_sorbate_g == edge.potassium_sorbate_g
    assert beyond.abv_used_percent == 14
    acid = sorbate_dose(4, 2.9, 12)
    assert isinstance(acid, SorbateDose)
    assert acid.ph_used == 3.1


def test_grams_and_milligrams_agree() -> None:
    dose = sorbate_dose(4, 3.25, 11.5)
    assert isinstance(dose, SorbateDose)
    assert sorbic_acid_mg_per_l(dose.potassium_sorbate_g, 4) == pytest.approx(dose.sorbic_acid_mg_per_l)


def test_where_no_dose_helps_the_ways_out_are_listed() -> None:
    weak, basic, both = (sorbate_dose(4, ph, abv) for ph, abv in ((3.3, 8), (3.7, 12), (3.7, 8)))
    assert weak == WaysOut(("too weak",), ("ferment drier", "cold", "heat before bottling"))
    assert basic == WaysOut(("pH too high",), ("acid", "ferment drier", "cold", "heat before bottling"))
    assert isinstance(both, WaysOut)
    assert both.because == ("too weak", "pH too high")
    assert all(way_out(way) for way in both.ways)


def test_after_a_malolactic_ferment_sorbate_is_refused() -> None:
    refused = sorbate_dose(4, 3.3, 12, malolactic=True)
    assert isinstance(refused, WaysOut)
    assert refused.because == ("malolactic",)


@pytest.mark.parametrize(
    ("ph", "abv", "temp_c", "says"),
    [
        (9, 12, 20, "pH 9 is outside 2 to 7: "),
        (3.4, 200, 20, "strength 200 % vol is outside 0 to 25 % vol: "),
        (3.4, 12, -80, "temperature -80 °C is outside -5 to 40 °C: "),
        (float("nan"), 12, 20, "not a number"),
    ],
)
def test_out_of_range_names_the_range_and_its_reason(ph: float, abv: float, temp_c: float, says: str) -> None:
    with pytest.raises(OutOfRange, match=says):
        sulfite_dose(4, ph, abv, temp_c)


def test_a_stock_solution_of_one_gram_in_a_hundred_millilitres_is_the_weakest() -> None:
    assert as_solution_ml(0.3, 1.0) == pytest.approx(30.0)
    with pytest.raises(OutOfRange, match="stock solution"):
        as_solution_ml(0.3, 0.9)
