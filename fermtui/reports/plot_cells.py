"""The gravity plot as character cells: braille dots or plain ASCII, each run of cells with the role that colours it.

Layers are OR-ed into the same cell, the strongest names the colour, so that nothing hides a reading.
Roles: axis, grid, band, likely, target, today, struck, reading, event.
"""

from __future__ import annotations

from datetime import datetime
from itertools import pairwise

from fermtui.reports.plot_scale import Axis, PlotData, day_ticks, gravity_span, gravity_ticks, time_span
from fermtui.reports.runs import Run, joined
from fermtui.units import show_degrees

GUTTER = 6
BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
STRENGTH = ("grid", "band", "target", "today", "likely", "struck", "reading")
ASCII_SIGN = {"grid": ".", "band": ":", "target": "-", "today": "|", "likely": "~", "struck": "x", "reading": "o"}
MARK, ASCII_MARK = "▴", "^"


def plot_cells(data: PlotData, width: int, height: int, *, ascii_only: bool = False) -> list[list[Run]]:
    """`height` lines of exactly `width` cells. Below 24x6 only a sentence is drawn."""
    if width < 24 or height < 6:
        sentence = "too small to plot".ljust(width)[:width]
        return [[(sentence, "axis")], *([(" " * width, "axis")] for _ in range(height - 1))][:height]
    return _Canvas(data, width, height, ascii_only=ascii_only).lines()


def plot_lines(data: PlotData, width: int, height: int, *, ascii_only: bool = False) -> list[str]:
    """The same as text, for the printed record and for tests."""
    lines = plot_cells(data, width, height, ascii_only=ascii_only)
    return ["".join(text for text, _ in line).rstrip() for line in lines]


