"""A warm sample with fresh yeast shows how far a mead can go. Common practice, no source."""

from __future__ import annotations

import pytest

from fermtui.replay.facts import Facts
from fermtui.replay.refermentable import finished, refermentable
from telling import at, story

PAGE = """
01T18:00 "mix", volume_l = 4.2, honey_g = 1400
01T18:30 "read", sg = 1.095
01T19:00 "pitch"
20T19:00 "read", sg = 0.998
23T19:00 "read", sg = 0.998
28T19:00 "read", sg = 0.998
"""
TESTED = '28T20:00 "forced_test", sg = 0.997, days = 7, temp_c = 26\n'


def left(facts: Facts) -> float:
    found = refermentable(facts, at("29T19:00"))
    assert found is not None
    return found.g_per_l


def test_calm_where_the_sample_ended_is_the_end() -> None:
    assert finished(story(PAGE), at("29T19:00")) is None
    tested = story(PAGE + TESTED)
    assert finished(tested, at("29T19:00")) == "tested"
    assert left(tested) == pytest.approx(2.5, abs=0.1), "one point above it, 2.5 g/L by Balling"


def test_a_sample_that_went_further_shows_what_is_left() -> None:
    deeper = story(PAGE + TESTED.replace("0.997", "0.990"))
    assert finished(deeper, at("29T19:00")) is None
    assert left(deeper) == pytest.approx(20.0, abs=0.5)


@pytest.mark.parametrize("test", [TESTED.replace("temp_c = 26", "temp_c = 17"), TESTED.replace("days = 7", "days = 2")])
def test_too_cold_or_too_short_it_proves_nothing(test: str) -> None:
    facts = story(PAGE + test)
    assert finished(facts, at("29T19:00")) is None
    assert any("proves nothing" in note for note in facts.notes)


def test_what_goes_in_afterwards_makes_it_void() -> None:
    fed = story(PAGE + TESTED + '28T21:00 "feed", honey_g = 100\n')
    assert fed.forced_sg is None
