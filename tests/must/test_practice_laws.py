"""Laws that hold for any input: a finite answer or the one refusal, never NaN, never another exception."""

from collections.abc import Callable
from math import inf, isfinite, nan
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fermtui.must import air, bottles, fruit, nutrients, preservatives
from fermtui.must.limits import OutOfRange

pytestmark = pytest.mark.slow

Sum = Callable[..., Any]
calm = settings(deadline=None)  # the machine is shared, and the first call reads a table

SUMS: list[tuple[Sum, int]] = [
    (lambda a, b: nutrients.yan_need_mg_per_l(brix=a, factor=b), 2),
    (lambda a: nutrients.yan_need_mg_per_l(sugar_g_per_l=a), 1),
    (nutrients.own_nitrogen_mg_per_l, 2),
    (lambda a, b, c, d: nutrients.dose_totals(a, b, own_mg_per_l=c, inorganic_share=d), 4),
    (lambda a, b, c, d: nutrients.nitrogen_given_mg_per_l(nutrients.NutrientDose(a, b, c), d), 4),
    (nutrients.dap_room_g, 3),
    (nutrients.instead_autolysate_g, 1),
    (
        lambda a, b, c, d: nutrients.late_dose(
            nutrients.NutrientDose(a, 1.0), sugar_spent=b, abv_percent=c, volume_l=4.0, dap_given_g=d
        ),
        4,
    ),
    (nutrients.rehydration, 2),
    (lambda a: fruit.fruit_parts("plum", a), 1),
    (fruit.room_left_l, 3),
    (preservatives.pk_so2, 2),
    (preservatives.molecular_share, 3),
    (preservatives.molecular_share_plain, 1),
    (preservatives.free_so2_needed_mg_per_l, 4),
    (lambda a, b, c, d: preservatives.sulfite_dose(a, b, c, free_mg_per_l=d), 4),
    (preservatives.must_sulfite_g, 2),
    (preservatives.so2_added_mg_per_l, 2),
    (preservatives.sorbate_dose, 3),
    (preservatives.sorbic_acid_mg_per_l, 2),
    (bottles.bottle_count, 3),
    (lambda a, b, c: bottles.volume_after_losses_l(a, fruit_loss_l=b, ferment_loss_percent=c), 3),
    (lambda a, b, c, d: bottles.pressure_bar_excess(a, b, bottle_ml=c, headspace_ml=d), 4),
    (bottles.sugar_for_bar_g_per_l, 2),
    (bottles.solubility_g_per_l_bar, 2),
    (bottles.volumes_to_bar, 2),
    (bottles.priming, 3),
    (bottles.ullage_mm, 2),
    (air.co2_of_sugar_g, 1),
    (air.co2_of_ethanol_g, 1),
    (air.room_air, 3),
]
ANY = st.one_of(
    st.floats(),
    st.floats(-5, 40),
    st.floats(2, 7),
    st.floats(0, 1),
    st.floats(0, 2000),
    st.sampled_from([nan, inf, -inf, 0.0, -0.0, 5e-324, 1e308, -80.0, 200.0]),
)


def numbers_in(answer: object) -> list[float]:
    if isinstance(answer, tuple):
        return [number for part in answer for number in numbers_in(part)]
    return [float(answer)] if isinstance(answer, int | float) else []


@pytest.mark.parametrize(("of", "count"), SUMS)
@calm
@given(data=st.data())
def test_any_input_gives_finite_numbers_or_the_one_refusal(of: Sum, count: int, data: st.DataObject) -> None:
    inputs = data.draw(st.lists(ANY, min_size=count, max_size=count))
    try:
        answer = of(*inputs)
    except OutOfRange as refusal:
        sentence = str(refusal)
        assert sentence
        assert "\n" not in sentence
    else:
        assert all(isfinite(number) for number in numbers_in(answer)), (inputs, answer)


@calm
@given(st.text(max_size=60))
def test_any_name_of_a_fruit_is_found_or_refused(name: str) -> None:
    try:
        found = fruit.fruit(name)
    except fruit.UnknownFruit as refusal:
        sentence = str(refusal)
    else:
        assert found.name in fruit.fruit_names()
        return
    assert "\n" not in sentence


