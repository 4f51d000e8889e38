"""Make sentences of a finding: what was observed, with its numbers; why it matters; what would remedy it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from datetime import datetime

from fermtui.schedule.guards.case import Finding, Point, Value
from fermtui.units import METRIC, Units, show_bar, show_gravity, show_mass, show_number, show_temp, show_volume
from fermtui.wording.fields import field_name
from fermtui.wording.findings_observed import OBSERVED, Words
from fermtui.wording.findings_reasons import REASONS, REMEDIES
from fermtui.wording.plain import plain
from fermtui.wording.said import in_units

MOST_NAMES = 4
Show = Callable[[float, Units], str]
WAYS = {"acid": "acid to pH 3.5 at most", "ferment drier": "fermenting it drier", "cold": "keeping it cold"}
SENTENCES: Mapping[str, Words] = {**OBSERVED, **REASONS, **REMEDIES}

# Longest ending first: 3.2 mg_per_l is not litres.
UNITS_BY_ENDING: tuple[tuple[str, Show], ...] = (
    ("_mg_per_l", lambda value, units: f"{show_number(value, 0, units)} mg/L"),
    ("_g_per_l", lambda value, units: f"{show_number(value, 2 if value < 2 else 1 if value < 20 else 0, units)} g/L"),
    ("_points", lambda value, units: show_number(value, 0, units)),
    ("_percent", lambda value, units: f"{show_number(value, 0 if value >= 20 else 1, units)} %"),
    ("_bar", show_bar),
    ("_months", lambda value, units: f"{show_number(value, 0, units)} months"),
    ("_hours", lambda value, units: f"{show_number(value, 0, units)} hours"),
    ("_ml", lambda value, units: f"{show_number(value, 0, units)} mL"),
    ("_sg", show_gravity),
    ("_ph", lambda value, units: show_number(value, 1, units)),
    ("_c", show_temp),
    ("_g", show_mass),
    ("_l", show_volume),
)


def finding_text(finding: Finding, units: Units = METRIC) -> str:
    """One to three short sentences in the maker's units; what is impossible takes one."""
    if finding.kind == "impossible":
        return f"{_sentence(finding.observed, units)}: {_sentence(finding.remedy, units)}."
    parts = (finding.observed, finding.reason, finding.remedy)
    sentences = (_sentence(part, units) for part in parts if part is not None)
    return " ".join(f"{text[:1].upper()}{text[1:]}." for text in sentences)


def remedy_text(finding: Finding, units: Units = METRIC) -> str:
    """What would remedy it, as a sentence."""
    text = _sentence(finding.remedy, units)
    return f"{text[:1].upper()}{text[1:]}."


def _sentence(point: Point, units: Units) -> str:
    template = SENTENCES[point.kind]
    if not isinstance(template, str):
        template = template(point.values)
    text = template.format_map({name: _shown(name, value, units) for name, value in point.values.items()})
    return in_units(text, units)


def _shown(name: str, value: Value, units: Units) -> str:
    if isinstance(value, datetime):
        return f"{value.day} {value:%b %Y %H:%M}"
    if isinstance(value, tuple):
        shown = ", ".join(_named(name, item) for item in value[:MOST_NAMES])
        return f"{shown} and more" if len(value) > MOST_NAMES else shown
    if isinstance(value, bool) or not isinstance(value, int | float):
        return _named(name, value)
    if name == "fits_g":
        value = _rounded_down(float(value))
    for ending, show in UNITS_BY_ENDING:
        if f"_{name}".endswith(ending):
            return show(float(value), units)
    return show_number(value, 0 if float(value).is_integer() else 1, units)


def _rounded_down(mass_g: float) -> float:
    """Round down what still fits, so that it stays below its limit."""
    step = 0.01 if mass_g < 1.0 else 0.1 if mass_g < 20.0 else 1.0 if mass_g < 1000.0 else 10.0
    return math.floor(mass_g / step + 1e-9) * step


def _named(name: str, value: Value) -> str:
    """Write the program's own keys in words, and the maker's names as they were written."""
    if name == "field":
        return field_name(str(value))
    if name == "ways":
        return WAYS.get(str(value), plain(value, 60))
    return plain(value, 60).replace("_", " ") if name in ("closure", "of") else plain(value, 60)
