"""What the maker wants of a new vessel, before it is a plan."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NamedTuple

from fermtui import units
from fermtui.daybook.head import KEEPS
from fermtui.units import Unreadable


class PlanUnfit(Exception):
    """What is wanted cannot be; the message is one sentence that says what would be right."""


@dataclass(frozen=True, slots=True)
class Second:
    """What is wanted of the second vessel. `volume_l` is its part of the must; None is half."""

    name: str
    volume_l: float | None = None
    fruit: str | None = None
    fruit_g: float | None = None
    treatment: str | None = None
    container: str | None = None
    capacity_l: float | None = None


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the maker wants, `volume_l` of one must for it and its `second`. `gravity` or `abv_percent`; the rest may
    stay open.

    Litres, SG, % vol, grams, °C.
    """

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
    keep: str | None = None
    juice_l: float | None = None
    juice_sg: float | None = None
    honey_moisture_percent: float | None = None
    sweet: bool = False
    sparkling: bool = False
    style: str | None = None
    age_months: float | None = None
    folder: str | None = None
    second: Second | None = None


class Strength(NamedTuple):
    """How strong it is to be: the gravity (SG) that it begins at, the strength (% vol) that it comes to, or both."""

    gravity: float | None
    abv_percent: float | None


class Sweetness(NamedTuple):
    """How sweet it is to be: the gravity (SG) that it is sweetened to, and how it is kept so (None is by salts)."""

    sweet_to: float
    keep: str | None


def read_sweetness(text: str, known: units.Units) -> Sweetness:
    """`1.012`, or with the way that it is kept sweet: `1.012 cold`. Raises Unreadable."""
    gravity, _, keep = text.strip().partition(" ")
    keep = keep.strip().lower()
    if keep and keep not in KEEPS and keep not in ("bx", "°bx", "brix"):
        raise Unreadable(f"{text[:40]!r} is no sweetness: a gravity, and {', '.join(KEEPS)} where no salts hold it")
    return Sweetness(units.gravity_sg(text if keep not in KEEPS else gravity, known), keep if keep in KEEPS else None)


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
