"""Nitrogen: doses on time, late, over the ceiling, and what the label says."""

from collections.abc import Callable

import pytest

from fermtui.must.limits import OutOfRange
from fermtui.must.nutrients import (
    NutrientDose,
    brix_of_sugar,
    dap_room_g,
    demand_factors,
    dose_share,
    dose_totals,
    instead_autolysate_g,
    late_dose,
    nitrogen_given_mg_per_l,
    own_nitrogen_mg_per_l,
    rehydration,
    yan_need_mg_per_l,
)


def test_a_plain_batch() -> None:
    totals = dose_totals(4.2, 22.7)
    assert totals.yan_mg_per_l == pytest.approx(242.5)
    assert totals.added_mg_per_l == pytest.approx(222.5)
    assert totals.dap_g == pytest.approx(2.204, abs=0.001)
    assert totals.autolysate_g == pytest.approx(5.841, abs=0.001)
    assert not totals.dap_capped


def test_demand_moves_the_need_and_the_factor_is_the_makers_own() -> None:
    low, medium, high = (yan_need_mg_per_l(brix=22, demand=demand) for demand in demand_factors())
    assert low < medium < high
    assert yan_need_mg_per_l(brix=22, demand="high", factor=1) == medium


def test_below_the_table_the_need_follows_the_sugar() -> None:
    assert yan_need_mg_per_l(brix=10.5) == pytest.approx(100)
    assert yan_need_mg_per_l(brix=0) == 0


def test_sugar_in_grams_a_litre_is_brix_by_density() -> None:
    # 20 °Brix weigh 1.0810 kg/L at 20 °C (sucrose tables): 216.2 g/L.
    assert brix_of_sugar(216.2) == pytest.approx(20, abs=0.01)
    assert yan_need_mg_per_l(sugar_g_per_l=216.2) == pytest.approx(yan_need_mg_per_l(brix=20), rel=0.001)


def test_juice_brings_its_own_nitrogen_so_a_cyser_gets_less() -> None:
    own = own_nitrogen_mg_per_l(5, juice_l=4, juice_mg_per_l=110)
    assert own == pytest.approx((20 + 4 * 110) / 5)
    assert dose_totals(5, 23, own_mg_per_l=own).dap_g < dose_totals(5, 23).dap_g


def test_a_rich_juice_needs_nothing() -> None:
    totals = dose_totals(5, 12, own_mg_per_l=300)
    assert (totals.dap_g, totals.autolysate_g, totals.added_mg_per_l) == (0, 0, 0)


def test_dap_stops_at_the_ceiling_and_autolysate_takes_the_rest() -> None:
    totals = dose_totals(10, 28, "high", inorganic_share=1)
    assert totals.dap_capped
    assert totals.dap_g == pytest.approx(9.6)
    given = nitrogen_given_mg_per_l(dose_share(totals, 1), 10)
    assert given == pytest.approx(totals.added_mg_per_l)


def test_a_complex_nutrient_counts_by_its_label() -> None:
    totals = dose_totals(10, 23, inorganic_share=0.3, complex_share=0.7, complex_n_percent=12)
    assert totals.autolysate_g == pytest.approx(0, abs=1e-9)
    assert nitrogen_given_mg_per_l(dose_share(totals, 1), 10, complex_n_percent=12) == pytest.approx(230)
    with pytest.raises(OutOfRange, match="label"):
        dose_totals(10, 23, complex_share=0.2)


def test_shares_split_the_totals() -> None:
    totals = dose_totals(4, 22)
    assert sum(dose_share(totals, share).dap_g for share in (0.35, 0.30, 0.20, 0.15)) == pytest.approx(totals.dap_g)


PLANNED = NutrientDose(dap_g=1.1, autolysate_g=2.0)


@pytest.mark.parametrize("spent", [0.1, 1 / 3, 0.335])
def test_on_time_the_dose_is_as_planned(spent: float) -> None:
    late = late_dose(PLANNED, sugar_spent=spent, abv_percent=4, volume_l=4.2, dap_given_g=1.1)
    assert late.verdict == "as planned"
    assert late.dose == PLANNED


def test_after_the_one_third_break_autolysate_comes_instead() -> None:
    late = late_dose(PLANNED, sugar_spent=0.4, abv_percent=5, volume_l=4.2, dap_given_g=1.1)
    assert late.verdict == "autolysate instead"
    assert late.dose == NutrientDose(0, 2.0 + instead_autolysate_g(1.1))
    assert instead_autolysate_g(1.1) == pytest.approx(1.1 * 21.2 / 8)


def test_above_nine_percent_there_is_no_inorganic_at_all() -> None:
    late = late_dose(PLANNED, sugar_spent=0.7, abv_percent=9.1, volume_l=4.2, dap_given_g=1.1)
    assert late.verdict == "no inorganic"
    assert late.only_if_slow
    assert late.dose == NutrientDose(0, 2.0)


def test_at_the_ceiling_only_what_has_room_goes_in() -> None:
    late = late_dose(PLANNED, sugar_spent=0.2, abv_percent=2, volume_l=4, dap_given_g=3.5)
    assert late.verdict == "at the ceiling"
    assert late.dose.dap_g == pytest.approx(dap_room_g(4, 3.5)) == pytest.approx(0.34)


def test_an_organic_dose_is_never_late() -> None:
    late = late_dose(NutrientDose(0, 2), sugar_spent=0.45, abv_percent=6, volume_l=4, dap_given_g=0)
    assert late.verdict == "as planned"


def test_rehydration_has_no_ammonium_and_stays_warm() -> None:
    waking = rehydration(5)
    assert waking.nutrient_g == 6.25
    assert 35 <= waking.temp_low_c < waking.temp_high_c <= 40
    assert not hasattr(waking, "dap_g")


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (lambda: dose_totals(-1, 22), "volume -1 L is outside 0.01 to 10000 L: "),
        (lambda: dose_totals(4, 90), "must 90 °Brix is outside 0 to 70 °Brix: "),
        (lambda: dose_totals(4, 22, "huge"), "low, medium or high"),
        (lambda: dose_totals(4, 22, inorganic_share=0.8, complex_share=0.4), "all shares make one"),
        (lambda: late_dose(PLANNED, sugar_spent=33, abv_percent=4, volume_l=4, dap_given_g=0), "share of the whole"),
        (lambda: late_dose(PLANNED, sugar_spent=0, abv_percent=200, volume_l=4, dap_given_g=0), "no yeast"),
        (lambda: instead_autolysate_g(1, autolysate_n_percent=21), "OIV"),
    ],
)
def test_what_is_out_of_range_gets_one_sentence(wrong: Callable[[], object], says: str) -> None:
    with pytest.raises(OutOfRange, match=says.replace(".", r"\.")):
        wrong()
