"""Pages of a daybook and what they say about the vessel."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from fermtui.daybook.head import Head, head_from
from fermtui.daybook.lines import read_lines
from fermtui.daybook.strikes import live
from fermtui.story.facts import Facts
from fermtui.story.present import Present, present
from fermtui.story.replay import Moment, replay
from fermtui.story.state import Measures

BERLIN = ZoneInfo("Europe/Berlin")
MEAD: dict[str, Any] = {"name": "Test", "capacity_l": 5.0, "plan": {"volume_l": 4.2, "gravity": 1.095}}


def entries(page: str) -> tuple[Any, ...]:
    """The live entries of a page that is written without keys: `01T18:00 did...` in March 2026."""
    lines = [line.strip() for line in page.strip().splitlines()]
    found, problems = read_lines(
        "\n".join(
            line if " = { at" in line else f"k{n:02d} = {{ at = 2026-03-{line.split(' ', 1)[0]}:00+01:00, "
            f"did = {line.split(' ', 1)[1]} }}"
            for n, line in enumerate(lines)
        ).encode(),
        "daybook.toml",
    )
    assert problems == ()
    standing, _, faults = live(found)
    assert faults == ()
    return standing


def story(page: str, head: dict[str, Any] | None = None, **measures: Any) -> Facts:
    return replay(head_from(MEAD if head is None else head), entries(page), Measures(**measures))


def at(text: str) -> datetime:
    return datetime.fromisoformat(f"2026-03-{text}:00+01:00")


def stands(facts: Facts, when: str) -> Present:
    return present(facts, at(when), BERLIN)


# DESIGN section 6: 13.9 by the ledger, where summed drops say 15.1 and first minus last says 11.4.
def test_strength_after_feeding_and_fruit() -> None:
    facts = story(
        """
        01T18:00 "mix", volume_l = 20.0
        01T18:30 "read", sg = 1.090
        01T19:00 "pitch"
        08T19:00 "read", sg = 1.030
        08T19:10 "feed", honey_g = 2000
        08T19:20 "fruit", kind = "plum", mass_g = 2000
        28T19:00 "read", sg = 1.005
        """,
        {"name": "Test"},
    )
    now = stands(facts, "28T20:00")
    assert now.abv_percent == pytest.approx(13.9, abs=0.1)
    assert now.abv_plus_minus is not None
    assert 0.2 < now.abv_plus_minus < 0.5
    assert facts.sg == pytest.approx(1.005)
    assert [change.did for change in facts.changes] == ["feed", "fruit"]


# The one-third sugar break of 1.099 is 1.066: common practice, no source.
def test_the_third_break() -> None:
    page = """
    01T18:00 "mix", volume_l = 5.0
    01T18:20 "read", sg = 1.099
    01T18:30 "pitch"
    06T18:30 "read", sg = 1.066
    """
    spent = stands(story(page), "06T19:00").sugar_spent_percent
    assert spent == pytest.approx(100 / 3, abs=0.05)
    above = stands(story(page.replace("1.066", "1.067")), "06T19:00").sugar_spent_percent
    assert above is not None
    assert above < 100 / 3


def test_honey_and_water_are_mass() -> None:
    facts = story('01T18:00 "mix", honey_g = 1500, water_l = 3.5')
    assert facts.extract_g == pytest.approx(1500 * 0.829)
    assert facts.water_g == pytest.approx(1500 * 0.171 + 3.5 * 998.2, rel=1e-4)
    assert facts.volume_known
    assert facts.level_l == pytest.approx(4.54, abs=0.02)


@pytest.mark.parametrize(
    ("mixes", "litres", "sugar_g"),
    [
        (['honey_g = 1500, volume_l = 4.5'], 4.5, 1243.5),
        (['honey_g = 1500, water_l = 3.5', 'water_l = 0.5'], 5.04, 1243.5),
        # volume_l is the whole after mixing ...
        (['honey_g = 1500, volume_l = 4.5', 'honey_g = 200, volume_l = 4.65'], 4.65, 1409.3),
        (['honey_g = 1500, volume_l = 4.5', 'water_l = 0.5, volume_l = 5.0'], 5.0, 1243.5),
        # ... but pouring in makes no less: a second pot has a volume of its own.
        (['honey_g = 1500, volume_l = 4.5', 'honey_g = 1500, volume_l = 4.5'], 9.0, 2487.0),
        (['honey_g = 1500, volume_l = 4.5', 'volume_l = 4.2'], 4.2, 1160.6),
    ],
)  # fmt: skip
def test_mixed_in_one_go_or_in_several(mixes: list[str], litres: float, sugar_g: float) -> None:
    page = "\n".join(f'01T1{n}:00 "mix", {what}' for n, what in enumerate(mixes))
    facts = story(page)
    assert facts.level_l == pytest.approx(litres, abs=0.03)
    assert facts.extract_g == pytest.approx(sugar_g, rel=0.005)


def test_juice_brings_its_sugar() -> None:
    facts = story('01T18:00 "mix", juice_l = 4.0, juice_sg = 1.050, honey_g = 500')
    # 12.39 °P at 1.050 (ASBC, from memory): 4 L x 1.0481 kg/L x 0.1239
    assert facts.extract_g == pytest.approx(4000 * 1.0481 * 0.1239 + 500 * 0.829, rel=0.002)
    assert not facts.notes
    assert "1.045" in story('01T18:00 "mix", juice_l = 4.0').notes[0]


def test_without_a_mix_the_must_is_the_plan() -> None:
    facts = story('02T18:00 "pitch"')
    assert facts.og == pytest.approx(1.095)
    assert facts.sg_from == "plan"
    assert facts.level_l == pytest.approx(4.2, abs=0.001)
    read = story('01T18:00 "read", sg = 1.101\n02T18:00 "pitch"')
    assert read.og == pytest.approx(1.101)
    assert read.sg_from == "reading"
    assert read.level_l == pytest.approx(4.2, abs=0.001)
    assert read.og_off_by is None  # nothing was weighed that it could be off


def test_a_plan_may_name_a_strength_instead_of_a_gravity() -> None:
    facts = story('02T18:00 "pitch"\n28T18:00 "read", sg = 1.000', {"name": "T", "plan": {"abv_percent": 12.0}})
    assert stands(facts, "29T18:00").abv_percent == pytest.approx(12.0, abs=0.02)
    assert not facts.volume_known
    assert facts.level_l is None


def test_nothing_is_known_of_an_empty_page() -> None:
    facts = replay(Head("Test"), ())
    assert (facts.sg, facts.g0, facts.level_l, facts.pitched_at, facts.last_at) == (None,) * 5
    now = present(facts, at("01T00:00"), BERLIN)
    assert now[:-1] == (None,) * 9


def test_the_original_gravity_corrects_the_honey_and_a_large_error_is_kept() -> None:
    facts = story('01T18:00 "mix", honey_g = 1500, volume_l = 4.5\n01T18:30 "read", sg = 1.115\n01T19:00 "pitch"')
    assert facts.og == pytest.approx(1.115)
    assert facts.og_off_by == pytest.approx(1.115 - 1.1062, abs=0.0002)
    assert facts.level_l == pytest.approx(4.5, abs=0.001)
    assert facts.extract_g > 1243.5


def test_a_second_look_after_stirring_is_compared_with_the_scales_again() -> None:
    facts = story(
        """
        01T18:00 "mix", honey_g = 1500, volume_l = 4.5
        01T18:30 "read", sg = 1.080
        01T18:50 "read", sg = 1.106
        01T19:00 "pitch"
        """
    )
    assert facts.og_off_by == pytest.approx(0.0, abs=0.002)
    assert facts.og == pytest.approx(1.106)


def test_honey_put_in_after_a_look_is_compared_anew() -> None:
    facts = story(
        """
        01T18:00 "mix", honey_g = 1500, volume_l = 4.5
        01T18:30 "read", sg = 1.090
        01T18:40 "mix", honey_g = 100
        """
    )
    assert facts.og_off_by is None
    assert facts.sg_from == "ledger"


def test_a_reading_at_the_instant_of_pitching_is_the_original_gravity() -> None:
    facts = story('01T18:00 "mix", honey_g = 1500, volume_l = 4.5\n01T19:00 "read", sg = 1.101\n01T19:00 "pitch"')
    assert facts.og == pytest.approx(1.101)
    assert facts.fermented_g == 0.0
    assert facts.after_pitch == ()


def test_pitching_again_restarts_nothing() -> None:
    facts = story('01T19:00 "pitch", temp_c = 20\n05T19:00 "pitch", temp_c = 25')
    assert facts.pitched_at == at("01T19:00")
    assert facts.pitch_temp_c == 20.0
    assert stands(facts, "05T20:00").day == 4


def test_a_warm_sample_reads_low_and_an_offset_is_taken_off() -> None:
    page = '01T19:00 "pitch"\n03T19:00 "read", sg = 1.080, temp_c = {}'
    assert story(page.format(20)).sg == pytest.approx(1.080)
    # NBS Circular 440, table 109 (from memory): + 0.40 °Bx at 26 °C for a reading near 20 °Bx; 1 °Bx is 0.0044 there.
    assert story(page.format(26)).sg == pytest.approx(1.080 + 0.40 * 0.0044, abs=0.0002)
    assert story(page.format(20), offset_sg=0.002).sg == pytest.approx(1.078)


def test_losses_change_no_strength() -> None:
    before = """
    01T18:00 "mix", honey_g = 1500, volume_l = 4.5
    01T19:00 "pitch"
    20T19:00 "read", sg = 1.000
    """
    dry = story(before)
    after = story(before + '21T19:00 "rack", volume_l = 4.1\n22T19:00 "read", sg = 1.000, sample_ml = 100')
    assert after.level_l == pytest.approx(4.0, abs=0.001)
    assert stands(after, "23T00:00").abv_percent == pytest.approx(stands(dry, "23T00:00").abv_percent, abs=1e-6)


def test_topping_up_with_mead_brings_its_alcohol_and_with_water_none() -> None:
    page = '01T19:00 "pitch"\n20T19:00 "read", sg = 1.000\n21T19:00 "rack", volume_l = 4.0\n22T19:00 "top_up", {}'
    dry = stands(story('01T19:00 "pitch"\n20T19:00 "read", sg = 1.000'), "23T00:00").abv_percent
    assert dry is not None

    def topped(what: str) -> float:
        abv = stands(story(page.format(what)), "23T00:00").abv_percent
        assert abv is not None
        return abv

    assert topped('with = "water", volume_l = 1.0') == pytest.approx(dry * 0.8, rel=0.003)
    assert topped("volume_l = 1.0, sg = 1.000, abv_percent = 18") == pytest.approx(dry * 0.8 + 3.6, rel=0.003)
    assert topped("volume_l = 1.0") == pytest.approx(dry)
    assert topped("volume_l = 1.0, sg = 1.060") == pytest.approx(dry * 0.8, rel=0.003)  # must, not mead
    assert topped('with = "mead", volume_l = 1.0, sg = 1.010') == pytest.approx(dry, rel=0.003)
    assert topped('from = "other-26", volume_l = 1.0, sg = 1.010') == pytest.approx(dry, rel=0.003)


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
    page = '01T19:00 "pitch"\n21T19:00 "fruit", kind = "plum", mass_g = 600\n{} "pull", what = "fruit"'
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


def test_sugar_spent_is_frozen_where_it_is_sweetened() -> None:
    page = """
    01T18:00 "mix", volume_l = 5.0
    01T18:30 "read", sg = 1.100
    01T19:00 "pitch"
    20T19:00 "read", sg = 1.000
    21T19:00 "sweeten", honey_g = 250
    """
    facts = story(page)
    assert facts.g0 == pytest.approx(1.100, abs=0.0002)
    assert stands(facts, "22T00:00").sugar_spent_percent == pytest.approx(100.0)
    assert facts.sg is not None
    assert facts.sg > 1.010
    again = story(page + '25T19:00 "sweeten", honey_g = 250\n26T19:00 "read", sg = 1.030')
    assert (again.g0, again.spent_frozen_percent) == (facts.g0, facts.spent_frozen_percent)
    fed = story(page.replace("sweeten", "feed"))
    assert fed.g0 is not None
    assert fed.g0 > 1.110


def test_honey_for_taste_before_pitching_freezes_nothing() -> None:
    facts = story('01T18:00 "mix", volume_l = 4.0\n01T18:30 "sweeten", honey_g = 100\n01T19:00 "pitch"')
    assert facts.spent_frozen_percent is None
    assert stands(facts, "02T00:00").sugar_spent_percent == pytest.approx(0.0, abs=0.01)


def test_honey_and_sugar_that_were_written_as_an_addition_count_all_the_same() -> None:
    page = '01T19:00 "pitch"\n20T19:00 "read", sg = 1.000\n21T19:00 "add", what = "{}", mass_g = 100'
    before = story(page.format("oak")).extract_g
    assert story(page.format("sugar")).extract_g - before == pytest.approx(100.0)
    assert story(page.format("Honey")).extract_g - before == pytest.approx(82.9)
    assert story(page.format("sugar")).last_addition_at == at("21T19:00")
    assert story(page.format("oak")).last_addition_at is None


def test_bottles_are_counted_and_what_is_left_too() -> None:
    page = """
    01T19:00 "pitch"
    20T19:00 "read", sg = 1.000
    22T19:00 "bottle", count = 3, size_ml = 750, closure = "hand cork", left_l = 1.9
    23T19:00 "bottle", count = 5, size_ml = 330, glass = "beer"
    24T19:00 "open", count = 2, size_ml = 330, why = "burst"
    25T19:00 "open", size_ml = 750, why = "drunk"
    """
    half, whole = story("\n".join(page.strip().splitlines()[:3])), story(page)
    assert half.left_l == 1.9
    assert half.level_l == pytest.approx(1.9)
    assert (whole.left_l, whole.level_l) == (0.0, 0.0)
    assert [(lot.bottles, lot.opened, lot.burst) for lot in whole.lots] == [(3, 1, 0), (5, 2, 2)]
    assert whole.sg == pytest.approx(1.0)
    over = story(page + '26T19:00 "open", count = 9')
    assert [lot.bottles - lot.opened for lot in over.lots] == [0, 0]
    assert "4 more opened" in over.notes[0]


def test_an_emptied_vessel_holds_nothing() -> None:
    assert story('01T19:00 "pitch"\n20T19:00 "empty", reason = "vinegar"').level_l == 0.0


def test_sulfite_is_reckoned_on_what_stood_there() -> None:
    facts = story('01T19:00 "pitch"\n20T19:00 "sulfite", metabisulfite_g = 0.42, ph = 3.4')
    # Potassium metabisulfite is 57.6 % SO2 by mass (IUPAC atomic weights).
    assert facts.sulfite[0].so2_mg_per_l == pytest.approx(420 * 0.576 / 4.2, rel=0.001)
    assert (facts.ph, facts.ph_at) == (3.4, at("20T19:00"))
    assert "unknown volume" in story('20T19:00 "sulfite", metabisulfite_g = 0.4', {"name": "T"}).notes[0]


def test_a_split_and_its_receive_lose_nothing() -> None:
    parent = """
    01T18:00 "mix", honey_g = 1500, volume_l = 4.5
    01T19:00 "pitch"
    02T19:00 "dose", dap_g = 2.0
    10T19:00 "read", sg = 1.040
    """
    whole, rest = story(parent), story(parent + '11T19:00 "split", into = "half-26", volume_l = 1.5')
    assert whole.level_l is not None
    assert rest.level_l == pytest.approx(whole.level_l - 1.5)
    assert rest.level_l is not None
    assert rest.children == ("half-26",)
    assert rest.dap_g == pytest.approx(2.0 * rest.level_l / whole.level_l)  # the rest of it is in the other half
    before, after = stands(whole, "11T19:00").must, stands(rest, "11T19:00").must
    assert before is not None
    assert after is not None
    poured = [getattr(before, name) - getattr(after, name) for name in ("water_g", "sugar_g", "ethanol_g")]
    receive = '11T19:00 "receive", from = "mead-26", water_g = {}, sugar_g = {}, ethanol_g = {}'.format(*poured)
    child = story('01T19:00 "pitch"\n' + receive)  # its plan has a volume and a gravity, and neither comes on top
    assert child.level_l == pytest.approx(1.5)
    assert child.g0 == pytest.approx(whole.g0)
    assert child.sg == pytest.approx(1.040, abs=1e-4)
    assert (child.last_addition_at, child.changes, child.parent) == (None, (), "mead-26")
    assert stands(child, "12T00:00").abv_percent == pytest.approx(stands(whole, "12T00:00").abv_percent)
    back = story(parent + '11T19:00 "split", into = "half-26", volume_l = 1.5\n' + receive.replace("11T19", "11T20"))
    assert back.water_g == pytest.approx(whole.water_g)
    assert back.extract_g == pytest.approx(whole.extract_g)
    assert back.fermented_g == pytest.approx(whole.fermented_g)


def test_mead_that_was_received_ferments_although_nobody_pitched_it_here() -> None:
    page = '11T19:00 "receive", from = "mead-26", water_g = 1300, sugar_g = 150, ethanol_g = 90'
    facts = story(page + '\n14T19:00 "read", sg = 1.020', {"name": "T"})
    assert facts.pitched_at == at("11T19:00")
    assert facts.sg == pytest.approx(1.020)
    now = stands(facts, "14T20:00")
    assert now.abv_percent is not None
    assert now.abv_percent > 8
    must = story(page.replace("ethanol_g = 90", "ethanol_g = 0"), {"name": "T"})
    assert must.pitched_at is None


def test_a_level_corrects_the_volume_both_ways() -> None:
    page = '01T19:00 "pitch"\n20T19:00 "read", sg = 1.000\n21T19:00 "level", volume_l = {}'
    for litres in (3.9, 4.5):
        facts = story(page.format(litres))
        assert facts.level_l == pytest.approx(litres)
        assert stands(facts, "22T00:00").headspace_l == pytest.approx(5.0 - litres)
        assert stands(facts, "22T00:00").abv_percent == pytest.approx(13.0, abs=0.6)


def test_into_another_container() -> None:
    page = '01T19:00 "pitch"\n20T19:00 "rack", into = "{}", volume_l = 4.0'
    known = story(page.format("Jug"), containers={"Jug": 4.3})
    assert (known.container, known.capacity_l) == ("Jug", 4.3)
    assert stands(known, "21T00:00").headspace_l == pytest.approx(0.3)
    unknown = story(page.format("Sink"))
    assert unknown.capacity_l is None
    assert "'Sink' is not in cellar.toml" in unknown.notes[0]


def test_a_must_that_was_racked_before_pitching_has_not_been_racked() -> None:
    facts = story('01T12:00 "rack", volume_l = 4.0\n01T19:00 "pitch"')
    assert (facts.rackings, facts.racked_at, facts.first_racked_at) == (0, None, None)


def test_a_gravity_out_of_reach_is_shown_and_noted() -> None:
    facts = story('01T19:00 "pitch"\n20T19:00 "read", sg = 1.120')
    assert facts.sg == pytest.approx(1.120)
    assert facts.fermented_g == 0.0
    assert "out of reach" in facts.notes[0]


def test_a_refused_reading_is_kept_and_noted() -> None:
    facts = story('01T19:00 "pitch"\n20T19:00 "read", sg = 1.000, temp_c = 78, ph = 3.4')
    assert facts.readings[0].sg is None
    assert facts.ph == 3.4
    assert "40 °C" in facts.notes[0]
    assert facts.sg == pytest.approx(1.095)


def test_a_postponement_to_a_date_keeps_that_date_across_the_change_of_the_clocks() -> None:
    facts = story('01T19:00 "pitch"\nk9 = { at = 2026-10-20T20:00:00+02:00, did = "postpone", task = "rack-1", '
                  "until = 2026-11-05 }")  # fmt: skip
    until = facts.acts[-1].until
    assert until is not None
    assert until.isoformat() == "2026-11-05T00:00:00+02:00"


def test_struck_entries_never_happened() -> None:
    page = '01T19:00 "pitch"\n03T19:00 "read", sg = 1.009\n03T19:05 "strike", entry = "k01"\n{}'
    assert story(page.format("")).readings == ()
    assert story(page.format('03T19:06 "strike", entry = "k02"')).sg == pytest.approx(1.009)
    assert all(act.did != "strike" for act in story(page.format("")).acts)


def test_how_it_stood_after_each_entry() -> None:
    trace: list[Moment] = []
    page = entries('01T18:00 "mix", honey_g = 1500, volume_l = 4.5\n01T19:00 "pitch"\n20T19:00 "read", sg = 1.0')
    replay(head_from(MEAD), page, trace=trace)
    assert [moment.key for moment in trace] == ["k00", "k01", "k02"]
    assert trace[0].abv_percent == 0.0
    assert trace[2].sg == 1.0
    assert trace[2].level_l == pytest.approx(4.5, abs=0.1)


def test_speed_is_the_fall_over_half_a_day_or_more() -> None:
    page = '01T19:00 "pitch"\n03T08:00 "read", sg = 1.080\n05T08:00 "read", sg = 1.070\n05T09:00 "read", sg = 1.0701'
    assert stands(story(page), "05T10:00").speed_sg_per_day == pytest.approx((1.080 - 1.0701) / (49 / 24), abs=1e-6)
    assert stands(story(page), "20T10:00").speed_sg_per_day is None  # of two weeks ago: no speed of today
    assert stands(story('01T19:00 "pitch"\n03T08:00 "read", sg = 1.080'), "05T10:00").speed_sg_per_day is None


def test_day_nought_is_the_calendar_day_of_pitching_in_the_cellars_zone() -> None:
    facts = story('01T23:30 "pitch"')
    assert present(facts, at("02T00:30"), BERLIN).day == 1
    assert present(facts, at("02T00:30"), UTC).day == 0
    assert present(facts, at("01T23:40") + timedelta(days=200), BERLIN).day == 200 + 1  # the clocks have changed
