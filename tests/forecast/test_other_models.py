"""The forecast against courses from models that it does not use; tests/bench/score_forecast.py prints more of it.

The courses follow nitrogen-limited kinetics (Cramer, Vlassides and Block 2002; Coleman, Fish and Block 2007) with
constants of our own, and the logistic form of Speers, Rogers and Smith 2003 (see tests/bench/forecast/truths.py)."""

from __future__ import annotations

import pytest

from tests.bench.forecast.measure import Cell, finish_table, median, merged
from tests.bench.score_forecast import MAKERS, cases

pytestmark = pytest.mark.slow

SEED = 2026
Cells = dict[int, Cell]


@pytest.fixture(scope="module")
def fed() -> tuple[Cells, list[Cell]]:
    return finish_table(cases(MAKERS["fed"], 40, SEED), "fed")


def share_inside(cell: Cell) -> float:
    return cell.inside / cell.n


def test_the_window_holds_the_finish_and_beats_both_rules_of_thumb(fed: tuple[Cells, list[Cell]]) -> None:
    later = merged(cell for count, cell in fed[0].items() if count >= 2)
    assert later.n > 100
    assert 0.75 <= share_inside(later) <= 0.97
    assert median(later.errors) <= 4.5
    assert median(later.errors) <= 0.75 * median(later.fortnight)
    assert median(later.errors) <= 0.60 * median(later.line)


def test_before_any_reading_it_is_no_worse_than_a_fortnight(fed: tuple[Cells, list[Cell]]) -> None:
    for count in (0, 1):
        assert share_inside(fed[0][count]) >= 0.75
        assert median(fed[0][count].errors) <= median(fed[0][count].fortnight)


def test_the_third_break_is_known_to_half_a_day(fed: tuple[Cells, list[Cell]]) -> None:
    breaks = merged(fed[1][1:])
    assert median(breaks.errors) <= 0.6
    assert share_inside(breaks) >= 0.75


def test_courses_of_another_shape_stay_within_at_every_count() -> None:
    cells, _ = finish_table(cases(MAKERS["logistic"], 40, SEED), "logistic")
    for count, cell in cells.items():
        if cell.n >= 15:
            assert share_inside(cell) >= 0.75, count


def test_fruit_begins_a_new_course() -> None:
    cells, _ = finish_table(cases(MAKERS["fruit"], 40, SEED), "fruit")
    after = merged(cell for count, cell in cells.items() if count >= 1)
    assert share_inside(after) >= 0.70
    assert median(after.errors) <= 0.75 * median(after.fortnight)
    assert median(after.errors) <= 0.75 * median(after.line)
