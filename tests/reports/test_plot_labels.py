"""The labels of the plot keep clear of the readings, at the size that the plot has in a window of 80x24."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from fermtui.reports.plot_cells import plot_cells
from fermtui.reports.plot_scale import PlotData

START = datetime(2026, 3, 1, 12, tzinfo=UTC)
TARGETS = ((1.064, "third break 1.064"), (1.000, "end 1.000"))
WIDTH, HEIGHT = 47, 8


def roles_of(data: PlotData) -> list[list[tuple[str, str]]]:
    return [[(sign, role) for text, role in line for sign in text] for line in plot_cells(data, WIDTH, HEIGHT)]


@settings(max_examples=80, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 40), st.integers(995, 1100)), min_size=1, max_size=14))
def test_no_label_hides_a_reading_or_touches_one(points: list[tuple[int, int]]) -> None:
    readings = tuple((START + timedelta(days=day), sg / 1000, False) for day, sg in points)
    bare = PlotData(START + timedelta(days=20), readings, targets=tuple((sg, "") for sg, _ in TARGETS))
    rows, without = roles_of(bare._replace(targets=TARGETS)), roles_of(bare)
    for row, line in enumerate(rows):
        for column, (sign, role) in enumerate(line):
            if without[row][column][1] == "reading":
                assert role == "reading", "a label stands on a reading"
            if role == "target" and sign.isalnum():
                near = [line[at][1] for at in (column - 1, column + 1) if 0 <= at < len(line)]
                assert "reading" not in near, "a label touches a reading"
