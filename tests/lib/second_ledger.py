"""A second ledger of one vessel, from first principles: it takes nothing from the program.

Densities: CRC Handbook (102nd ed.) of sucrose and of ethanol in water at 20 °C (tests/published/data), a parabola
between their rows. A mead's: Tabarié's relation as in OIV-MA-AS2-03B, d = d(alcohol of that % vol) + d(extract of that
g/L) - 1. Alcohol: Balling, 2.0665 g of extract give 1 g. Fruit: USDA SR28 (plum: 87.23 g of water, 9.92 g of sugar).
"""

from __future__ import annotations

import csv
from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

DATA = Path(__file__).parents[1] / "published" / "data"
WATER = 998.203  # g/L at 20 °C: IAPWS-95
ALCOHOL = 789.24  # g/L of % vol: OIML R 22
EXTRACT_PER_ALCOHOL = 2.0665
NEVER_FERMENTS = 0.03  # of all extract of honey: US honeys, survey of 1980, 1.8 to 5.9 %
PAST_TOLERANCE = 2.0  # % vol: common practice, no source
PLUM_WATER, PLUM_SUGAR = 0.8723, 0.0992
PLUM_PULP_ML_PER_G = 0.0285  # 2.85 g of 100 are neither; fibre and protein of about 1.3 g/mL less what air there is


@cache
def _table(name: str) -> tuple[list[float], list[float]]:
    """What is in a litre (g of sucrose, or % vol) and what it weighs (g), by the rows of the CRC Handbook."""
    text = (DATA / f"crc_{name}.csv").read_text("utf-8").splitlines()
    rows = list(csv.DictReader(line for line in text if not line.startswith("#")))
    weights = [WATER, *(1000.0 * float(row["density_20C_g_cm3"]) for row in rows)]
    percents = [0.0, *(float(row["mass_pct"]) for row in rows)]
    per = 100.0 if name == "sucrose" else ALCOHOL
    return [percent * weight / per for percent, weight in zip(percents, weights, strict=True)], weights


def _weight(name: str, held: float) -> float:
    """g of a litre that holds so much, by the parabola through the three nearest rows."""
    xs, ys = _table(name)
    middle = min(max(bisect_left(xs, held), 1), len(xs) - 2)
    found = 0.0
    for i in (middle - 1, middle, middle + 1):
        term = ys[i]
        for j in (middle - 1, middle, middle + 1):
            if j != i:
                term *= (held - xs[j]) / (xs[i] - xs[j])
        found += term
    return found


def solve(of: Callable[[float], float], low: float, high: float) -> float:
    """Where `of` passes from below nothing to above it."""
    for _ in range(50):
        middle = (low + high) / 2.0
        low, high = (middle, high) if of(middle) < 0.0 else (low, middle)
    return (low + high) / 2.0


def sugar_water(g_per_l: float) -> float:
    """g/L of water with so much extract in a litre."""
    return _weight("sucrose", g_per_l)


def spirit(abv_percent: float) -> float:
    """g/L of water and alcohol of that strength."""
    return _weight("ethanol", abv_percent)


def tabarie(extract_g_per_l: float, abv_percent: float) -> float:
    """g/L of a mead."""
    return sugar_water(extract_g_per_l) + spirit(abv_percent) - WATER


@dataclass
class SecondLedger:
    """Grams in the vessel. `ever_g` is all extract that went in, fermented or not, as far as it is still here."""

    water_g: float = 0.0
    extract_g: float = 0.0
    alcohol_g: float = 0.0
    ever_g: float = 0.0
    pulp_l: float = 0.0
    fortified: bool = False

    @property
    def litres(self) -> float:
        """Of liquid, so that the grams and Tabarié's density agree."""
        mass_g = self.water_g + self.extract_g + self.alcohol_g

        def too_big(litres: float) -> float:
            return litres * tabarie(self.extract_g / litres, 100.0 * self.alcohol_g / ALCOHOL / litres) - mass_g

        return solve(too_big, mass_g / 1300.0, mass_g / 850.0)

    @property
    def sg(self) -> float:
        return (self.water_g + self.extract_g + self.alcohol_g) / self.litres / WATER

    @property
    def abv_percent(self) -> float:
        return 100.0 * self.alcohol_g / ALCOHOL / self.litres

    def pour(self, water_g: float, extract_g: float, alcohol_g: float = 0.0) -> None:
        """Put something in; alcohol of a ferment stands for the extract that it was."""
        self.water_g += water_g
        self.extract_g += extract_g
        self.alcohol_g += alcohol_g
        self.ever_g += extract_g + alcohol_g * EXTRACT_PER_ALCOHOL

    def pour_mead(self, litres: float, sg: float, abv_percent: float) -> None:
        """Put in a mead of which gravity and strength are known."""
        extract = solve(lambda g: tabarie(g, abv_percent) - sg * WATER, 0.0, 400.0)
        alcohol_g = abv_percent / 100.0 * ALCOHOL * litres
        self.pour(sg * WATER * litres - extract * litres - alcohol_g, extract * litres, alcohol_g)

    def keep(self, litres: float) -> None:
        """Lose, or find, so much that these litres of liquid are there."""
        share = litres / self.litres
        self.water_g, self.extract_g, self.alcohol_g, self.ever_g = (
            share * grams for grams in (self.water_g, self.extract_g, self.alcohol_g, self.ever_g)
        )

    def read_before_pitching(self, sg: float) -> None:
        """The reading corrects the honey, in the same volume."""
        litres = self.litres
        extract_g = litres * solve(lambda g: sugar_water(g) - sg * WATER, 0.0, 500.0)
        self.water_g, self.extract_g, self.ever_g = litres * sg * WATER - extract_g, extract_g, extract_g

    def ferment_to(self, sg: float) -> None:
        """Turn so much extract into alcohol that the gravity is this."""

        def left_at(eaten_g: float) -> SecondLedger:
            return SecondLedger(self.water_g, self.extract_g - eaten_g, self.alcohol_g + eaten_g / EXTRACT_PER_ALCOHOL)

        eaten_g = solve(lambda g: sg - left_at(g).sg, 0.0, self.extract_g)
        self.extract_g -= eaten_g
        self.alcohol_g += eaten_g / EXTRACT_PER_ALCOHOL

    def refermentable_g_per_l(self, tolerance_abv: float) -> float:
        """What may still ferment: all but what no yeast takes, and no more than the yeast bears."""
        by_sugar = self.extract_g - NEVER_FERMENTS * self.ever_g
        by_yeast = (tolerance_abv + PAST_TOLERANCE - self.abv_percent) / 100.0 * self.litres * ALCOHOL
        return max(0.0, min(by_sugar, by_yeast * EXTRACT_PER_ALCOHOL)) / self.litres
