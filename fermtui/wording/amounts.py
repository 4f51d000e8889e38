"""Amounts as people say them: grams of each nutrient, litres after racking, bottles."""

from __future__ import annotations

from collections.abc import Mapping

from fermtui.units import METRIC, Units, show_gravity, show_mass, show_number, show_volume
from fermtui.wording.plain import plain

_NAMES = {
    "dap_g": "DAP",
    "autolysate_g": "autolysate",
    "complex_g": "complex nutrient",
    "honey_g": "honey",
    "metabisulfite_g": "metabisulfite",
    "sorbate_g": "sorbate",
    "priming_g": "priming sugar",
    "yeast_g": "yeast",
    "mass_g": "",
}


def amounts_text(amounts: Mapping[str, object], units: Units = METRIC) -> str:
    """`1.1 g DAP, 1.3 g autolysate`; nothing for amounts that say nothing."""
    parts = [text for name, value in amounts.items() if (text := _part(name, value, amounts, units))]
    told = ", ".join(parts)
    instead = amounts.get("instead")
    if isinstance(instead, Mapping) and instead:
        told += f"; better {amounts_text(instead, units)} instead"
    return f"{told}, only if it goes slowly" if told and amounts.get("only_if_slow") is True else told


def _part(name: str, value: object, amounts: Mapping[str, object], units: Units) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return plain(value, 40) if name in ("kind", "treatment", "into", "what", "glass", "closure") else ""
    if not isinstance(value, int | float):
        return ""
    if name == "count":
        size = amounts.get("size_ml")
        each = f" of {size:g} mL" if isinstance(size, int | float) else ""
        return f"{value:.0f} bottle{'s' if value != 1 else ''}{each}"
    if name in _NAMES:
        return f"{show_mass(float(value), units)} {_NAMES[name]}".rstrip() if value else ""
    if name == "water_l":
        return f"{show_volume(float(value), units)} water"
    if name == "juice_l":
        return f"{show_volume(float(value), units)} juice"
    if name == "volume_l":
        return show_volume(float(value), units)
    if name == "left_l":
        return f"{show_volume(float(value), units)} left" if value else ""
    if name == "sg":
        return show_gravity(float(value), units)
    if name == "temp_c":
        return f"{show_number(float(value), 0, units)} °C"
    return ""
