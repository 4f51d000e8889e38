"""Fruit in the vessel: its juice, its pulp, and what leaves with it."""

from __future__ import annotations

import pytest

from telling import at, stands, story


def test_level_counts_pulp_and_strength_does_not() -> None:
    page = '01T19:00 "pitch"\n20T19:00 "read", sg = 1.000\n21T19:00 "fruit", kind = "plum", mass_g = 600'
    facts = story(page)
    assert facts.level_l is not None
    assert 0.5 < facts.level_l - 4.2 < 0.62  # fruit is about as heavy as water
    before, after = stands(facts, "21T19:00"), stands(facts, "24T19:00")
    assert before.must is not None
    assert after.must is not None
    assert after.must.ethanol_g == before.must.ethanol_g
    assert after.must.volume_l < facts.level_l
    assert stands(facts, "25T19:00").must == after.must


def test_fruit_juice_enters_over_three_days() -> None:
    facts = story('01T19:00 "pitch"\n20T19:00 "read", sg = 1.000\n21T19:00 "fruit", kind = "plum", mass_g = 600')
    at_once, third, whole = (stands(facts, when).must for when in ("21T19:00", "22T19:00", "24T19:00"))
    assert at_once is not None
    assert third is not None
    assert whole is not None
    assert (third.sugar_g - at_once.sugar_g) / (whole.sugar_g - at_once.sugar_g) == pytest.approx(1 / 3)
    # USDA SR28, raw plum: 9.92 g of sugars and 87.23 g of water in 100 g.
    assert whole.sugar_g - at_once.sugar_g == pytest.approx(600 * 0.0992, rel=0.01)
    assert whole.water_g - at_once.water_g == pytest.approx(600 * 0.8723, rel=0.01)


def test_the_gravity_follows_the_juice_also_when_something_was_done_meanwhile() -> None:
    fruit = '01T19:00 "pitch"\n20T19:00 "read", sg = 1.000\n21T19:00 "fruit", kind = "plum", mass_g = 600'
    quiet, punched = story(fruit), story(fruit + '\n22T19:00 "punch"\n26T19:00 "punch"')
    assert punched.pending == ()
    for now in (stands(quiet, "27T00:00"), stands(punched, "27T00:00")):
        assert now.sg is not None
        assert now.sg > 1.003
        assert now.sugar_spent_percent is not None
        assert now.sugar_spent_percent < 97
        assert now.refermentable_g_per_l is not None
        assert now.refermentable_g_per_l > 8
    assert stands(quiet, "27T00:00").sg == pytest.approx(stands(punched, "27T00:00").sg or 0.0)


def test_racking_off_the_fruit_pulls_it() -> None:
    page = """
    01T19:00 "pitch"
    20T19:00 "read", sg = 1.000
    21T19:00 "fruit", kind = "sour cherry", mass_g = 600
    """
    assert story(page).fruit_in
    racked = story(page + '28T19:00 "rack", volume_l = 4.2')
    assert not racked.fruit_in
    assert racked.fruit[0].pulled_at == at("28T19:00")
    assert racked.level_l == pytest.approx(4.2)
    pulled = story(page + '28T19:00 "pull", loss_l = 0.2')
    assert not pulled.fruit_in
    assert pulled.level_l is not None
    assert racked.extract_g / racked.water_g == pytest.approx(pulled.extract_g / pulled.water_g)


def test_juice_that_was_not_out_yet_leaves_with_the_fruit() -> None:
    page = '01T19:00 "pitch"\n21T19:00 "fruit", kind = "plum", mass_g = 600\n{} "pull", what = "fruit", loss_l = 0'
    third, whole = story(page.format("22T19:00")), story(page.format("28T19:00"))
    assert third.pending == whole.pending == ()
    none = story('01T19:00 "pitch"').extract_g
    assert (third.extract_g - none) / (whole.extract_g - none) == pytest.approx(1 / 3)


def test_pulling_spice_leaves_fruit_in_and_takes_its_loss() -> None:
    page = '01T19:00 "pitch"\n21T19:00 "fruit", kind = "plum", mass_g = 600\n'
    facts = story(page + '24T19:00 "pull", what = "spice", loss_l = 0.5')
    assert facts.fruit_in
    whole = story(page).level_l
    assert whole is not None
    assert facts.level_l == pytest.approx(whole - 0.5, abs=0.02)


def test_an_unknown_fruit_is_counted_as_another_and_says_so() -> None:
    facts = story('01T19:00 "pitch"\n21T19:00 "fruit", kind = "moonberry", mass_g = 600')
    assert facts.fruit[0].kind == "moonberry"
    assert "counted as plum" in facts.notes[0]


FRUITED = '01T19:00 "pitch"\n20T19:00 "read", sg = 1.000\n21T19:00 "fruit", kind = "plum", mass_g = 1000\n'


def test_fruit_pulled_without_a_loss_takes_mead_with_it_by_its_mass() -> None:
    kept = story(FRUITED + '30T19:00 "pull", loss_l = 0')
    pulled = story(FRUITED + '30T19:00 "pull"')
    assert kept.level_l is not None
    assert pulled.level_l is not None
    # A fifth of the weight of drained soft fruit is mead that does not run off (see tests/must/test_fruit.py).
    assert kept.level_l - pulled.level_l == pytest.approx(0.2, abs=0.05)
    assert stands(pulled, "30T20:00").abv_percent == pytest.approx(stands(kept, "30T20:00").abv_percent)
    assert any("0.20 L of mead counted as gone" in note for note in pulled.notes)
    assert kept.notes == ()


def test_so_does_racking_off_the_fruit_where_nobody_wrote_what_is_left() -> None:
    kept = story(FRUITED + '30T19:00 "pull", loss_l = 0\n30T20:00 "rack"')
    racked = story(FRUITED + '30T19:00 "rack"')
    assert (kept.level_l or 0.0) - (racked.level_l or 0.0) == pytest.approx(0.2, abs=0.05)
    assert story(FRUITED + '30T19:00 "rack", volume_l = 4.5').level_l == pytest.approx(4.5)


def test_more_fruit_than_must_takes_no_more_than_half_of_it() -> None:
    page = FRUITED.replace("mass_g = 1000", "mass_g = 90000") + '30T19:00 "pull"'
    assert (story(page).level_l or 0.0) > 1.0
