"""Calm as a judgement with its error: what a hydrometer cannot show is not taken for a stop.

The seven and the thirty days are common practice, no source. Standard errors are those of a least squares line
(NIST/SEMATECH e-Handbook of Statistical Methods, 4.1.4.1; from memory).
"""

from __future__ import annotations

import random
from math import sqrt
from statistics import median

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from fermtui.replay.facts import Facts
from fermtui.replay.replay import replay
from fermtui.replay.stability import calm_run, fall_of, proven_now, proven_since, stable_now, stable_since
from gravities import Gravity, day, entries, head, mead

FALLING: tuple[tuple[Gravity, ...], ...] = (
    ((28, 1.004), (32, 1.003), (36, 1.002), (40, 1.0015), (44, 1.0010)),
    ((30, 1.0030), (34, 1.0025), (37, 1.0020)),
    ((20, 1.0020), (23, 1.0016), (26, 1.0012), (29, 1.0008)),
    ((20, 1.012), (24, 1.0115), (28, 1.011), (32, 1.0105), (36, 1.010)),
    ((20, 0.992), (22, 0.9915), (24, 0.991), (26, 0.9905), (28, 0.990)),
)


@pytest.mark.parametrize("gravities", FALLING)
def test_a_steady_fall_in_small_steps_is_not_stable_after_any_of_its_readings(gravities: tuple[Gravity, ...]) -> None:
    for count in range(3, len(gravities) + 1):
        part = gravities[:count]
        assert stable_since(mead(*part), 7) is None
        assert not stable_now(mead(*part), 7, day(part[-1][0] + 0.1))


def test_a_fall_that_hides_in_a_coarse_scale_comes_out_over_weeks() -> None:
    # 0.0004 a week, read to 0.001: two days' readings in a row mostly agree.
    weekly = [(7.0 * n, round(round((1.006 - 0.0004 * n) / 0.001) * 0.001, 3)) for n in range(3, 15)]
    facts = mead(*weekly)
    assert not proven_now(facts, day(weekly[-1][0] + 0.1))


FELL: tuple[Gravity, ...] = ((20, 1.004), (24, 1.003), (28, 1.002), (32, 1.001))


def test_a_fall_that_has_ended_is_forgotten() -> None:
    assert stable_since(mead(*FELL), 7) is None
    assert stable_since(mead(*FELL, (36, 1.001), (40, 1.001), (44, 1.001)), 7) is not None


def test_one_reading_that_repeats_the_last_does_not_end_a_fall() -> None:
    assert stable_since(mead(*FELL, (36, 1.001)), 7) is None


def test_the_error_of_the_line_is_that_of_least_squares() -> None:
    # Three readings a week apart that agree: sum of squares 2 weeks², noise from the scale (step / sqrt 12) and 0.0005.
    facts = mead((20, 1.0), (27, 1.0), (34, 1.0))
    fall = fall_of(facts.since_addition, 0.001)
    assert fall is not None
    assert fall.sg_per_week == pytest.approx(0.0, abs=1e-12)
    assert fall.se_sg_per_week == pytest.approx(sqrt(0.001**2 / 12 + 0.0005**2) / sqrt(2.0), rel=1e-6)
    coarse = fall_of(facts.since_addition, 0.002)
    assert coarse is not None
    assert coarse.se_sg_per_week > fall.se_sg_per_week


def test_the_slope_of_readings_on_a_line_is_that_line() -> None:
    facts = mead(*((20.0 + 7 * n, 1.010 - 0.001 * n) for n in range(5)))
    fall = fall_of(facts.since_addition, 0.001)
    assert fall is not None
    assert fall.sg_per_week == pytest.approx(0.001, abs=1e-4)
    assert fall_of(facts.since_addition[:1], 0.001) is None
    assert fall_of((), 0.001) is None


def test_readings_of_one_moment_have_no_slope() -> None:
    facts = mead((20, 1.000), (20, 1.001))
    assert fall_of(facts.since_addition, 0.001) is None


def flicker(*days: float) -> tuple[Gravity, ...]:
    return tuple((at, 0.998 if n % 2 else 1.000) for n, at in enumerate(days))


