"""Write amounts in words: grams of each nutrient, litres after racking, bottles."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from fermtui.daybook.fields import FIELDS
from fermtui.units import METRIC, Units
from fermtui.wording.fields import value_text
from fermtui.wording.plain import plain

WITH_AMOUNTS = ("kind", "treatment", "into", "what", "glass", "closure", "with", "from")
"""The words that stand among the amounts; all other words follow them."""


def amounts_text(amounts: Mapping[str, object], units: Units = METRIC) -> str:
    """`1.1 g DAP, 1.3 g autolysate`; empty where there is nothing to say."""
    parts = [part for name, value in amounts.items() if (part := _part(name, value, amounts, units))]
    text = ", ".join(parts)
    return f"{text}, only if it goes slowly" if text and amounts.get("only_if_slow") is True else text


def _part(name: str, value: object, amounts: Mapping[str, object], units: Units) -> str:
    field = FIELDS.get(name)
    if field is None or isinstance(value, bool):
        return ""
    if isinstance(value, str):
        return field.told.format(plain(value, 40)) if name in WITH_AMOUNTS else ""
    if not isinstance(value, int | float | Decimal) or (not value and field.told != "{}"):
        return ""
    if name == "size_ml" and "count" in amounts:
        return ""
    if name == "count":
        size = amounts.get("size_ml")
        each = f" {FIELDS['size_ml'].told.format(value_text(FIELDS['size_ml'], size, units))}" if size else ""
        return f"{value:.0f} bottle{'s' if value != 1 else ''}{each}"
    return field.told.format(value_text(field, value, units))


def sulfite_text(free_mg_per_l: float, total_mg_per_l: float) -> str:
    """`32 mg/L free at most, 48 mg/L in total: 33 % counted as bound`."""
    bound_percent = 100.0 * max(0.0, 1.0 - free_mg_per_l / total_mg_per_l) if total_mg_per_l > 0.0 else 0.0
    counted = f"{bound_percent:.0f} % counted as bound" if bound_percent >= 0.5 else "none of it counted as bound"
    return f"{free_mg_per_l:.0f} mg/L free at most, {total_mg_per_l:.0f} mg/L in total: {counted}"
