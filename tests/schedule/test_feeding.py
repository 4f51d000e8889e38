"""Honey fed on the way to a strength: how much, how often, and when it is over."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from fermtui.daybook.head import Plan, Yeast
from fermtui.must.composition import Must, from_gravity, mix
from fermtui.must.honey import honey_must
from fermtui.schedule.feeding import down_to, fed_start_sg, feed_at_sg, feed_honey_g
from fermtui.schedule.library import load
from fermtui.wording.why import why_text

MOISTURE = 17.1


def fed(start_sg: float, plan: Plan, feeds: int) -> tuple[Must, list[float], list[float]]:
    """Feed a must of ten litres at 1.030 so many times: what it ends as, the grams, and how far each lifted it."""
    must, given, lifts = from_gravity(10.0, start_sg), [], []
    for left in range(feeds, 0, -1):
        must = down_to(must, 1.030)
        given.append(feed_honey_g(must, plan, left, MOISTURE, 1.030))
        after = mix(must, honey_must(given[-1], MOISTURE))
        lifts.append(after.sg - must.sg)
        must = after
    return down_to(must, plan.end), given, lifts


def test_the_feeds_are_equal_and_come_to_the_strength() -> None:
    end, given, lifts = fed(1.100, Plan(abv_percent=16.0), 2)
    assert end.abv_percent == pytest.approx(16.0, abs=0.01)
    assert given[0] == pytest.approx(given[1], rel=0.01)
    assert max(lifts) < 0.020


def test_a_feed_lifts_it_by_twenty_points_at_most() -> None:
    end, _, lifts = fed(1.100, Plan(abv_percent=20.0), 2)
    assert lifts == pytest.approx([0.020, 0.020], abs=1e-4)
    assert end.abv_percent < 20.0


def test_no_feed_is_less_than_a_hundredth_of_the_honey() -> None:
    # 10 L of 1.100 hold about 3.15 kg of honey: 31 g is the least. What is wanted goes into one feed before it is left.
    unfed = down_to(from_gravity(10.0, 1.100), 1.0).abv_percent
    assert fed(1.100, Plan(abv_percent=unfed + 0.05), 2)[1] == [0.0, 0.0]
    given = fed(1.100, Plan(abv_percent=unfed + 0.2), 2)[1]
    assert given[0] > 31.0
    assert given[1] == 0.0


def test_without_a_strength_each_lifts_it_by_twenty_points() -> None:
    assert fed(1.100, Plan(), 2)[2] == pytest.approx([0.020, 0.020], abs=1e-4)
    assert fed(1.100, Plan(yeast=Yeast(tolerance_abv=16.0)), 2)[0].abv_percent == pytest.approx(16.0, abs=0.01)


def test_where_a_fed_must_begins() -> None:
    schedule = load("strong-step-fed", None)[0]
    assert schedule is not None
    feeds = schedule.by_do["feed"]
    assert [feed_at_sg(step) for step in feeds] == [1.030, 1.030]
    assert fed_start_sg(Plan(abv_percent=16.0), 1.118, feeds, MOISTURE) == 1.100
    assert fed_start_sg(Plan(abv_percent=12.0), 1.090, feeds, MOISTURE) == 1.090  # nothing to hold back
    higher = fed_start_sg(Plan(abv_percent=19.0), 1.141, feeds, MOISTURE)
    assert 1.100 < higher < 1.141
    assert fed(higher, Plan(abv_percent=19.0), 2)[0].abv_percent == pytest.approx(19.0, abs=0.06)


def test_a_must_that_is_strong_enough_is_not_fed(story: Callable[..., Any]) -> None:
    # 1.107 comes to 14.4 % vol by itself (107 points by the factor 0.135 of HMRC Notice 226): the yeast takes 14.
    strong = """
    { at = 2026-03-01T18:00:00+01:00, did = "read", sg = 1.107 }
    { at = 2026-03-01T19:00:00+01:00, did = "pitch" }
    { at = 2026-03-09T19:00:00+01:00, did = "read", sg = 1.028 }
    """
    feed = story(strong, "2026-03-09T20:00", "strong-step-fed")["feed-1"]
    assert (feed.state, feed.why.kind) == ("dropped", "strong-enough")
    assert why_text(feed.why, feed.settled_at.tzinfo) == "what is in it comes to 14 % vol by itself"
    weaker = strong.replace("1.107", "1.090")
    assert story(weaker, "2026-03-09T20:00", "strong-step-fed")["feed-1"].is_open
