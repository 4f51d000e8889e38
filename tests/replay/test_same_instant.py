"""Entries of one instant: the order of writing counts; a mix comes first and a pitch after the readings."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fermtui.daybook.head import head_from
from fermtui.daybook.kinds import before_it, in_order
from fermtui.forecast.evidence import tidy
from fermtui.forecast.from_facts import evidence_of
from fermtui.replay.replay import replay
from telling import at, entries, stands, story

BEGUN = """01T18:00 "mix", volume_l = 4.0, honey_g = 1200
01T18:30 "read", sg = 1.095
01T19:00 "pitch"
"""
FED = """10T12:00 "read", sg = 1.060
10T12:00 "feed", honey_g = 400
10T12:00 "read", sg = 1.082
"""


def test_a_reading_after_a_feed_of_the_same_date_is_one_of_the_fed_must() -> None:
    together = stands(story(BEGUN + FED), "10T13:00")
    hours_apart = '10T10:00 "read", sg = 1.060\n10T11:00 "feed", honey_g = 400\n10T12:00 "read", sg = 1.082'
    apart = stands(story(BEGUN + hours_apart), "10T13:00")
    assert (together.sg, together.abv_percent, together.level_l) == (apart.sg, apart.abv_percent, apart.level_l)
    assert together.sg == pytest.approx(1.082, abs=0.0005)
    # By handbook figures, from memory: 35 points are about 4.6 % vol, thinned by 0.28 L of honey in 4.1 L; 332 g of
    # sugar should lift it to about 1.086, so four more points, 0.5 % vol, had gone by the second reading.
    assert together.abv_percent == pytest.approx(4.6 * 4.1 / 4.38 + 0.5, abs=0.3)


def test_the_forecast_takes_it_for_one_of_the_fed_must() -> None:
    facts = story(BEGUN + FED)
    known = tidy(evidence_of(facts, head_from({"name": "T"}).plan, 0))
    fed_day = known.feeds[0][0]
    assert [sg for day, sg, _ in known.readings if day > fed_day] == [pytest.approx(1.082, abs=0.001)]
    assert [sg for day, sg, _ in known.readings if day <= fed_day] == [pytest.approx(1.060, abs=0.001)]


def test_a_pitch_waits_for_the_readings_of_its_instant_and_a_mix_for_nothing() -> None:
    page = '01T18:00 "pitch"\n01T18:00 "read", sg = 1.095\n01T18:00 "mix", volume_l = 4.0, honey_g = 1200'
    assert [one.did for one in in_order(entries(page))] == ["mix", "read", "pitch"]
    assert story(page).og == pytest.approx(1.095, abs=0.001)


def test_what_is_written_before_a_reading_stays_before_it_on_the_day_of_pitching() -> None:
    page = '01T18:00 "pitch"\n01T18:00 "feed", honey_g = 9\n01T18:00 "read", sg = 1.09\n01T18:00 "dose", dap_g = 1'
    assert [one.did for one in in_order(entries(page))] == ["feed", "read", "pitch", "dose"]


def test_before_it_is_what_happened_before_an_entry() -> None:
    page = entries(BEGUN + FED)
    assert [one.key for one in before_it(page, page[4])] == ["k00", "k01", "k02", "k03"]
    assert before_it(page[:4], page[4]) == list(page[:4])


DIDS = st.lists(st.sampled_from(["mix", "read", "pitch", "feed", "rack"]), min_size=1, max_size=8)
FIELDS = {"mix": ", volume_l = 4", "read": ", sg = 1.05", "pitch": "", "feed": ", honey_g = 5", "rack": ""}


@given(DIDS, st.randoms(use_true_random=False))
def test_laws_of_one_instant(dids: list[str], chance: random.Random) -> None:
    page = list(entries("\n".join(f'01T18:00 "{did}"{FIELDS[did]}' for did in dids)))
    ordered = in_order(page)
    chance.shuffle(page)
    assert in_order(page) == ordered == in_order(ordered)
    found = [one.did for one in ordered]
    assert found[: found.count("mix")] == ["mix"] * found.count("mix")
    if "pitch" in found and "read" in found:
        assert "read" not in found[found.index("pitch") :]
    kept = [one.key for one in ordered if one.did not in ("mix", "pitch")]
    assert kept == sorted(kept)
    assert replay(head_from({"name": "T"}), page) == replay(head_from({"name": "T"}), ordered)
    assert at("01T18:00") == ordered[0].at
