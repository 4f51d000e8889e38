"""The one solver."""

import pytest

from fermtui.must.root_finding import find_root


def test_nearly_straight_curves_take_few_calls() -> None:
    calls = []

    def curve(x: float) -> float:
        calls.append(x)
        return x + 0.05 * x * x - 1.0

    root = find_root(curve, 0.0, 2.0, close=1e-9)
    assert root == pytest.approx(0.9544511501, abs=1e-8)
    assert len(calls) <= 7


def test_a_bent_curve_stays_in_its_bracket() -> None:
    root = find_root(lambda x: x**9 - 0.5, 0.0, 10.0, close=1e-9)
    assert root == pytest.approx(0.5 ** (1 / 9), abs=1e-8)


def test_an_end_counts_as_a_root() -> None:
    assert find_root(lambda x: x, 0.0, 1.0, close=1e-9) == 0.0
    assert find_root(lambda x: x - 1.0, 0.0, 1.0, close=1e-9) == 1.0


def test_no_crossing_is_none() -> None:
    assert find_root(lambda x: x + 1.0, 0.0, 1.0, close=1e-9) is None
