"""The rows of a log, thinned: a line with scatter gives its middle, and what is astray is left out and counted."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from fermtui.writing.medians import UNSETTLED_SG, LogRow, begin_of, span_of, thinned

START = datetime(2026, 3, 18, 0, 0, tzinfo=UTC)
LATER = START + timedelta(days=400)
QUARTER = timedelta(minutes=15)


def falling(count: int, *, scatter: float = 0.001, per_day: float = 0.010, seed: int = 3) -> list[LogRow]:
    rng = random.Random(seed)
    return [
        LogRow(START + at * QUARTER, 1.080 - per_day * at / 96 + rng.gauss(0.0, scatter), 20.0) for at in range(count)
    ]  # fmt: skip


def test_one_reading_for_each_half_day_at_its_middle() -> None:
    found = thinned(falling(192), 12.0, UTC, LATER)
    assert all(46 <= one.rows <= 48 for one in found.medians)  # of 192, one or two lie four scatters off by chance
    for number, one in enumerate(found.medians):
        assert one.begins == START + timedelta(hours=12 * number)
        assert abs(one.at - one.begins - timedelta(hours=6)) <= QUARTER
        # The median of 48 rows of scatter 0.001 has a standard error of 1.25 x 0.001 / sqrt(48) = 0.0002.
        assert abs(one.sg - (1.080 - 0.010 * (number + 0.5) / 2)) < 0.0007
        assert 0.0006 < one.spread_sg < 0.0015
        assert one.temp_c == 20.0


def test_the_fall_within_a_span_is_no_scatter() -> None:
    (one,) = thinned(falling(48, scatter=0.0, per_day=0.030), 12.0, UTC, LATER).medians
    assert one.spread_sg < 0.0005


def test_rows_far_off_are_left_out_and_counted() -> None:
    rows = falling(48, per_day=0.0)
    rows[10:13] = [row._replace(sg=row.sg + 0.03) for row in rows[10:13]]
    found = thinned(rows, 12.0, UTC, LATER)
    assert (found.outliers, found.medians[0].rows) == (3, 45)
    assert abs(found.medians[0].sg - 1.080) < 0.0005


def test_a_span_in_which_it_never_settled_gives_none() -> None:
    rng = random.Random(1)
    rows = [LogRow(START + at * QUARTER, rng.uniform(1.02, 1.08), None) for at in range(48)]
    found = thinned([*rows, *(row._replace(at=row.at + timedelta(hours=12)) for row in falling(48))], 12.0, UTC, LATER)
    assert found.unsettled == 48
    assert len(found.medians) == 1


def test_a_half_day_on_its_side_is_left_out_where_its_neighbours_tell() -> None:
    rows = falling(5 * 48)
    astray = [row._replace(sg=row.sg + 0.05) if 96 <= at < 144 else row for at, row in enumerate(rows)]
    found = thinned(astray, 12.0, UTC, LATER)
    assert len(found.medians) == 4
    assert found.outliers >= 48
    assert max(one.sg for one in found.medians) < 1.085


def test_honey_that_was_fed_is_not_astray() -> None:
    rows = [row._replace(sg=row.sg + (0.03 if at >= 240 else 0.0)) for at, row in enumerate(falling(480))]
    assert len(thinned(rows, 12.0, UTC, LATER).medians) == 10


def test_a_span_that_still_runs_waits() -> None:
    found = thinned(falling(60), 12.0, UTC, START + timedelta(hours=15))
    assert (len(found.medians), found.running) == (1, 12)


def test_half_days_are_those_of_the_zone() -> None:
    vienna = ZoneInfo("Europe/Vienna")
    noon = datetime(2026, 7, 1, 12, 0, tzinfo=vienna)
    assert span_of(noon, 12.0, vienna) == span_of(noon + timedelta(hours=11), 12.0, vienna)
    assert span_of(noon - timedelta(seconds=1), 12.0, vienna) == span_of(noon, 12.0, vienna) - 1
    assert begin_of(span_of(noon, 12.0, vienna), 12.0, vienna) == noon


gravities = st.floats(0.95, 1.3)
rows_of_any_kind = st.lists(st.tuples(st.integers(0, 4000), gravities), max_size=80)


@given(rows_of_any_kind, st.sampled_from((0.5, 5.0, 12.0, 24.0)), st.randoms())
def test_every_row_is_in_one_count_whatever_their_order(
    pairs: list[tuple[int, float]], every_h: float, rng: random.Random
) -> None:
    rows = [LogRow(START + timedelta(minutes=at), sg, None) for at, sg in pairs]
    found = thinned(rows, every_h, UTC, START + timedelta(days=1))
    assert sum(one.rows for one in found.medians) + found.outliers + found.unsettled + found.running == len(rows)
    assert all(one.spread_sg <= UNSETTLED_SG for one in found.medians)
    shuffled = list(rows)
    rng.shuffle(shuffled)
    again = thinned(shuffled, every_h, UTC, START + timedelta(days=1))
    assert [(one.begins, one.sg) for one in again.medians] == [(one.begins, one.sg) for one in found.medians]
