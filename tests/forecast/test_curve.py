"""The curve and its inverse, thermal time and its inverse, the normal points."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fermtui.forecast.curve import Curve, gravity_at, tau_at
from fermtui.forecast.quasi_random import normal_points, normal_quantile
from fermtui.forecast.thermal import pace_at, thermal_clock

curves = st.builds(
    Curve,
    tau0=st.floats(0.0, 30.0),
    k=st.floats(0.01, 3.0),
    lag=st.floats(0.1, 15.0),
    width=st.floats(0.1, 5.0),
    order=st.floats(0.4, 2.0),
    turn=st.floats(0.02, 0.5),
    tail=st.floats(0.01, 3.0),
    top=st.floats(1.03, 1.15),
    end=st.floats(0.98, 1.02),
)


@given(curve=curves, share=st.floats(0.01, 0.99))
def test_there_and_back(curve: Curve, share: float) -> None:
    sg = curve.end + share * (curve.top - curve.end)
    assert gravity_at(curve, tau_at(curve, sg)) == pytest.approx(sg, abs=1e-7)


@given(curve=curves, tau=st.floats(-5.0, 200.0), more=st.floats(0.0, 50.0))
def test_gravity_only_falls(curve: Curve, tau: float, more: float) -> None:
    assert curve.end - 1e-12 <= gravity_at(curve, tau + more) <= gravity_at(curve, tau) + 1e-12 <= curve.top + 2e-12


@given(curve=curves)
def test_above_the_top_it_has_been_and_below_the_end_it_never_comes(curve: Curve) -> None:
    assert tau_at(curve, curve.top) == curve.tau0
    assert tau_at(curve, curve.end) == math.inf


def test_rates_grow_about_sixfold_from_11_to_35_degrees_in_the_published_range() -> None:
    """Coleman, Fish and Block 2007, Appl Environ Microbiol 73:5875, second hand: about x6 over 24 °C, log-linear."""
    assert pace_at(20.0) == 1.0
    assert pace_at(26.0) / pace_at(11.0) == pytest.approx(6.0 ** (15.0 / 24.0))
    assert pace_at(38.0) < pace_at(28.0)
    assert pace_at(4.0) < 0.2


@given(
    temps=st.lists(st.tuples(st.floats(0.0, 90.0), st.floats(5.0, 35.0)), max_size=12),
    plan=st.none() | st.floats(8.0, 30.0),
    day=st.floats(0.0, 200.0),
)
def test_thermal_time_there_and_back(temps: list[tuple[float, float]], plan: float | None, day: float) -> None:
    clock = thermal_clock(temps, plan)
    assert clock.day(clock.tau(day)) == pytest.approx(day, abs=1e-6)
    assert clock.tau(day + 1.0) > clock.tau(day)


def test_a_constant_20_degrees_is_plain_time() -> None:
    clock = thermal_clock([(0.0, 20.0), (5.0, 20.0), (9.0, 20.0)], 14.0)
    assert clock.tau(30.0) == pytest.approx(30.0)


def test_normal_quantiles_match_published_tables() -> None:
    """Standard normal table (any statistics handbook; values from memory)."""
    for p, z in ((0.5, 0.0), (0.9, 1.281552), (0.975, 1.959964), (0.999, 3.090232), (0.025, -1.959964)):
        assert normal_quantile(p) == pytest.approx(z, abs=2e-6)


def test_the_points_fill_every_direction_evenly() -> None:
    points = normal_points()
    for column in zip(*points[:400], strict=True):
        assert abs(sum(column)) / 400 < 0.05
        assert sum(z * z for z in column) / 400 == pytest.approx(1.0, abs=0.08)


def test_several_temperatures_of_a_day_count_as_their_mean() -> None:
    often = thermal_clock([(9.9, 17.0), (10.1, 21.0), (20.0, 24.0), (20.2, 26.0), (20.4, 28.0)], 20.0)
    once = thermal_clock([(10.0, 19.0), (20.2, 26.0)], 20.0)
    for day in (5.0, 10.0, 15.0, 20.0, 30.0, 60.0):
        assert often.tau(day) == pytest.approx(once.tau(day), abs=1e-4)
