"""What the maker wants of a new vessel, before it is a plan."""

from __future__ import annotations

from dataclasses import dataclass


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
    juice_l: float | None = None
    juice_sg: float | None = None
    honey_moisture_percent: float | None = None
    sweet: bool = False
    sparkling: bool = False
    style: str | None = None
    age_months: float | None = None
    folder: str | None = None
