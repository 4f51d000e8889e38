"""Pages of a daybook and what they say about the vessel."""

from __future__ import annotations

from datetime import UTC, timedelta

import pytest

from fermtui.daybook.head import head_from
from fermtui.replay.present import present
from fermtui.replay.replay import Moment, replay
from telling import BERLIN, MEAD, at, entries, stands, story


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


def test_what_is_left_after_bottling_still_stands_there() -> None:
    page = """
    01T18:00 "mix", honey_g = 1500, volume_l = 4.5
    01T19:00 "pitch"
    20T19:00 "read", sg = 0.998
    27T19:00 "bottle", count = 5, size_ml = 750, left_l = 0.5
    """
    assert story(page).level_l == pytest.approx(0.5)
    assert story(page.replace("left_l = 0.5", "left_l = 0.0")).level_l == 0.0


def test_a_dose_counts_only_what_went_in() -> None:
    page = """
    01T18:00 "mix", honey_g = 1500, volume_l = 4.5
    01T19:00 "pitch"
    02T19:00 "dose", autolysate_g = 2.0
    """
    facts = story(page)
    assert (facts.dap_g, facts.autolysate_g, facts.complex_g, facts.doses) == (0.0, 2.0, 0.0, 1)
    facts = story(page.replace("autolysate_g = 2.0", "dap_g = 1.5"))
    assert (facts.dap_g, facts.autolysate_g, facts.complex_g, facts.doses) == (1.5, 0.0, 0.0, 1)


def test_what_begins_with_stabilised_mead_holds_what_was_in_it() -> None:
    poured = 'from = "other", entry = "e1", volume_l = 2.0, water_g = 1800, sugar_g = 60, ethanol_g = 180'
    facts = story(
        f'01T18:00 "receive", {poured}, so2_mg = 100, sorbate_mg = 400', {"name": "Part", "capacity_l": 3.0}
    )
    assert facts.level_l == pytest.approx(2.05, abs=0.05)
    assert facts.level_l is not None
    assert facts.sorbate_mg_per_l == pytest.approx(400 / facts.level_l)
    assert [given.so2_mg_per_l for given in facts.sulfite] == [pytest.approx(100 / facts.level_l)]