@calm
@given(st.floats(0.1, 100), st.floats(5, 40), st.sampled_from(["low", "medium", "high"]), st.floats(0, 1))
def test_doses_bring_the_need_whatever_the_split(volume_l: float, brix: float, demand: str, inorganic: float) -> None:
    totals = nutrients.dose_totals(volume_l, brix, demand, inorganic_share=inorganic)
    given_n = nutrients.nitrogen_given_mg_per_l(nutrients.dose_share(totals, 1), volume_l)
    assert given_n == pytest.approx(totals.added_mg_per_l)
    assert totals.dap_g <= nutrients.dap_room_g(volume_l, 0) + 1e-9


@calm
@given(st.floats(0, 20), st.floats(0, 20), st.floats(0, 1), st.floats(0, 9), st.floats(0, 10))
def test_a_late_dose_never_passes_the_ceiling_and_keeps_its_nitrogen(
    dap_g: float, autolysate_g: float, spent: float, abv: float, before_g: float
) -> None:
    planned = nutrients.NutrientDose(dap_g, autolysate_g)
    late = nutrients.late_dose(planned, sugar_spent=spent, abv_percent=abv, volume_l=5, dap_given_g=before_g)
    assert late.dose.dap_g <= nutrients.dap_room_g(5, before_g) + 1e-9
    kept, wanted = (nutrients.nitrogen_given_mg_per_l(dose, 5) for dose in (late.dose, planned))
    assert kept == pytest.approx(wanted)


@calm
@given(st.sampled_from(fruit.fruit_names()), st.floats(1, 10_000), st.sampled_from(["raw", "frozen", "pureed"]))
def test_fruit_is_no_more_than_its_mass_and_whole_takes_most_room(kind: str, mass_g: float, treatment: str) -> None:
    parts = fruit.fruit_parts(kind, mass_g, treatment)
    assert parts.water_g + parts.sugar_g + parts.pulp_g == pytest.approx(parts.edible_g)
    assert 0 <= parts.pulp_ml <= 1000 * parts.displaces_l
    rooms = [fruit.fruit_parts(kind, mass_g, treatment, cut=cut).displaces_l for cut in ("whole", "crushed", "pureed")]
    assert rooms[0] >= rooms[1] == rooms[2]


@calm
@given(st.floats(2.5, 4.5), st.floats(0, 14), st.floats(0, 35), st.floats(0, 100))
def test_a_sulfite_dose_reaches_its_aim(ph: float, abv: float, temp_c: float, free: float) -> None:
    dose = preservatives.sulfite_dose(5, ph, abv, temp_c, free_mg_per_l=free)
    assert dose.free_after_mg_per_l * preservatives.molecular_share(ph, temp_c, abv) >= 0.8 - 1e-9
    assert preservatives.so2_added_mg_per_l(dose.metabisulfite_g, 5) == pytest.approx(dose.add_so2_mg_per_l)


@calm
@given(st.floats(10, 20), st.floats(10, 20), st.floats(2.6, 3.5), st.floats(2.6, 3.5))
def test_stronger_or_more_acid_mead_never_needs_more_sorbate(a: float, b: float, p: float, q: float) -> None:
    weak = preservatives.sorbate_dose(1, max(p, q), min(a, b))
    strong = preservatives.sorbate_dose(1, min(p, q), max(a, b))
    assert isinstance(weak, preservatives.SorbateDose)
    assert isinstance(strong, preservatives.SorbateDose)
    assert strong.sorbic_acid_mg_per_l <= weak.sorbic_acid_mg_per_l + 1e-9 <= 200 + 1e-8


@calm
@given(st.floats(0, 100), st.floats(0, 100), st.floats(0, 40))
def test_pressure_rises_with_sugar_and_solves_back(a: float, b: float, temp_c: float) -> None:
    low, high = (bottles.pressure_bar_excess(sugar, temp_c) for sugar in sorted((a, b)))
    assert low <= high
    if 0 <= low <= 16:
        assert bottles.sugar_for_bar_g_per_l(low, temp_c) == pytest.approx(min(a, b), abs=1e-6)


@calm
@given(st.floats(0, 5000), st.floats(20, 30_000), st.floats(0, 100))
def test_bottles_hold_no_more_than_there_was(volume_l: float, size_ml: float, loss: float) -> None:
    counted = bottles.bottle_count(volume_l, size_ml, loss)
    have = volume_l * (1 - loss / 100)
    assert counted.filled_l + counted.left_l == pytest.approx(have, abs=size_ml * 2e-9 + 1e-9)
    assert counted.left_l < size_ml / 1000 + 1e-9
