"""What the maker wants of a new vessel, before it is a plan."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NamedTuple

from fermtui import units
from fermtui.units import Unreadable


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the maker wants. `gravity` or `abv_percent`; the rest may stay open. Litres, SG, % vol, grams, °C."""

    name: str
    volume_l: float
    gravity: float | None = None
    abv_percent: float | None = None
    end: float | None = None
    schedule: str | None = None
    container: str | None = None
    capacity_l: float | None = None
    yeast: str | None = None
    demand: str | None = None
    tolerance_abv: float | None = None
    temp_c: float | None = None
    fruit: str | None = None
    fruit_g: float | None = None
    treatment: str | None = None
    sweet_to: float | None = None
    co2_volumes: float | None = None
    spice: str | None = None
    malolactic: bool = False
    juice_l: float | None = None
    juice_sg: float | None = None
    honey_moisture_percent: float | None = None
    sweet: bool = False
    sparkling: bool = False
    style: str | None = None
    age_months: float | None = None
    folder: str | None = None


class Strength(NamedTuple):
    """How strong it is to be: the gravity (SG) that it begins at, the strength (% vol) that it comes to, or both."""

    gravity: float | None
    abv_percent: float | None


_PERCENT = re.compile(r"(?:^|\s)([-+]?[\d.,]+\s*%(?:\s*(?:vol|abv)\.?)?)\s*$", re.IGNORECASE)


def read_strength(text: str, known: units.Units) -> Strength:
    """`1.095`, `12%`, or both where it is fed on the way: `1.100 16%`. Raises Unreadable."""
    percent = _PERCENT.search(text)
    if percent is None:
        return Strength(units.gravity_sg(text, known), None)
    before = text[: percent.start()].strip()
    abv = units.percent(percent[1])
    if not 0.0 < abv <= 25.0:
        raise Unreadable(f"{text[:40]!r} is no strength between 0 and 25 % vol: write it like 12%")
    return Strength(units.gravity_sg(before, known) if before else None, abv)
