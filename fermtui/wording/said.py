"""Sentences that are written with °C and SG, such as those of schedules and cautions, in the units of the maker."""

from __future__ import annotations

import re

from fermtui.units import Units, show_gravity, show_number, show_temp

# Compiled at first use: most makers read °C and SG.
_SPAN = r"(within |by (?:about )?)(\d+(?:\.\d+)?) °C"
_TEMP = r"(-?\d+(?:\.\d+)?) °C"
_GRAVITY = r"\b(1\.[0-2]\d\d|0\.9\d\d)\b"


def in_units(text: str, units: Units) -> str:
    """The text with its temperatures (`30 °C`, and spans: `within 10 °C`) and gravities (`1.030`) as the maker reads
    them; everything else as it stands."""
    if units.temp == "F" and "°C" in text:
        text = re.sub(_SPAN, lambda found: f"{found[1]}{show_number(1.8 * float(found[2]), 0, units)} °F", text)
        text = re.sub(_TEMP, lambda found: show_temp(float(found[1]), units), text)
    if units.gravity != "sg":
        text = re.sub(_GRAVITY, lambda found: show_gravity(float(found[1]), units), text)
    return text