class _Canvas:
    def __init__(self, data: PlotData, width: int, height: int, *, ascii_only: bool) -> None:
        self.data, self.ascii = data, ascii_only
        self.columns, self.rows = width - GUTTER, height - 2
        self.first, self.last = time_span(data)
        low, high = gravity_span(data, self.first, self.last)
        across, down = (1, 1) if ascii_only else (2, 4)
        self.across, self.down = across, down
        self.x = Axis(self.first.timestamp(), self.last.timestamp(), self.columns * across)
        self.y = Axis(low, high, self.rows * down)
        self.bits = [[0] * self.columns for _ in range(self.rows)]
        self.role: list[list[str]] = [[""] * self.columns for _ in range(self.rows)]
        self.text: dict[tuple[int, int], Run] = {}

    def lines(self) -> list[list[Run]]:
        self._grid()
        self._band()
        self._targets()
        self._today()
        self._readings()
        if not any(not struck for *_, struck in self.data.readings):
            self._write(self.rows // 2, 2, "no gravity read yet", "axis")
        self._labels()
        return [*(self._row(row) for row in range(self.rows)), self._rail(), self._days()]

    def _dot(self, x: int, y: int, role: str) -> None:
        """One dot; x from the left, y from the bottom, both in dots."""
        if not (0 <= x < self.x.dots and 0 <= y < self.y.dots):
            return
        down = self.y.dots - 1 - y
        column, row = x // self.across, down // self.down
        if not self.ascii:
            self.bits[row][column] |= BITS[down % 4][x % 2]
        held = self.role[row][column]
        if not held or STRENGTH.index(role) > STRENGTH.index(held):
            self.role[row][column] = role

    def _ticks(self) -> list[float]:
        return gravity_ticks(self.y.low, self.y.high, self.rows, self.data.units)

    def _grid(self) -> None:
        for sg in self._ticks():
            for x in range(0, self.x.dots, 4 * self.across):
                self._dot(x, self.y.dot(sg), "grid")

    def _band(self) -> None:
        """The likely line without a gap, the band in single dots that keep clear of it: no colour is needed."""
        band = sorted(self.data.band)
        last: int | None = None
        for before, after in pairwise(band):
            left, right = self.x.dot(before[0].timestamp()), self.x.dot(after[0].timestamp())
            for x in range(max(left, 0), min(right, self.x.dots - 1) + 1):
                part = (x - left) / max(1, right - left)
                low, likely, high = (self.y.dot(a + (b - a) * part) for a, b in zip(before[1:], after[1:], strict=True))
                from_y = likely if last is None or last == likely else last + (1 if last < likely else -1)
                line = range(min(from_y, likely), max(from_y, likely) + 1)
                last = likely
                for y in range(low, high + 1):
                    if self.ascii or (_in_band(x, y, edge=y in (low, high)) and not line[0] - 2 < y < line[-1] + 2):
                        self._dot(x, y, "band")
                for y in line:
                    self._dot(x, y, "likely")

    def _targets(self) -> None:
        for sg, _ in self.data.targets:
            for x in range(self.x.dots):
                if self.ascii or x % 4 < 2:
                    self._dot(x, self.y.dot(sg), "target")

    def _today(self) -> None:
        if not self.data.now_is:
            return
        x = self.x.dot(self.data.now.timestamp())
        for y in range(self.y.dots):
            self._dot(x, y, "today")

    def _cell(self, x: int, y: int) -> tuple[int, int]:
        """Row and column of a dot."""
        return (self.y.dots - 1 - y) // self.down, x // self.across

    def _readings(self) -> None:
        group = ((0, 0),) if self.ascii else ((0, 0), (1, 0), (0, 1), (1, 1))
        for at, sg, struck in self.data.readings:
            x, y = self.x.dot(at.timestamp()), self.y.dot(sg)
            if struck:
                row, column = self._cell(x, y)
                if 0 <= column < self.columns and 0 <= row < self.rows:
                    self.text[(row, column)] = ("x", "struck")
        for at, sg, struck in self.data.readings:
            x, y = self.x.dot(at.timestamp()), self.y.dot(sg)
            if struck or not self.first <= at <= self.last:
                continue
            for dx, dy in group:
                dot = min(x + dx, self.x.dots - 1), min(y + dy, self.y.dots - 1)
                self._dot(*dot, "reading")
                self.text.pop(self._cell(*dot), None)

    def _labels(self) -> None:
        for sg, label in self.data.targets:
            y = self.y.dot(sg)
            if not 0 <= y < self.y.dots:
                continue
            row = (self.y.dots - 1 - y) // self.down
            text = f" {label} "
            places = [self.columns - len(text), 1, (self.columns - len(text)) // 2]
            costs = [(self._cost(row, at, len(text)), order, at) for order, at in enumerate(places) if at >= 0]
            if costs and min(costs)[0] < 100:
                self._write(row, min(costs)[2], text, "target")

    def _cost(self, row: int, start: int, length: int) -> int:
        weight = {"reading": 100, "likely": 3, "band": 1, "today": 4}
        cost = 0
        for column in range(start, min(start + length, self.columns)):
            cost += 100 if (row, column) in self.text else weight.get(self.role[row][column], 0)
        return cost

    def _write(self, row: int, start: int, text: str, role: str) -> None:
        for offset, sign in enumerate(text):
            if 0 <= start + offset < self.columns:
                self.text[(row, start + offset)] = (sign, role)

    def _row(self, row: int) -> list[Run]:
        gutter = " " * GUTTER
        for sg in self._ticks():
            if (self.y.dots - 1 - self.y.dot(sg)) // self.down == row:
                gutter = show_degrees(sg, self.data.units).ljust(GUTTER)
        cells: list[Run] = [(gutter, "axis")]
        for column in range(self.columns):
            role = self.role[row][column]
            written = self.text.get((row, column))
            if written:
                cells.append(written)
            elif not role:
                cells.append((" ", "axis"))
            elif self.ascii:
                cells.append((ASCII_SIGN[role], role))
            else:
                cells.append((chr(0x2800 + self.bits[row][column]), role))
        return joined(cells)

    def _column(self, at: datetime) -> int:
        return self.x.dot(at.timestamp()) // self.across

    def _rail(self) -> list[Run]:
        """Events under the plot: a mark where it happened, its word where there is room for it."""
        mark = ASCII_MARK if self.ascii else MARK
        cells: list[Run] = [(" ", "event")] * self.columns
        marks: dict[int, list[str]] = {}
        for at, word in sorted(self.data.events):
            if self.first <= at <= self.last:
                words = marks.setdefault(self._column(at), [])
                if word not in words:
                    words.append(word)
        columns = sorted(marks)
        for index, column in enumerate(columns):
            cells[column] = (mark, "event")
            free = (columns[index + 1] if index + 1 < len(columns) else self.columns) - column - 1
            together = " ".join(marks[column])
            for text in (together, marks[column][0]):
                if len(text) <= free - (index + 1 < len(columns)):
                    for offset, sign in enumerate(text):
                        cells[column + 1 + offset] = (sign, "axis")
                    break
        return joined([(" " * GUTTER, "axis"), *cells])

    def _days(self) -> list[Run]:
        cells: list[Run] = [(" ", "axis")] * self.columns
        taken = [False] * (self.columns + 2)
        named = self.data.now_is and self.first <= self.data.now <= self.last
        labels = [(self.data.now, self.data.now_is, "today")] if named else []
        labels += [(at, label, "axis") for at, label in day_ticks(self.first, self.last, self.columns)]
        for at, label, role in labels:
            column = self._column(at)
            start = min(max(0, column - len(label) // 2), self.columns - len(label))
            if column >= self.columns or any(taken[max(0, start - 1) : start + len(label) + 1]):
                continue
            for offset, sign in enumerate(label):
                cells[start + offset] = (sign, role)
                taken[start + offset] = True
        return joined([(" " * GUTTER, "axis"), *cells])


def _in_band(x: int, y: int, *, edge: bool) -> bool:
    """Whether a dot of the band is set: every second cell on its edges, a loose weave within."""
    return x % 4 == 0 if edge else (x % 4, y % 4) in ((0, 1), (2, 3))
