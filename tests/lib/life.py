"""A ferment that really happens, for tests that live with the program: another model than the forecast's.

Sugar is counted in grams: what yeast takes, what it never takes, and the alcohol that comes of it. How fast it goes is
a saturating uptake slowed by alcohol and cold, after a lag; a life may creep, halt, start again or never begin.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field

from fermtui.must.composition import EXTRACT_PER_ETHANOL, Must, from_gravity

HONEY_SOLIDS = 0.829
FERMENTABLE = 0.955  # of honey's solids: sugars that yeast takes, US honeys of 1980
KINDS = ("healthy", "healthy", "healthy", "brisk", "creeping", "halting", "stuck", "never")


@dataclass
class Ferment:
    """What is in one vessel. Masses in g, litres at 20 °C, days since pitching."""

    rng: random.Random
    kind: str
    volume_l: float
    water_g: float
    sugar_g: float
    rest_g: float  # extract that no yeast takes
    ethanol_g: float = 0.0
    temp_c: float = 19.0
    day: float = 0.0
    lag_days: float = 1.5
    uptake: float = 0.0  # g a litre a day at 20 °C
    tolerance_abv: float = 15.0
    half_g_per_l: float = 20.0
    halts_at_g_per_l: float | None = None
    wakes_on: float | None = None
    sulfite_mg_per_l: float = 0.0
    sorbate_mg_per_l: float = 0.0
    ph: float = 3.4
    halted_on: float | None = None
    heated: bool = False
    honeyed: bool = False
    fruit_left: list[tuple[float, float]] = field(default_factory=list)  # (day, g of sugar still to come)

    @classmethod
    def pitched(cls, rng: random.Random, kind: str, volume_l: float, og: float) -> Ferment:
        """A must just pitched, its speed and end drawn for its kind."""
        must = from_gravity(volume_l, og)
        made = cls(rng, kind, volume_l, must.water_g, must.sugar_g * FERMENTABLE, must.sugar_g * (1 - FERMENTABLE))
        made.temp_c = rng.uniform(16.5, 23.0)
        made.lag_days = rng.uniform(0.6, 3.0)
        made.ph = round(rng.uniform(3.2, 3.5), 2)
        made.tolerance_abv = rng.uniform(13.5, 17.5)
        made.uptake = {"brisk": 34.0, "healthy": 20.0, "creeping": 9.0, "halting": 18.0, "stuck": 16.0, "never": 0.0}[
            kind
        ] * rng.uniform(0.75, 1.3)
        made.half_g_per_l = {"creeping": 90.0}.get(kind, rng.uniform(8.0, 28.0))
        if kind == "stuck":
            made.halts_at_g_per_l = rng.uniform(0.1, 0.5) * made.sugar_g / volume_l
        if kind == "halting":
            made.halts_at_g_per_l = rng.uniform(8.0, 50.0)
            made.wakes_on = rng.uniform(30.0, 120.0)
        return made

    @property
    def sugar_g_per_l(self) -> float:
        """Sugar that yeast can still take."""
        return self.sugar_g / self.volume_l

    @property
    def to_come_g_per_l(self) -> float:
        """Sugar that this yeast will still take, in g/L: all of it, or what its tolerance leaves room for."""
        room_g = max(0.0, self.tolerance_abv - self.must.abv_percent) / 100.0 * 789.0 * EXTRACT_PER_ETHANOL
        return min(self.sugar_g_per_l, room_g)

    @property
    def end_sg(self) -> float:
        """The gravity at which fresh yeast in the warm stops."""
        gone = self.to_come_g_per_l * self.volume_l
        return Must(
            self.water_g, self.sugar_g + self.rest_g - gone, self.ethanol_g + gone / EXTRACT_PER_ETHANOL
        ).sg

    @property
    def must(self) -> Must:
        """Water, extract and ethanol as a hydrometer feels them."""
        return Must(self.water_g, self.sugar_g + self.rest_g, self.ethanol_g)

    @property
    def alive(self) -> bool:
        """Whether its yeast could still ferment: not where enough sulfite and sorbate are in, or after enough heat."""
        return not self.heated and not (self.sulfite_mg_per_l > 6.0 and self.sorbate_mg_per_l > 55.0)

    def until(self, day: float) -> None:
        """Let it ferment until that day."""
        while self.day < day - 1e-9:
            step = min(0.25, day - self.day)
            self._step(step)
            self.day += step

    def _step(self, days: float) -> None:
        arrived = [(since, grams) for since, grams in self.fruit_left if self.day >= since]
        for since, grams in arrived:
            self.fruit_left.remove((since, grams))
            self.sugar_g += grams * 0.96
            self.rest_g += grams * 0.04
        if self.day < self.lag_days or not self.alive or self.kind == "never" or self.sugar_g <= 0.0:
            return
        halted = self.halts_at_g_per_l is not None and self.sugar_g_per_l <= self.halts_at_g_per_l
        if halted and (self.wakes_on is None or self.day < self.wakes_on):
            self.halted_on = self.day if self.halted_on is None else self.halted_on
            return
        strength = self.must.abv_percent
        slowed = max(0.0, 1.0 - (strength / self.tolerance_abv) ** 3)
        warmth = math.exp(0.07 * (self.temp_c - 20.0))
        rate = self.uptake * warmth * slowed * self.sugar_g_per_l / (self.sugar_g_per_l + self.half_g_per_l)
        taken = min(self.sugar_g, rate * days * self.volume_l)
        self.sugar_g -= taken
        self.ethanol_g += taken / EXTRACT_PER_ETHANOL

    def restart(self, rng: random.Random) -> None:
        """A strong starter of fresh yeast: it gets most of them going, after a new lag."""
        if rng.random() >= 0.7:
            return
        if self.kind == "never":
            self.kind, self.uptake = "healthy", rng.uniform(12.0, 20.0)
        self.lag_days, self.halts_at_g_per_l = self.day + rng.uniform(0.5, 2.0), None

    def honey(self, grams: float) -> None:
        """Add honey of 17.1 % water."""
        self.honeyed = True
        solids = grams * HONEY_SOLIDS
        self.sugar_g += solids * FERMENTABLE
        self.rest_g += solids * (1 - FERMENTABLE)
        self.water_g += grams - solids
        self.volume_l = self.must.volume_l

    def fruit(self, grams: float) -> None:
        """Add fruit: a tenth of it sugar, which comes out over three days; four fifths water."""
        self.fruit_left += [(self.day + after, grams * 0.1 / 3.0) for after in (0.5, 1.5, 2.5)]
        self.water_g += 0.8 * grams
        self.volume_l = self.must.volume_l

    def keep(self, volume_l: float) -> None:
        """Leave what is above that volume behind."""
        share = min(1.0, volume_l / self.volume_l)
        self.water_g, self.sugar_g = self.water_g * share, self.sugar_g * share
        self.rest_g, self.ethanol_g = self.rest_g * share, self.ethanol_g * share
        self.volume_l *= share

    def read(self, resolution_sg: float, noise_sg: float) -> float:
        """What the maker reads: rounded to the scale, with the error of the eye."""
        seen = self.must.sg + self.rng.gauss(0.0, noise_sg)
        return round(round(seen / resolution_sg) * resolution_sg, 4)
