"""Stopped, finished and what could ferment again: common practice, no source, except where said."""

from __future__ import annotations

from datetime import datetime

import pytest

from fermtui.daybook.head import head_from
from fermtui.daybook.lines import read_lines
from fermtui.daybook.strikes import live
from fermtui.replay.facts import Facts
from fermtui.replay.refermentable import finished, refermentable
from fermtui.replay.replay import replay
from fermtui.replay.stability import (
    at_end_now,
    at_end_since,
    at_or_below,
    calm_run,
    stable_now,
    stable_since,
)

START = """
k00 = { at = 2026-03-01T18:30:00+01:00, did = "read", sg = 1.095 }
k01 = { at = 2026-03-01T19:00:00+01:00, did = "pitch" }
"""


def read(*readings: str, more: str = "", end: float = 1.0) -> Facts:
    """Readings as `15T19:00 1.002` or `15T19:00 1.002 14.0` (with the temperature of the sample), in March 2026."""
    lines = []
    for n, text in enumerate(readings, start=10):
        when, sg, *temp = text.split()
        warmth = f", temp_c = {temp[0]}" if temp else ""
        lines.append(f'k{n} = {{ at = 2026-03-{when}:00+01:00, did = "read", sg = {sg}{warmth} }}')
    found, problems = read_lines((START + "\n".join(lines) + "\n" + more).encode(), "daybook.toml")
    assert not problems
    head = head_from({"name": "T", "plan": {"volume_l": 4.0, "gravity": 1.095, "end": end}})
    return replay(head, live(found)[0])


def at(text: str) -> datetime:
    return datetime.fromisoformat(f"2026-03-{text}:00+01:00")


def test_two_readings_that_span_the_days_and_agree() -> None:
    facts = read("15T19:00 1.0030", "18T19:00 1.0020")
    assert stable_since(facts, 3) == at("18T19:00")
    assert stable_since(facts, 7) is None
    assert stable_now(facts, 3, at("22T18:00"))


@pytest.mark.parametrize(
    ("readings", "why"),
    [
        (("18T19:00 1.002",), "one reading"),
        (("15T19:00 1.0032", "18T19:00 1.0020"), "spread above 0.001"),
        (("16T19:00 1.002", "18T19:00 1.002"), "two days only"),
        (("15T19:00 1.002 12.0", "18T19:00 1.002 12.0"), "too cold to prove anything"),
        (("15T19:00 1.004", "17T19:00 1.002", "18T19:00 1.002"), "the calm began on the 17th"),
    ],
)
def test_not_stable(readings: tuple[str, ...], why: str) -> None:
    assert stable_since(read(*readings), 3) is None, why


def test_from_seven_days_on_three_readings_are_asked_for() -> None:
    two = read("08T19:00 1.002", "16T19:00 1.002")
    assert stable_since(two, 6) == at("16T19:00")
    assert stable_since(two, 7) is None
    three = read("08T19:00 1.002", "12T19:00 1.002", "16T19:00 1.002")
    assert stable_since(three, 7) == at("16T19:00")


def test_a_reading_some_hours_early_on_the_seventh_day_counts() -> None:
    assert stable_since(read("08T19:00 1.002", "12T19:00 1.002", "15T08:00 1.002"), 7) == at("15T08:00")
    assert stable_since(read("08T19:00 1.002", "12T19:00 1.002", "15T06:00 1.002"), 7) is None


def test_it_is_not_known_to_be_stable_when_nobody_looked_for_more_than_four_days() -> None:
    facts = read("15T19:00 1.002", "18T19:00 1.002")
    assert stable_now(facts, 3, at("22T19:00"))
    assert not stable_now(facts, 3, at("22T19:01"))
    assert not stable_now(facts, 3, at("17T19:00"))  # the clock of an earlier look knows nothing of the later one


def test_a_cold_look_between_two_warm_ones_breaks_nothing() -> None:
    facts = read("15T19:00 1.002 18.0", "16T19:00 1.008 9.0", "18T19:00 1.002 18.0")
    assert [reading.at for reading in calm_run(facts)] == [at("15T19:00"), at("18T19:00")]


def test_readings_before_an_addition_prove_nothing_after_it() -> None:
    fruit = 'k50 = { at = 2026-03-19T19:00:00+01:00, did = "fruit", kind = "plum", mass_g = 500 }'
    facts = read("15T19:00 1.002", "18T19:00 1.002", "20T19:00 1.003", more=fruit)
    assert stable_since(facts, 3) is None
    assert at_or_below(facts, 1.002) is None
    assert [reading.at for reading in facts.since_addition] == [at("20T19:00")]


