"""A course begins anew where sugar, water or fresh yeast goes in. Expectations are judgement."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fermtui.forecast.course import course
from fermtui.forecast.evidence import Evidence, tidy
from fermtui.forecast.likelihood import blur_of, trust
from fermtui.forecast.posterior import posterior
from fermtui.forecast.priors import worlds
from fermtui.forecast.readoff import band, crossing_days, read_off
from fermtui.forecast.thermal import thermal_clock

MUST = Evidence(og=1.095, plan_temp_c=20.0, readings=((2.0, 1.0774, 0.001), (4.0, 1.0512, 0.001)))
WATER = replace(MUST, feeds=((4.1, -0.0162, 0.001),))
STUCK = replace(MUST, readings=((5.0, 1.06, 0.001), (10.0, 1.04, 0.001), (15.0, 1.039, 0.001), (20.0, 1.039, 0.001)))


def test_water_thins_at_once_and_hastens_nothing() -> None:
    before, after = band(posterior(WATER), 4.05, 4.05)[0], band(posterior(WATER), 4.15, 4.15)[0]
    assert 0.012 < before[2] - after[2] < 0.022
    read_after = replace(WATER, readings=(*MUST.readings, (4.2, 1.0345, 0.001)))
    plain, thinned = (read_off(posterior(told), 4.3).finish for told in (MUST, read_after))
    assert plain is not None
    assert thinned is not None
    assert abs(plain.likely_day - thinned.likely_day) < 2.5


def test_a_break_that_water_passed_is_passed() -> None:
    passed = crossing_days(posterior(WATER), 1.043)
    assert passed is not None
    assert passed.likely_day <= 4.2


def test_a_drop_of_water_is_no_new_course() -> None:
    assert tidy(replace(MUST, feeds=((4.1, -0.001, 0.0005),))).feeds == ()
    assert tidy(replace(MUST, feeds=((4.1, -0.3, 0.0005), (5.0, float("nan"), 0.0)))).feeds == ()


def test_fresh_yeast_may_set_a_stuck_must_going() -> None:
    stuck = read_off(posterior(STUCK), 20.5)
    assert stuck.finished > 0.8
    pitched = read_off(posterior(replace(STUCK, repitched=(21.0,))), 21.1)
    assert pitched.finished < 0.5
    assert pitched.finish is not None
    assert pitched.finish.likely_day > 22.0


def test_readings_after_fresh_yeast_are_a_course_of_their_own() -> None:
    going = replace(STUCK, repitched=(21.0,), readings=(*STUCK.readings, (24.0, 1.030, 0.001), (27.0, 1.020, 0.001)))
    seen = read_off(posterior(going), 27.5)
    assert seen.finished < 0.1
    assert seen.end[1] < 1.008
    _, low, _, high = band(posterior(going), 27.0, 27.0)[0]
    assert low - 0.003 <= 1.020 <= high + 0.003


def test_a_pitch_at_the_start_is_none_once_more() -> None:
    assert tidy(replace(MUST, repitched=(0.0, 0.3))).feeds == ()


def test_readings_that_cannot_be_are_left_out() -> None:
    nan, inf = float("nan"), float("inf")
    wrong = ((3.0, nan), (3.0, inf), (3.0, 0.5), (3.0, 1.5), (nan, 1.06), (inf, 1.06), (1e6, 1.0))
    for day, sg in wrong:
        assert tidy(replace(MUST, readings=(*MUST.readings, (day, sg, 0.001)))) == tidy(MUST), (day, sg)


def test_a_must_that_is_quick_after_a_feed_is_quick_to_the_end() -> None:
    fed = replace(MUST, feeds=((5.0, 0.020, 0.002),))
    (world, *_), _ = worlds(fed, tidy(fed))
    usual, quick = (
        course(world, tidy(fed), thermal_clock([], 20.0))([*(0.0,) * 8, pace, 0.0])[-1] for pace in (0.0, 1.0)
    )
    assert quick.k > usual.k
    assert quick.tail / usual.tail == pytest.approx(quick.k / usual.k)


def test_readings_within_two_hours_are_one_unless_something_went_in_between() -> None:
    twice = replace(MUST, readings=((2.0, 1.0774, 0.001), (4.0, 1.0512, 0.001), (4.05, 1.0510, 0.001)))
    assert [round(sg, 4) for _, sg, _ in tidy(twice).readings] == [1.0774, 1.0511]
    fed_between = replace(twice, feeds=((4.02, 0.020, 0.001),))
    assert [round(sg, 4) for _, sg, _ in tidy(fed_between).readings] == [1.0774, 1.0512, 1.0510]


def test_a_reading_counts_less_where_the_curve_is_steep_and_where_there_are_many() -> None:
    blurs = [blur_of(share / 100) for share in range(101)]
    assert blurs == sorted(blurs)
    assert blurs[-1] == 1.0
    assert all(0.0 < blur <= 1.0 for blur in blurs)
    weights = [trust(count) for count in range(1, 100)]
    assert weights == sorted(weights, reverse=True)
    assert weights[0] == 1.0