def test_a_coarse_hydrometer_may_flicker_by_a_step() -> None:
    five_weeks = flicker(20, 25, 30, 35, 40, 45, 50, 55)
    facts = mead(*five_weeks, resolution_sg=0.002)
    assert stable_now(facts, 7, day(55.5))
    assert proven_now(facts, day(55.5))
    # The same readings with a fine scale: two points are no flicker.
    assert not proven_now(mead(*five_weeks, resolution_sg=0.0005), day(55.5))


def test_a_coarse_hydrometer_does_not_hide_a_fall_of_two_steps() -> None:
    fell: tuple[Gravity, ...] = ((20, 1.004), (25, 1.004), (30, 1.002), (35, 1.002), (40, 1.000), (45, 1.000))
    facts = mead(*fell, resolution_sg=0.002)
    assert not proven_now(facts, day(45.5))
    assert not stable_now(facts, 14, day(45.5))


def test_a_step_of_a_coarse_scale_in_three_readings_is_no_proof() -> None:
    # 0.002 in thirty days: 0.00047 a week with a standard error of 0.00025, so more than the half point is possible.
    assert not proven_now(mead((20, 1.002), (35, 1.000), (50, 1.000), resolution_sg=0.002), day(50.5))
    # The same step is outweighed by readings that go on at the lower level.
    more: tuple[Gravity, ...] = ((20, 1.002), (35, 1.000), (50, 1.000), (55, 1.000), (60, 1.000), (65, 1.000))
    assert proven_now(mead(*more, resolution_sg=0.002), day(65.5))


def test_two_steps_down_and_none_up_take_the_first_reading_out_of_the_calm() -> None:
    facts = mead((20, 1.0015), (23, 1.001), (27, 1.001), (31, 1.0005), (34, 1.0005))
    assert calm_run(facts)[0].at == day(23)


def test_the_newest_three_that_fall_are_no_calm_whatever_came_before() -> None:
    assert stable_since(mead((20, 1.000), (23, 1.001), (26, 1.0005), (29, 1.000)), 7) is None


def test_thirty_calm_days_and_three_readings() -> None:
    assert proven_since(mead((20, 1.000), (35, 1.000), (50, 1.000))) == day(50)
    assert proven_since(mead((20, 1.000), (50, 1.000))) is None
    assert proven_since(mead((20, 1.000), (35, 1.000), (49, 1.000))) is None
    assert proven_since(mead((20, 1.000), (35, 1.000), (49.6, 1.000))) == day(49.6)  # some hours early that day


def test_a_mead_that_was_left_alone_is_proven_by_the_first_fresh_reading() -> None:
    left = mead((20, 1.000), (22, 1.000), (24, 1.000))
    assert not proven_now(left, day(60))
    assert proven_now(mead((20, 1.000), (22, 1.000), (24, 1.000), (60, 1.000)), day(60.1))


def test_what_was_proven_is_known_for_four_days() -> None:
    facts = mead((20, 1.000), (35, 1.000), (50, 1.000))
    assert proven_now(facts, day(54))
    assert not proven_now(facts, day(54.1))
    assert not proven_now(facts, day(49))  # an earlier clock knows nothing of the later reading


def test_cold_days_are_no_proof() -> None:
    assert proven_since(mead((20, 1.000, 12.0), (35, 1.000, 12.0), (50, 1.000, 12.0))) is None
    assert proven_since(mead((20, 1.000, 15.0), (35, 1.000, 15.0), (50, 1.000, 15.0))) == day(50)


def test_one_reading_off_the_level_between_two_at_it_is_passed_over() -> None:
    slip = mead((20, 1.000), (24, 1.000), (28, 1.006), (32, 1.000), (36, 1.000))
    assert [reading.sg for reading in calm_run(slip)] == [pytest.approx(1.000, abs=2e-4)] * 4
    two = mead((20, 1.000), (24, 1.000), (28, 1.006), (30, 1.006), (32, 1.000), (36, 1.000))
    assert len(calm_run(two)) == 2


