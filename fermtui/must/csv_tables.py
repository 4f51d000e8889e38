"""The tables that come with the program: small CSV files with their sources, read at first use and kept."""

import csv
import os.path
from collections.abc import Mapping
from functools import cache
from typing import BinaryIO

Row = Mapping[str, str]
Grid = tuple[tuple[float, ...], tuple[float, ...], tuple[tuple[float, ...], ...]]
"""Where the rows stand, where the columns stand (both rising), and the cells."""


_TABLES = os.path.join(os.path.dirname(__file__), "tables")


def open_table(name: str) -> BinaryIO:
    """Open tables/`name` to read bytes. By os.path: pathlib costs 3 ms of every start, importlib.resources 6 ms."""
    return open(os.path.join(_TABLES, name), "rb")


@cache
def rows(name: str) -> tuple[Row, ...]:
    """Return every row of tables/`name`.csv as text by column; lines that begin with # are its source notes."""
    with open_table(f"{name}.csv") as file:
        text = file.read().decode("utf-8")
    return tuple(csv.DictReader(line for line in text.splitlines(keepends=True) if not line.startswith("#")))


@cache
def keyed(name: str) -> Mapping[str, Row]:
    """Return the rows of a table by their first column, in the order of the file."""
    table = rows(name)
    first = next(iter(table[0]))
    return {row[first]: row for row in table}


def maybe(cell: str) -> float | None:
    """Return the number in a cell, or None where the source has no value."""
    return float(cell) if cell else None


def limit(key: str) -> float:
    """Return a legal maximum or allowance of tables/limits.csv in the unit that stands there. Not legal advice."""
    return float(keyed("limits")[key]["value"])


def bilinear(table: Grid, x: float, y: float) -> float:
    """Interpolate a table of `grid`; x and y outside of it are taken at its edge."""
    xs, ys, cells = table
    i, u = _span(xs, x)
    j, v = _span(ys, y)
    low = cells[i][j] * (1 - v) + cells[i][j + 1] * v
    high = cells[i + 1][j] * (1 - v) + cells[i + 1][j + 1] * v
    return low * (1 - u) + high * u


def _span(points: tuple[float, ...], at: float) -> tuple[int, float]:
    """Return the interval that holds `at` and how far along it stands, 0 to 1."""
    at = min(max(at, points[0]), points[-1])
    index = max(i for i, point in enumerate(points[:-1]) if point <= at)
    return index, (at - points[index]) / (points[index + 1] - points[index])


@cache
def grid(name: str, value: str) -> Grid:
    """Return a two-way table (first column down, second across) ready for `bilinear`."""
    table = rows(name)
    down, across = list(table[0])[:2]
    cells = {(float(row[down]), float(row[across])): float(row[value]) for row in table}
    xs = tuple(sorted({x for x, _ in cells}))
    ys = tuple(sorted({y for _, y in cells}))
    return xs, ys, tuple(tuple(cells[x, y] for y in ys) for x in xs)