@pytest.mark.parametrize(
    "line",
    ['did = "feed", honey_g = 300', 'did = "top_up", volume_l = 0.5', 'did = "add", what = "water", volume_l = 0.3',
     'did = "sweeten", honey_g = 100'],
)  # fmt: skip
def test_every_addition_that_moves_the_gravity_begins_a_new_stretch(line: str) -> None:
    added = f"k50 = {{ at = 2026-03-19T19:00:00+01:00, {line} }}"
    assert read("15T19:00 1.002", "18T19:00 1.002", more=added).since_addition == ()
    racked = 'k50 = { at = 2026-03-19T19:00:00+01:00, did = "rack", volume_l = 3.8 }'
    assert len(read("15T19:00 1.002", "18T19:00 1.002", more=racked).since_addition) == 2


def test_a_gravity_once_met_stays_met_until_the_next_addition() -> None:
    facts = read("15T19:00 1.005", "16T19:00 1.006")
    assert at_or_below(facts, 1.005) == at("15T19:00")
    assert at_or_below(facts, 1.004) is None


def test_at_end_is_the_plans_end_and_two_points() -> None:
    assert at_end_since(read("15T19:00 1.002")) == at("15T19:00")
    assert at_end_since(read("15T19:00 1.003")) is None
    assert at_end_since(read("15T19:00 1.012", end=1.010)) == at("15T19:00")
    facts = read("15T19:00 1.002", "16T19:00 1.004")
    assert at_end_since(facts) is not None
    assert not at_end_now(facts)


def test_stalled_is_stable_and_not_at_end() -> None:
    facts = read("08T19:00 1.031", "12T19:00 1.031", "16T19:00 1.0305")
    assert stable_now(facts, 7, at("17T00:00"))
    assert at_end_since(facts) is None


def left(facts: Facts, when: str) -> float:
    found = refermentable(facts, at(when))
    assert found is not None
    return found.g_per_l


def test_what_could_ferment_again_counts_down_to_the_lowest_plausible_end() -> None:
    # US honeys of 1980 leave 1.8 to 5.9 % of their extract unfermented; 2.5 g/L of sugar are a point (Balling).
    dry = read("08T19:00 1.001", "12T19:00 1.001", "16T19:00 1.001")
    found = refermentable(dry, at("17T00:00"))
    assert found is not None
    assert found.end_sg == pytest.approx(0.984, abs=0.001)
    assert found.g_per_l == pytest.approx((1.001 - found.end_sg) * 2500.0, rel=0.15)
    assert found.sd_g_per_l == pytest.approx(3.5, abs=0.5)
    assert finished(dry, at("17T00:00")) is None
    stalled = read("08T19:00 1.031", "12T19:00 1.031", "16T19:00 1.031")
    assert left(stalled, "17T00:00") == pytest.approx(left(dry, "17T00:00") + 30 * 2.5, rel=0.1)


def test_a_known_tolerance_bounds_it() -> None:
    free, weak = read("08T19:00 1.010"), read("08T19:00 1.010")._replace(tolerance_abv=11.0)
    # 13 % vol at most: from the strength at 1.010, a gram of ethanol for each 2.0665 g of extract (Balling).
    assert left(weak, "09T00:00") < left(free, "09T00:00")
    assert left(weak, "09T00:00") == pytest.approx((13.0 - 11.5) / 100 * 789 * 2.0665, abs=8.0)


def test_thirty_calm_days_leave_nothing() -> None:
    proven = read("02T19:00 1.001", "15T19:00 1.001", "31T21:00 1.001")
    assert finished(proven, at("31T22:00")) is None, "29 days are not thirty"
    proven = read("01T20:00 1.001", "15T19:00 1.001", "31T21:00 1.001")
    assert finished(proven, at("31T22:00")) == "proven"
    assert left(proven, "31T22:00") == 0.0


def test_honey_for_taste_could_ferment_again_to_the_last_gram() -> None:
    honey = 'k50 = { at = 2026-03-17T19:00:00+01:00, did = "sweeten", honey_g = 200 }'
    dry = read("08T19:00 0.985", "12T19:00 0.985", "16T19:00 0.985")
    sweet = read("08T19:00 0.985", "12T19:00 0.985", "16T19:00 0.985", more=honey)
    assert left(sweet, "18T00:00") == pytest.approx(left(dry, "17T00:00") + 200 * 0.829 / 4.0, rel=0.05)
    # Sweetened without ever being looked at: it counts as the must that it was.
    assert left(read(more=honey), "18T00:00") > 200


def test_nothing_is_said_of_a_vessel_without_a_gravity() -> None:
    assert refermentable(replay(head_from({"name": "T"}), ()), at("01T00:00")) is None
