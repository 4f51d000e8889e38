"""Slow and stalled: single series, then rates over courses from other models (see tests/bench/forecast/alarm_rates.py,
which prints the full counts). What a maker calls slow is common practice, no source."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fermtui.forecast.evidence import Evidence
from fermtui.forecast.posterior import for_alarms, posterior
from fermtui.forecast.readoff import Outlook, alarms_of, read_off
from tests.bench.forecast.alarm_rates import rates

MUST = Evidence(og=1.100, plan_temp_c=20.0)


def seen(*rows: tuple[float, float], og: float = 1.100) -> Outlook:
    """What is said right after the last of these readings."""
    readings = tuple((day, sg, 0.001) for day, sg in rows)
    told = Evidence(og=og, plan_temp_c=20.0, readings=readings)
    return read_off(posterior(told), rows[-1][0])


@pytest.mark.parametrize(
    "rows",
    [
        ((5.0, 1.055),),
        ((5.0, 1.055), (8.0, 1.030)),
        ((5.0, 1.055), (8.0, 1.030), (11.0, 1.012)),
        ((8.0, 1.044),),
        ((8.0, 1.044), (16.0, 1.010)),
    ],
)
def test_a_must_that_falls_as_it_should_is_never_slow(rows: tuple[tuple[float, float], ...]) -> None:
    outlook = seen(*rows)
    assert not outlook.is_slow
    assert not outlook.is_stalled


@pytest.mark.parametrize("rows", [((8.0, 1.073), (12.0, 1.060)), ((28.0, 1.065),)])
def test_a_must_that_creeps_is_slow(rows: tuple[tuple[float, float], ...]) -> None:
    outlook = seen(*rows)
    assert outlook.is_slow
    assert outlook.slow > 0.75
    assert not outlook.is_stalled


def test_slow_clears_when_the_fall_recovers() -> None:
    creeping = ((8.0, 1.080), (12.0, 1.072))
    assert seen(*creeping).is_slow
    assert not seen(*creeping, (16.0, 1.034)).is_slow


def test_late_in_the_course_a_must_may_take_its_time() -> None:
    assert not seen((5.0, 1.055), (8.0, 1.030), (12.0, 1.024)).is_slow


def test_what_falls_seven_points_a_week_has_neither_stalled_nor_stopped() -> None:
    revived = seen((10.0, 1.050), (20.0, 1.041), (24.5, 1.041), (29.0, 1.034), (34.0, 1.027))
    assert not revived.is_stalled
    assert revived.finished < 0.2
    assert revived.stalled <= 0.5


def test_one_wrong_reading_neither_lifts_a_stall_nor_makes_one() -> None:
    rows = ((3.0, 1.080), (7.0, 1.055), (11.0, 1.044), (16.0, 1.042), (22.0, 1.042))
    assert seen(*rows).is_stalled
    assert seen(*rows, (26.0, 1.035)).is_stalled
    assert seen(*rows, (26.0, 1.035), (29.0, 1.042)).is_stalled
    assert not seen(*rows, (26.0, 1.035), (29.0, 1.028)).is_stalled
    assert not seen((3.0, 1.080), (6.0, 1.050), (8.0, 1.038), (11.0, 1.047)).is_stalled


@pytest.mark.parametrize(("sg", "stalled"), [(1.045, True), (1.043, True), (1.040, False), (1.030, False)])
def test_three_days_in_mid_course_tell_a_stall_and_two_points_of_a_fall_do_not_excuse_it(
    sg: float, stalled: bool
) -> None:
    # It fell six points a day before: three days more would have brought seventeen. Two are what two looks differ by,
    # so it stands; five are a fall. To wait for more certainty than three to one costs a stuck must its best days.
    assert seen((5.0, 1.062), (8.0, 1.045), (11.0, sg)).is_stalled is stalled
    assert not seen((5.0, 1.062), (8.0, 1.045), (10.0, 1.045)).is_stalled


def test_a_stall_is_measured_from_where_a_healthy_one_ends() -> None:
    flat = ((5.0, 1.055), (9.0, 1.027), (14.0, 1.006), (20.0, 1.005), (26.0, 1.005))
    assert not seen(*flat).is_stalled
    high = tuple((day, sg + 0.020) for day, sg in flat)
    assert seen(*high).is_stalled


def test_sugar_that_comes_later_starts_the_watch_anew() -> None:
    rows = ((5.0, 1.055, 0.001), (9.0, 1.027, 0.001), (14.0, 1.006, 0.001), (21.0, 1.026, 0.001), (24.0, 1.016, 0.001))
    told = Evidence(og=1.100, plan_temp_c=20.0, readings=rows, feeds=((20.0, 0.022, 0.002),))
    outlook = read_off(posterior(told), 24.0)
    assert not outlook.is_slow
    assert not outlook.is_stalled


@pytest.mark.slow
def test_healthy_musts_are_left_in_peace_and_troubled_ones_are_named() -> None:
    """The goals are 0.03 and 0.80; over six other seeds (1,200 and 600 courses) 0.024 and 0.83 came. The bounds are
    the goals and two standard errors of so few."""
    found = rates(400, 909)
    assert found["healthy called slow or stalled"] <= 0.047
    assert found["healthy called stalled"] <= 0.02
    assert found["creeping named within 10 days"] >= 0.72
    assert found["stall named after days, median"] <= 6.0
    assert found["stall alarms that went off again"] <= 2.0  # of 200: a wrong reading 0.010 off both ways


def test_alarms_need_no_courses() -> None:
    told = Evidence(og=1.100, plan_temp_c=20.0, readings=((8.0, 1.080, 0.001), (12.0, 1.072, 0.001)))
    assert alarms_of(for_alarms(told), 12.0) == alarms_of(posterior(told), 12.0)
    fed = replace(told, readings=(*told.readings, (20.0, 1.060, 0.001)), feeds=((14.0, 0.020, 0.002),))
    assert alarms_of(for_alarms(fed), 20.0) == alarms_of(posterior(fed), 20.0)
