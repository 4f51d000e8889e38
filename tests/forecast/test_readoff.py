"""What a maker would expect of the forecast, in plain cases. Expectations marked 'judgement' have no source."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from fermtui.forecast.evidence import Evidence
from fermtui.forecast.posterior import posterior
from fermtui.forecast.readoff import (
    _three,
    band,
    calm,
    crossing,
    crossing_days,
    next_reading_distribution,
    read_off,
)

FED = Evidence(og=1.100, og_sd=0.001, plan_temp_c=20.0, yan_mg_per_l=200.0, doses_planned=3, doses_given=3)
UNDER_WAY = replace(FED, readings=((2.0, 1.090, 0.001), (4.0, 1.072, 0.001), (7.0, 1.048, 0.001)))
DRY = replace(
    FED,
    readings=(
        (3.0, 1.080, 0.001), (7.0, 1.040, 0.001), (12.0, 1.008, 0.001), (20.0, 0.996, 0.001), (27.0, 0.995, 0.001),
        (34.0, 0.995, 0.001),
    ),
)  # fmt: skip
STUCK = replace(
    FED,
    readings=(
        (3.0, 1.080, 0.001), (7.0, 1.055, 0.001), (11.0, 1.044, 0.001), (16.0, 1.042, 0.001), (22.0, 1.042, 0.001),
    ),
)  # fmt: skip


def test_without_readings_the_window_is_wide_and_says_that_it_knows_little() -> None:
    outlook = read_off(posterior(FED), 0.0)
    assert outlook.n_readings == 0
    assert outlook.confidence == "little"
    assert outlook.finish is not None
    assert outlook.finish.latest_day > 2.5 * outlook.finish.earliest_day


def test_readings_narrow_the_window() -> None:
    before, after = read_off(posterior(FED), 0.0).finish, read_off(posterior(DRY), 34.0).finish
    assert before is not None
    assert after is not None
    assert after.latest_day - after.earliest_day < before.latest_day - before.earliest_day


def test_a_neglected_mead_is_given_more_time() -> None:
    fed, bare = read_off(posterior(FED), 0.0).finish, read_off(posterior(Evidence(og=1.100)), 0.0).finish
    assert fed is not None
    assert bare is not None
    assert bare.likely_day > fed.likely_day
    assert bare.latest_day > 1.5 * fed.latest_day


def test_dry_and_still_is_finished_and_not_stalled() -> None:
    outlook = read_off(posterior(DRY), 34.0)
    assert outlook.finished > 0.85
    assert outlook.stalled < 0.1


def test_standing_high_is_stalled() -> None:
    outlook = read_off(posterior(STUCK), 22.0)
    assert outlook.stalled > 0.6
    assert read_off(posterior(UNDER_WAY), 7.0).stalled < 0.05


def test_a_sweet_end_that_was_planned_is_not_stalled() -> None:
    assert read_off(posterior(replace(STUCK, end_sg=1.040)), 22.0).stalled < 0.2


def test_nothing_moved_after_four_days_is_not_started() -> None:
    still = replace(FED, readings=((1.5, 1.100, 0.001), (4.0, 1.100, 0.001)))
    assert read_off(posterior(still), 4.0).not_started > 0.5
    assert read_off(posterior(UNDER_WAY), 7.0).not_started < 0.02


def test_a_crossing_that_is_past_or_never_comes_is_none() -> None:
    known = posterior(UNDER_WAY)
    assert crossing(known, 1.066, 7.0) is None
    assert crossing(known, 0.960, 7.0) is None
    half = crossing(known, 1.033, 7.0)
    assert half is not None
    assert 7.0 < half.earliest_day < half.latest_day < 25.0


def test_a_crossing_near_the_end_may_have_no_latest_day() -> None:
    window = crossing(posterior(UNDER_WAY), 0.996, 7.0)
    assert window is None or window.latest_day == math.inf


def test_warm_is_faster_than_cold() -> None:
    warm = read_off(posterior(replace(FED, plan_temp_c=25.0)), 0.0).finish
    cold = read_off(posterior(replace(FED, plan_temp_c=13.0)), 0.0).finish
    assert warm is not None
    assert cold is not None
    assert warm.likely_day < 0.6 * cold.likely_day


def test_calm_comes_after_the_finish_and_counts_from_readings_that_agree() -> None:
    coming = calm(posterior(UNDER_WAY), 0.001, 7.0, 7.0)
    finish = read_off(posterior(UNDER_WAY), 7.0).finish
    assert coming is not None
    assert finish is not None
    assert coming.likely_day > finish.likely_day
    assert coming.earliest_day >= 14.0
    assert calm(posterior(DRY), 0.001, 7.0, 34.0) is None  # 27 to 34 agree: shown already


def test_fruit_sugar_opens_a_new_segment() -> None:
    rows = ((2.0, 1.072, 0.001), (5.0, 1.040, 0.001), (9.0, 1.010, 0.001), (15.0, 0.996, 0.001), (21.0, 0.995, 0.001))
    fruited = replace(FED, og=1.080, readings=rows, feeds=((21.2, 0.020, 0.003),))
    known = posterior(fruited)
    outlook = read_off(known, 21.3)
    assert outlook.finished < 0.2
    assert outlook.not_started == 0.0
    assert outlook.finish is not None
    assert outlook.finish.earliest_day > 23.0
    likely = {day: middle for day, _, middle, _ in band(known, 15.0, 60.0)}
    assert likely[22.0] > likely[21.0] + 0.012
    assert likely[60.0] < 1.000


def test_the_band_never_rises_within_a_segment() -> None:
    rows = band(posterior(UNDER_WAY), 0.0, 90.0)
    assert len(rows) == 91
    for (_, *before), (_, *after) in pairwise(rows):
        assert all(a >= b - 1e-9 for a, b in zip(before, after, strict=True))


def test_a_wrong_reading_among_many_moves_little() -> None:
    rows = list(DRY.readings)
    rows[2] = (12.0, 1.020, 0.001)
    fair = read_off(posterior(DRY), 34.0).finish
    off = read_off(posterior(replace(DRY, readings=tuple(rows))), 34.0).finish
    assert fair is not None
    assert off is not None
    assert abs(fair.likely_day - off.likely_day) < 6.0


def test_the_next_reading_is_where_the_course_leads() -> None:
    low, likely, high = next_reading_distribution(posterior(UNDER_WAY), 9.0)
    assert low < 1.035 < high
    assert 1.028 < likely < 1.040
    assert high - low < 0.020


def test_gravity_unknown_still_gives_a_forecast() -> None:
    outlook = read_off(posterior(replace(UNDER_WAY, og=None)), 7.0)
    assert outlook.finish is not None
    assert outlook.n_readings == 3


@pytest.mark.parametrize("count", [40, 300])
def test_a_floating_hydrometer_costs_no_more(count: int) -> None:
    days = [0.2 + 30.0 * i / count for i in range(count)]
    rows = tuple((day, 0.995 + 0.105 * math.exp(-0.14 * day), 0.001) for day in days)
    known = posterior(replace(FED, readings=rows))
    assert len(known.readings) <= 16
    assert read_off(known, 30.2).finish is not None


def test_the_stored_form_is_small() -> None:
    assert len(posterior(UNDER_WAY).to_json()) < 12_000


def test_what_lies_beyond_the_last_reading_is_less_certain_than_the_curves_themselves() -> None:
    known = posterior(Evidence(og=1.100, readings=((4.0, 1.080, 0.001), (8.0, 1.062, 0.001), (12.0, 1.048, 0.001))))
    even = replace(known, draws=tuple(replace(draw, ahead=1.0) for draw in known.draws))
    seen, as_seen = band(known, 0.0, 12.0), band(even, 0.0, 12.0)
    assert seen == as_seen  # what has been read does not change
    low, _, high = next_reading_distribution(known, 26.0)
    low_even, _, high_even = next_reading_distribution(even, 26.0)
    assert high - low > high_even - low_even
    finish, finish_even = read_off(known, 12.0).finish, read_off(even, 12.0).finish
    assert finish is not None
    assert finish_even is not None
    assert finish.latest_day - finish.earliest_day > finish_even.latest_day - finish_even.earliest_day


def test_a_pace_that_may_change_moves_finish_and_crossings_alike() -> None:
    known = posterior(UNDER_WAY)
    slowed = replace(known, draws=tuple(replace(draw, ahead=0.5) for draw in known.draws))
    even = replace(known, draws=tuple(replace(draw, ahead=1.0) for draw in known.draws))
    for wanted in (1.030, 1.010):
        fast, slow = crossing(even, wanted, 7.0), crossing(slowed, wanted, 7.0)
        assert fast is not None
        assert slow is not None
        assert slow.likely_day - 7.0 == pytest.approx(2.0 * (fast.likely_day - 7.0), rel=1e-6)
    fast, slow = read_off(even, 7.0).finish, read_off(slowed, 7.0).finish
    assert fast is not None
    assert slow is not None
    assert slow.likely_day - 7.0 == pytest.approx(2.0 * (fast.likely_day - 7.0), rel=1e-6)


def test_a_must_that_starts_late_and_then_runs_is_not_taken_for_a_slow_one() -> None:
    """A logistic course (form: Speers, Rogers and Smith 2003, J Inst Brew 109:229, from memory) with its middle on day
    6; within 0.002 of its end on day 6 + ln(0.093 / 0.002 - 1) / 0.75 = 11.1."""
    rows = tuple((day, 1.002 + 0.093 / (1.0 + math.exp(0.75 * (day - 6.0))), 0.001) for day in (2.5, 4.0, 6.5))
    known = posterior(Evidence(og=1.095, readings=rows, plan_temp_c=20.0, yan_mg_per_l=200.0))
    finish = read_off(known, 6.5).finish
    assert finish is not None
    assert finish.earliest_day < 11.1 + 0.5 < finish.latest_day
    assert abs(finish.likely_day - 11.1) < 4.0
    assert dict(read_off(known, 6.5).worlds)["late"] > 0.3


def test_a_still_span_that_nobody_read_begins_with_the_next_reading() -> None:
    known = posterior(UNDER_WAY)
    last = known.readings[-1][0]
    for now in (60.0, 90.0):
        shown = calm(known, 0.001, 7.0, now)
        assert shown is not None
        assert now - last > 7.0
        assert shown.likely_day == now + 7.0


def test_a_must_that_does_not_move_has_no_finish_and_has_not_stopped() -> None:
    for until in (5, 10, 20):
        rows = tuple((float(day), 1.095, 0.001) for day in range(3, until + 1))
        seen = read_off(posterior(Evidence(og=1.095, readings=rows, plan_temp_c=20.0)), until + 0.1)
        assert seen.not_started > 0.5
        assert seen.finished < 0.1
        assert seen.finish is None or seen.finish.likely_day > until


def test_what_was_passed_before_an_addition_keeps_its_day() -> None:
    rows = ((2.0, 1.080, 0.001), (4.0, 1.0512, 0.001), (10.0, 1.014, 0.001))
    known = posterior(Evidence(og=1.095, readings=rows, feeds=((10.1, 0.007, 0.001),), plan_temp_c=20.0))
    half = crossing_days(known, 1.0475)
    assert half is not None
    assert 3.0 < half.earliest_day < half.likely_day < 7.0


def test_a_gravity_that_the_daybook_takes_is_not_dropped() -> None:
    for og in (1.26, 1.30):
        at_pitching = band(posterior(Evidence(og=og)), 0.0, 0.0)[0]
        assert at_pitching[1] - 0.002 <= og <= at_pitching[3] + 0.002
    low = band(posterior(Evidence(og=1.003)), 0.0, 0.0)[0]
    assert low[3] < 1.010


def test_a_must_read_as_frozen_is_not_held_to_stand_still() -> None:
    rows = ((2.0, 1.080, 0.001), (5.0, 1.070, 0.001))
    cold = tuple((day, -3.0) for day in (0.0, 2.0, 5.0))
    assert read_off(posterior(Evidence(og=1.095, readings=rows, temps=cold)), 5.5).not_started < 0.2


# Definition 2 of Hyndman and Fan 1996, "Sample quantiles in statistical packages": the average of both at a step.
def test_quantiles_of_a_few_values() -> None:
    ten = [(float(value), 1) for value in range(10, 0, -1)]
    assert _three(ten, 10) == (1.5, 5.5, 9.5)
    assert _three([(float(value), 1) for value in range(1, 6)], 5) == (1.0, 3.0, 5.0)
    assert _three([(1.0, 3), (2.0, 4), (3.0, 3)], 10) == (1.0, 2.0, 3.0)
