"""A TOML file that people edit, while it is read: fields at fault keep their default and become problems."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fermtui.daybook.fields import Unfit, fit
from fermtui.daybook.problem import Problem
from fermtui.daybook.toml_file import field_lines, nearest

MANY = 1000  # tables in a list
MOST = 2_000_000.0


class TableSection:
    """A table of the file, the path to it (with a point at its end), and which of its names were asked for."""

    def __init__(self, table: Mapping[str, Any], where: str) -> None:
        self.table, self.where = table, where
        self.asked: set[str] = set()

    def get(self, name: str) -> Any:
        self.asked.add(name)
        return self.table.get(name)


class TableReader:
    """The whole file: `problems` in the order found, and the `unknown` names with their lines."""

    def __init__(self, table: Mapping[str, Any], data: bytes, path: str) -> None:
        self._data, self._path = data, path
        self._lines: dict[str, int] | None = None
        self._parts: list[TableSection] = []
        self.problems: list[Problem] = []
        self.top = self._part(table, "")

    def unknown(self) -> tuple[tuple[str, int | None], ...]:
        """The names that nobody asked for."""
        names = [f"{part.where}{name}" for part in self._parts for name in part.table if name not in part.asked]
        return tuple((name, self._line(name)) for name in names)

    def fault(self, name: str, reason: str) -> None:
        """Something is wrong with the field of this dotted name."""
        self.problems.append(Problem("settings", self._path, self._line(name), (reason,)))

    def _line(self, name: str) -> int | None:
        if self._lines is None:
            self._lines = field_lines(self._data)
        return nearest(self._lines, name)

    def part(self, name: str, inside: TableSection | None = None) -> TableSection:
        """The table called `name`; an empty one when it is missing or no table."""
        around = inside or self.top
        return self._part(around.get(name), f"{around.where}{name}")

    def parts(self, name: str) -> list[TableSection]:
        """The tables written as [[name]]."""
        value = self.top.get(name)
        if value is None:
            return []
        if not isinstance(value, list) or len(value) > MANY:
            self.fault(name, f"{name} is written as [[{name}]], once for each, at most {MANY} times")
            return []
        return [self._part(item, f"{name}.{index}") for index, item in enumerate(value)]

    def _part(self, value: object, where: str) -> TableSection:
        if value is not None and not isinstance(value, Mapping):
            self.fault(where, f"{where} is a table, as in [{where}]")
        part = TableSection(value if isinstance(value, Mapping) else {}, f"{where}." if where else "")
        self._parts.append(part)
        return part

    def checked(self, part: TableSection, name: str, default: Any, **spec: Any) -> Any:
        """The value of a field, checked as a field of an entry is; `default` when it is missing or at fault."""
        value = part.get(name)
        if value is None:
            return default
        try:
            return fit(f"{part.where}{name}", value, spec)
        except Unfit as fault:
            self.fault(f"{part.where}{name}", str(fault))
            return default

    def number(self, part: TableSection, name: str, default: float | None, low: float, high: float) -> Any:
        """A number from `low` to `high`."""
        return self.checked(part, name, default, type="number", low=low, high=high)

    def choice(self, part: TableSection, name: str, default: str, *choices: str) -> Any:
        """One of the words given."""
        return self.checked(part, name, default, type="one_of", choices=choices)

    def words(self, part: TableSection, name: str, most: int = 80) -> Any:
        """Text of at most `most` characters, or None."""
        return self.checked(part, name, None, type="words", most=most)

    def flag(self, part: TableSection, name: str, *, default: bool) -> bool:
        """true or false."""
        value = part.get(name)
        if value is None or isinstance(value, bool):
            return default if value is None else value
        self.fault(f"{part.where}{name}", f"{part.where}{name} is true or false")
        return default

    def amounts(self, part: TableSection, name: str, kind: str) -> dict[str, Any]:
        """A table of numbers from 0 to two millions; `kind` is number or whole."""
        inner = self.part(name, part)
        found = {one: self.checked(inner, one, None, type=kind, low=0, high=MOST) for one in inner.table}
        return {one: value for one, value in found.items() if value is not None}
