"""Several gravity curves on one axis of days from pitching, each with its own letter: readable without colour."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import NamedTuple

from fermtui.reports.plot_scale import Axis, gravity_ticks
from fermtui.units import METRIC, Units, show_degrees

LETTERS = "ABCDEFGHIJKL"
GUTTER = 7
SHARED = "*"
DAY_STEPS = (1, 2, 5, 7, 14, 28, 56, 91, 182, 364, 728)
Point = tuple[float, float]


class BatchCurve(NamedTuple):
    """Days from pitching and SG, in order of days."""

    letter: str
    points: Sequence[Point]


def curve_lines(curves: Iterable[BatchCurve], width: int, height: int, units: Units = METRIC) -> list[str]:
    """The plot. A capital letter is a reading, a small one the line between two, a star where readings meet."""
    drawn = [curve for curve in curves if curve.points]
    if not drawn:
        return []
    columns, rows = max(20, width - GUTTER), max(6, height - 2)
    days = [day for curve in drawn for day, _ in curve.points]
    gravities = [sg for curve in drawn for _, sg in curve.points]
    room = max(0.001, 0.04 * (max(gravities) - min(gravities)))
    across = Axis(min(0.0, *days), max(1.0, *days), columns)
    up = Axis(min(gravities) - room, max(gravities) + room, rows)
    cells = [[" "] * columns for _ in range(rows)]
    for curve in drawn:
        _between(curve, cells, across, up)
    for curve in drawn:
        for day, sg in curve.points:
            row, column = rows - 1 - up.dot(sg), across.dot(day)
            held = cells[row][column]
            cells[row][column] = SHARED if held == SHARED or (held.isupper() and held != curve.letter) else curve.letter
    shown = gravity_ticks(up.low, up.high, rows, units)
    ticks = {rows - 1 - up.dot(sg): show_degrees(sg, units) for sg in shown}
    lines = [f"{ticks.get(row, ''):<{GUTTER}}{''.join(line)}".rstrip() for row, line in enumerate(cells)]
    return [*lines, *_days(across, columns)]


def _between(curve: BatchCurve, cells: list[list[str]], across: Axis, up: Axis) -> None:
    for (day, sg), (next_day, next_sg) in pairwise(curve.points):
        left, right = across.dot(day), across.dot(next_day)
        for column in range(left + 1, right):
            part = (column - left) / (right - left)
            row = len(cells) - 1 - up.dot(sg + (next_sg - sg) * part)
            if cells[row][column] == " ":
                cells[row][column] = curve.letter.lower()


def _days(across: Axis, columns: int) -> list[str]:
    span = across.high - across.low
    step = next((one for one in DAY_STEPS if span / one <= columns / 8), DAY_STEPS[-1])
    line, marks = [" "] * (columns + 6), ["-"] * columns
    for day in range(0, int(across.high) + 1, step):
        column = across.dot(day)
        marks[column] = "+"
        for offset, sign in enumerate(str(day)):
            line[column + offset] = sign
    return [" " * GUTTER + "".join(marks), ("days" + " " * (GUTTER - 4) + "".join(line)).rstrip()]
