"""Filtering: what stays in the pad leaves with the average composition, and nothing is stabilised by it."""

from __future__ import annotations

import pytest

from fermtui.replay.stage import stage
from telling import at, stands, story

PAGE = """
01T18:00 "mix", volume_l = 4.2, honey_g = 1400
01T18:30 "read", sg = 1.095
01T19:00 "pitch"
29T19:00 "read", sg = 1.000
"""
FILTERED = PAGE + '30T19:00 "filter", pad_um = 1, loss_l = 0.4\n'


def test_what_is_lost_leaves_with_the_average_composition() -> None:
    before, after = stands(story(PAGE), "31T19:00"), stands(story(FILTERED), "31T19:00")
    assert before.level_l is not None
    assert after.level_l == pytest.approx(before.level_l - 0.4, abs=0.01)
    assert after.sg == pytest.approx(before.sg)
    assert after.abv_percent == pytest.approx(before.abv_percent)


def test_without_a_loss_nothing_changes() -> None:
    facts = story(PAGE + '30T19:00 "filter", pad_um = 0.5\n')
    assert stands(facts, "31T19:00") == stands(story(PAGE), "31T19:00")


# Common practice, no source: a pad holds back most of the yeast, not all of it.
def test_a_filtered_mead_is_not_a_stabilised_one() -> None:
    facts = story(FILTERED)
    assert facts.sulfite == ()
    assert facts.sorbate_at is None
    assert stage(facts, at("31T19:00")) == stage(story(PAGE), at("31T19:00"))
