"""One computed number with its formula, its inputs and its source, and the lines that show it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import floor, log10
from textwrap import wrap
from typing import NamedTuple

from fermtui.units import METRIC, Units, show_bar, show_gravity, show_mass, show_number, show_temp, show_volume

WIDTH = 76


class Input(NamedTuple):
    """A number that went into a sum; `value` None where it is not known, a word where it is a choice."""

    name: str
    value: float | str | None
    unit: str = ""


class Explained(NamedTuple):
    """A computed number. `unit` is "L", "g", "SG", "°C", "% vol", "%", "mg/L", "g/L", "bar" or the like.

    `formula` says in words or plain mathematics how it comes about, `source` where that is published; a default
    without a source says so.
    """

    name: str
    value: float | None
    unit: str
    formula: str
    inputs: tuple[Input, ...]
    source: str


def with_plus_minus(explained: Explained, sd: float) -> Explained:
    """The same with its uncertainty among the inputs: one standard deviation, in its unit."""
    shown = Input("give or take", significant(sd, 2), explained.unit)
    return explained._replace(inputs=(*explained.inputs, shown))


def significant(value: float, figures: int) -> float:
    """The value to so many significant figures."""
    return 0.0 if value == 0.0 else round(value, figures - 1 - floor(log10(abs(value))))


def grouped(value: float) -> str:
    """A whole number in groups of three: `1 000 000`."""
    return f"{value:,.0f}".replace(",", " ")


def _litres(value: float, units: Units) -> str:
    """Two places below ten litres: what is measured into a must, not what is read off a shelf."""
    if units.volume == "gal" or 10.0 <= abs(value) < 100.0:
        return show_volume(value, units)
    if abs(value) >= 100.0:
        return f"{grouped(significant(value, 3))} L"
    return f"{show_number(value, 2, units)} L"


_IN_THE_MAKERS_UNIT: dict[str, Callable[[float, Units], str]] = {
    "L": _litres,
    "g": show_mass,
    "bar": show_bar,
    "°C": show_temp,
    "SG": lambda value, units: show_gravity(value, units, 4),
    "ppm": lambda value, _units: f"{grouped(significant(value, 2))} ppm",
}
_PLACES = {
    "% vol": 1, "%": 1, "mg/L": 0, "g/L": 1, "SG a day": 4, "m3": 1, "pH": 2, "days": 0,
    "kg/m3": 2, "bottles": 0, "readings": 0, "volumes": 2, "°Bx": 1, "g CO2": 1,
}  # fmt: skip


def quantity(value: float | str | None, unit: str, units: Units = METRIC) -> str:
    """A number with its unit as the maker reads it; small ones keep two figures, what is not known is `-`."""
    if value is None or isinstance(value, str):
        return value or "-"
    show = _IN_THE_MAKERS_UNIT.get(unit)
    if show is not None:
        return show(value, units)
    text = show_number(value, _places(value, unit), units)
    return f"{unit} {text}" if unit == "pH" else f"{text} {unit}".rstrip()


def _places(value: float, unit: str) -> int:
    size = abs(value)
    if unit == "mL":
        return 1 if 0.0 < size < 10.0 else 0
    if unit in _PLACES:
        return _PLACES[unit] if size >= 2 * 10.0 ** -_PLACES[unit] or size == 0.0 else _PLACES[unit] + 2
    if value == int(value) and size < 1e6:
        return 0
    return 0 if size >= 1000 else 1 if size >= 100 else 3 if size >= 1 else 4


def lines(explained: Explained, units: Units = METRIC) -> list[str]:
    """The text of one explanation: the number, how it comes about, from what, and where that is published."""
    found = [f"{explained.name}: {quantity(explained.value, explained.unit, units)}"]
    found += _part("how", explained.formula)
    for count, given in enumerate(explained.inputs):
        found.append(f"  {'' if count else 'from':<7} {given.name} {quantity(given.value, given.unit, units)}")
    return found + _part("source", explained.source)


def all_lines(steps: Iterable[Explained], units: Units = METRIC) -> list[str]:
    """The lines of several explanations, an empty one between them."""
    found: list[str] = []
    for step in steps:
        found += ["", *lines(step, units)] if found else lines(step, units)
    return found


def _part(label: str, text: str) -> list[str]:
    return [f"  {'' if count else label:<7} {line}" for count, line in enumerate(wrap(text, WIDTH - 10))]
