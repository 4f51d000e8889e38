"""The soak of sensors that drift, in small: six logs of 5,000 rows. tests/bench/soak_sensors.py runs it at length."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest


@pytest.mark.slow
def test_sensors_that_drift_by_three_points(soak: Callable[[str], Any]) -> None:
    figures = soak("soak_sensors").run(6, 5000, 1)
    for one in figures:
        assert (one.written > 95, one.written_again) == (True, 0)
        assert one.stable_day is not None
        assert one.stable_day <= one.stable_day_by_hand + 3.0
    squares = [one.offset_off_sg**2 for one in figures]
    assert (sum(squares) / len(squares)) ** 0.5 <= 0.001
    by_sensor = sum(abs(one.finish_off_days) for one in figures)
    by_hand = sum(abs(one.finish_off_days_by_hand) for one in figures)
    assert by_sensor <= by_hand
