"""The fields of an entry in words: files and commands say dap_g, people say DAP, in the units that they read."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal

from fermtui.daybook.fields import FIELDS, Field, Unfit, Unit
from fermtui.units import METRIC, Units, show_gravity, show_mass, show_temp, show_volume

_SHOW: Mapping[Unit, Callable[[float, Units], str]] = {
    "L": show_volume,
    "g": show_mass,
    "°C": show_temp,
    "SG": show_gravity,
    "days": lambda value, units: f"{as_written(value, units)} day{'' if value == 1 else 's'}",
    "h": lambda value, units: f"{as_written(value, units)} hour{'' if value == 1 else 's'}",
}


def field_name(name: str) -> str:
    """`DAP`, `the gravity`; a name that is a word already stays."""
    return FIELDS[name].name if name in FIELDS else name.replace("_", " ")


def value_text(field: Field, value: object, units: Units = METRIC) -> str:
    """The value of a field with its unit: `1.1 g`, `68 °F`, `24 hours`, `750 mL`."""
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        return str(value)
    if (show := _SHOW.get(field.unit)) is not None:
        return show(float(value), units)
    return f"{as_written(value, units)} {field.unit}".rstrip()


def as_written(value: float | Decimal, units: Units) -> str:
    """A number as it was written, in the maker's decimal sign."""
    text = f"{value:f}" if isinstance(value, Decimal) else f"{value:g}"
    return text.replace(".", ",") if units.decimal_comma else text


def unfit_text(bad: Unfit, *, typed: bool = False) -> str:
    """The sentence with the fields in words; with `typed`, each with the name under which it is typed behind it."""

    def named(name: str) -> str:
        is_code = name in FIELDS and field_name(name) != name
        return f"{field_name(name)} ({name}=)" if typed and is_code else field_name(name)

    return bad.text(named)
