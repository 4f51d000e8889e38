"""Laws that hold whatever is typed: order, repeats, other clocks and odd input change nothing that they should not."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from typing import TypeVar

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fermtui.forecast.evidence import Evidence
from fermtui.forecast.posterior import Posterior, posterior
from fermtui.forecast.readoff import DayWindow, band, calm, crossing, next_reading_distribution, read_off

pytestmark = pytest.mark.slow

READINGS = ((2.0, 1.090, 0.001), (4.5, 1.068, 0.001), (7.0, 1.049, 0.001), (11.0, 1.024, 0.001))
DAMSON = Evidence(og=1.100, readings=READINGS, plan_temp_c=19.0, yan_mg_per_l=180.0, doses_planned=3, doses_given=3)

days = st.floats(-10.0, 400.0, allow_nan=False)
gravities = st.floats(0.980, 1.140, allow_nan=False)
readings = st.lists(st.tuples(days, gravities, st.floats(0.0, 0.01)), max_size=9).map(tuple)
anything = st.builds(
    Evidence,
    og=st.none() | st.floats(1.0, 1.2),
    og_sd=st.floats(0.0, 0.02),
    readings=readings,
    temps=st.lists(st.tuples(days, st.floats(-10.0, 60.0)), max_size=6).map(tuple),
    plan_temp_c=st.none() | st.floats(-5.0, 45.0),
    tolerance_abv=st.none() | st.floats(0.0, 30.0),
    yan_mg_per_l=st.none() | st.floats(0.0, 900.0),
    doses_planned=st.integers(0, 5),
    doses_given=st.integers(0, 5),
    feeds=st.lists(st.tuples(days, st.floats(-0.01, 0.08), st.floats(0.0, 0.02)), max_size=4).map(tuple),
    end_sg=st.none() | st.floats(0.98, 1.05),
)


Item = TypeVar("Item")


def shuffled(items: tuple[Item, ...], seed: int) -> tuple[Item, ...]:
    return tuple(random.Random(seed).sample(items, len(items)))


def in_order(window: DayWindow | None) -> bool:
    return window is None or window.earliest_day <= window.likely_day <= window.latest_day


@settings(max_examples=60, deadline=None)
@given(evidence=anything, now=st.floats(-5.0, 500.0), sg=gravities)
def test_no_input_crashes_it_or_crosses_its_quantiles(evidence: Evidence, now: float, sg: float) -> None:
    known = posterior(evidence)
    outlook = read_off(known, now)
    assert in_order(outlook.finish)
    chances = (outlook.finished, outlook.stalled, outlook.slow, outlook.not_started)
    assert all(0.0 <= chance <= 1.0 for chance in chances)
    assert in_order(crossing(known, sg, now))
    assert in_order(calm(known, 0.001, 7.0, now))
    rows = band(known, 0.0, 60.0)
    assert [row[0] for row in rows] == [float(day) for day in range(61)]
    assert all(low <= likely <= high and math.isfinite(low + high) for _, low, likely, high in rows)
    low, likely, high = next_reading_distribution(known, now)
    assert low <= likely <= high


@settings(max_examples=20, deadline=None)
@given(evidence=anything)
def test_the_stored_form_reads_back_exactly_and_the_answer_is_always_the_same(evidence: Evidence) -> None:
    known = posterior(evidence)
    assert Posterior.from_json(known.to_json()) == known
    assert posterior(evidence) == known


@settings(max_examples=20, deadline=None)
@given(evidence=anything, seed=st.integers(0, 99))
def test_order_does_not_matter(evidence: Evidence, seed: int) -> None:
    mixed = replace(
        evidence,
        readings=shuffled(evidence.readings, seed),
        temps=shuffled(evidence.temps, seed),
        feeds=shuffled(evidence.feeds, seed),
    )
    assert posterior(mixed) == posterior(evidence)


def from_times(start: datetime, zone: timezone) -> Evidence:
    """The same readings, counted from pitching as whoever holds dates would do it."""
    rows = []
    for day, sg, sd in READINGS:
        at = (start + timedelta(days=day)).astimezone(zone)
        rows.append(((at - start).total_seconds() / 86_400.0, sg, sd))
    return replace(DAMSON, readings=tuple(rows))


@settings(max_examples=25, deadline=None)
@given(shift=st.timedeltas(timedelta(days=-4000), timedelta(days=4000)), hours=st.integers(-12, 14))
def test_other_dates_and_zones_give_the_same_days(shift: timedelta, hours: int) -> None:
    start = datetime(2026, 10, 3, 18, 30, 12, 345_678, tzinfo=UTC)
    there = from_times(start + shift, timezone(timedelta(hours=hours)))
    assert posterior(there) == posterior(from_times(start, UTC))


def test_units_do_not_matter_down_to_float_dust() -> None:
    dust = tuple((day + 3e-9, sg * (1.0 + 1e-14), sd) for day, sg, sd in READINGS)
    assert posterior(replace(DAMSON, readings=dust)) == posterior(DAMSON)


@settings(max_examples=15, deadline=None)
@given(times=st.integers(2, 5))
def test_repeats_within_two_hours_count_as_one_moment(times: int) -> None:
    many = tuple((day + 0.01 * i, sg, sd) for day, sg, sd in READINGS for i in range(times))
    known = posterior(replace(DAMSON, readings=many))
    assert len(known.readings) == len(READINGS)
    once, often = read_off(posterior(DAMSON), 11.0).finish, read_off(known, 11.0).finish
    assert once is not None
    assert often is not None
    assert abs(once.likely_day - often.likely_day) < 4.0


def test_something_else_is_no_stored_forecast() -> None:
    for text in ("[]", "{}", "[1,2]", "nonsense", "[9,1,2,3,4,5,6,7,8,9,10,11,12]", "null", "3"):
        try:
            Posterior.from_json(text)
        except ValueError:
            continue
        raise AssertionError(text)