def test_a_newest_reading_off_the_level_is_not_overlooked() -> None:
    facts = mead((20, 1.000), (24, 1.000), (28, 1.000), (32, 0.996))
    assert not stable_now(facts, 7, day(32.1))


# Laws


def scale(sg: float, resolution_sg: float) -> float:
    return round(round(sg / resolution_sg) * resolution_sg, 4)


def level_of(facts: Facts) -> float:
    """The level of the calm: the median of its newest three readings."""
    return median(reading.sg or 0.0 for reading in calm_run(facts)[-3:])


@st.composite
def ferments(draw: st.DrawFn) -> list[Gravity]:
    """Readings that fall, stand or waver, a day to two weeks apart, written to a half or a whole point."""
    step = draw(st.sampled_from([0.0005, 0.001]))
    sg, at = draw(st.integers(990, 1012)) / 1000.0, 14.0
    made: list[Gravity] = []
    for _ in range(draw(st.integers(1, 10))):
        made.append((at, scale(sg, step)))
        at += draw(st.integers(1, 14))
        sg -= draw(st.sampled_from([0.0, 0.0, 0.0, 0.0005, 0.001, -0.0005, -0.001, 0.003]))
    return made


@settings(max_examples=300)
@given(ferments(), st.sampled_from([3.0, 7.0, 14.0]), st.floats(0.5, 4.0))
def test_one_more_reading_at_the_level_never_makes_it_less_stable(
    made: list[Gravity], days: float, later: float
) -> None:
    facts = mead(*made)
    now = day(made[-1][0])
    assume(stable_now(facts, days, now))
    more = mead(*made, (made[-1][0] + later, level_of(facts)))
    assert stable_now(more, days, day(made[-1][0] + later))


@settings(max_examples=200)
@given(st.integers(990, 1010), st.lists(st.integers(1, 9), min_size=2, max_size=10), st.floats(0.5, 9.0))
def test_one_more_reading_at_the_level_never_takes_a_proof_away(points: int, gaps: list[int], later: float) -> None:
    rng = random.Random(points)
    made: list[Gravity] = [(14.0, points / 1000.0)]
    for gap in gaps:
        made.append((made[-1][0] + gap, points / 1000.0 + rng.choice((0.0, 0.0, 0.001))))
    facts, now = mead(*made), day(made[-1][0])
    assume(proven_now(facts, now))
    assert proven_now(mead(*made, (made[-1][0] + later, level_of(facts))), day(made[-1][0] + later))


@settings(max_examples=100)
@given(ferments(), st.randoms(use_true_random=False))
def test_the_order_of_the_lines_does_not_matter(made: list[Gravity], rng: random.Random) -> None:
    lines = entries(made)
    shuffled = list(lines)
    rng.shuffle(shuffled)
    one, other = replay(head(), lines), replay(head(), shuffled)
    assert calm_run(one) == calm_run(other)
    for days in (3.0, 7.0, 14.0):
        assert stable_since(one, days) == stable_since(other, days)
    assert proven_since(one) == proven_since(other)


@settings(max_examples=200)
@given(ferments())
def test_stable_for_longer_is_stable_for_less(made: list[Gravity]) -> None:
    facts = mead(*made)
    if proven_since(facts) is not None:
        assert stable_since(facts, 14) is not None
    if stable_since(facts, 14) is not None:
        assert stable_since(facts, 7) is not None
    if stable_since(facts, 7) is not None:
        assert stable_since(facts, 3) is not None


@settings(max_examples=200)
@given(st.floats(0.0005, 0.003), st.integers(2, 7), st.integers(6, 12), st.integers(0, 9))
def test_a_true_line_that_falls_is_never_proven(per_week: float, every: int, count: int, phase: int) -> None:
    """No noise but the scale of 0.001: what falls by the half point a week that the rule names, or more, is seen."""
    start = 1.006 + phase * 0.0001
    made = [(14.0 + every * n, scale(start - per_week * every * n / 7.0, 0.001)) for n in range(count)]
    for upto in range(3, count + 1):
        facts: Facts = mead(*made[:upto])
        assert not proven_now(facts, day(made[upto - 1][0]))
