"""A TOML file that people edit, while it is read: fields at fault keep their default and become problems."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from fermtui.daybook.fields import TEXT_MOST, Unfit, fit, fit_moment
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

    def value(self, part: TableSection, name: str, default: Any, spec: Mapping[str, Any]) -> Any:
        """The value of a field, checked as a field of an entry is; `default` when it is missing or at fault.

        Besides the types of such fields there are flag, day, titles: a table of words, and amounts: a table of numbers
        from 0 to two millions.
        """
        if spec["type"] == "titles":
            inner = self.part(name, part)
            title = {"type": "words", "most": 200}
            words = {one: self.value(inner, one, None, title) for one in inner.table}
            return {one: value for one, value in words.items() if value}
        if spec["type"] == "amounts":
            inner = self.part(name, part)
            amount = {"type": spec["of"], "low": 0, "high": MOST}
            found = {one: self.value(inner, one, None, amount) for one in inner.table}
            return {one: value for one, value in found.items() if value is not None}
        value, where = part.get(name), f"{part.where}{name}"
        if value is None:
            return default
        try:
            if spec["type"] == "flag":
                return _flag(where, value)
            if spec["type"] == "day":
                return _day(where, value)
            most = spec.get("high", spec.get("most", TEXT_MOST))
            return fit(where, value, spec["type"], spec.get("low", 0.0), most, spec.get("choices", ()))
        except Unfit as fault:
            self.fault(where, str(fault))
            return default


def _flag(name: str, value: object) -> bool:
    if not isinstance(value, bool):
        raise Unfit("{} is true or false", name)
    return value


def _day(name: str, value: object) -> date:
    moment = fit_moment(name, value)
    return moment.date() if isinstance(moment, datetime) else moment
