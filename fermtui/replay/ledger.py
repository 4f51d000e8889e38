"""The running ledger of one vessel while its entries are replayed: the only mutable thing in the story.

Kept as water, all extract ever put in, and how much of that has fermented. Alcohol that comes in with mead counts as
extract that has already fermented, so the gravity with nothing fermented stays right through splits and topping up.
"""

from __future__ import annotations

from datetime import datetime

from fermtui.must.composition import (
    EXTRACT_PER_ETHANOL,
    Must,
    ferment_to,
    lowest_sg,
    with_gravity,
)
from fermtui.must.limits import OutOfRange
from fermtui.replay.contents import juice_bounds
from fermtui.replay.facts import FruitLot, Pending

MOST_LEDGER_G = 5e7


class Ledger:
    """Grams in the vessel now; see the module's note for why ethanol is not a field of its own."""

    def __init__(self) -> None:
        self.water_g = 0.0
        self.extract_g = 0.0
        self.fermented_g = 0.0
        self.sweetened_g = 0.0
        self.fermented_then_g = 0.0  # how much had fermented when it was first sweetened
        self.fruit_sugar_g = 0.0
        self.unmeasured_g = 0.0
        self.unfermentable_g = 0.0  # extract that no yeast takes, of things that are known for it
        self.fortified_g = 0.0  # extract that the alcohol of spirit stands for, though none fermented
        self.pending: list[Pending] = []
        self.fruit: list[FruitLot] = []

    @property
    def empty(self) -> bool:
        return self.water_g + self.extract_g < 1.0

    def must(self) -> Must:
        """Water, extract and ethanol as they stand."""
        return Must(self.water_g, self.extract_g - self.fermented_g, self.fermented_g / EXTRACT_PER_ETHANOL)

    def unfermented(self) -> Must:
        """What it would be with nothing fermented and all fruit juice in."""
        water_g = self.water_g + sum(p.water_g for p in self.pending)
        extract_g = self.extract_g - self.fortified_g + sum(p.sugar_g for p in self.pending)
        return Must(water_g, max(0.0, extract_g), self.fortified_g / EXTRACT_PER_ETHANOL)

    def add(self, must: Must, unfermentable_g: float = 0.0, fortified_g: float = 0.0) -> None:
        """Pour something in: its alcohol counts as extract that has fermented. Raises OutOfRange above 50 tonnes.

        Of its extract `unfermentable_g` never ferments, and `fortified_g` stands for the alcohol of spirit.
        """
        fermented_g = must.ethanol_g * EXTRACT_PER_ETHANOL
        self.check_room(must)
        self.water_g += must.water_g
        self.extract_g += must.sugar_g + fermented_g
        self.fermented_g += fermented_g
        self.unfermentable_g += unfermentable_g
        self.fortified_g += fortified_g

    def check_room(self, more: Must) -> None:
        """Raises OutOfRange when this and what is there, fruit juice included, would weigh more than 50 tonnes."""
        if self.unfermented().mass_g + more.mass_g * EXTRACT_PER_ETHANOL > MOST_LEDGER_G:
            raise OutOfRange("more than fifty tonnes would be in the vessel: look for a number that is too large")

    def keep_share(self, share: float) -> None:
        """Lose the rest with the average composition; above 1 it means that more is there than was thought."""
        self.water_g *= share
        self.extract_g *= share
        self.fermented_g *= share
        self.sweetened_g *= share
        self.fermented_then_g *= share
        self.fruit_sugar_g *= share
        self.unmeasured_g *= share
        self.unfermentable_g *= share
        self.fortified_g *= share

    def keep_volume(self, liquid_l: float) -> None:
        """Bring the liquid to this many litres at its composition."""
        if not self.empty:
            self.keep_share(max(0.0, liquid_l) / self.must().volume_l)

    def liquid_l(self) -> float:
        """Litres of liquid at 20 °C, without pulp."""
        return 0.0 if self.empty else self.must().volume_l

    def pulp_l(self) -> float:
        """Litres that fruit takes up beside the liquid: its solids, and juice that has not come out yet."""
        juice = Must(sum(p.water_g for p in self.pending), sum(p.sugar_g for p in self.pending), 0.0)
        solids_l = sum(lot.pulp_l for lot in self.fruit if lot.pulled_at is None)
        return solids_l + (0.0 if juice.is_empty else juice.volume_l)

    def sweet_left_g(self) -> float:
        """Of the honey that went in for taste, the extract that has not fermented again."""
        return max(0.0, self.sweetened_g - max(0.0, self.fermented_g - self.fermented_then_g))

    def leach_until(self, at: datetime) -> bool:
        """Let fruit juice in: evenly over three days from when the fruit went in (common practice, no source).

        True when some came in.
        """
        before = self.pending
        if not before:
            return False
        self.pending = [rest for p in before if (rest := self._leach(p, at)) is not None]
        return self.pending != before

    def _leach(self, part: Pending, at: datetime) -> Pending | None:
        if at <= part.since:
            return part
        share = 1.0 if at >= part.until else (at - part.since) / (part.until - part.since)
        self.water_g += part.water_g * share
        self.extract_g += part.sugar_g * share
        self.fruit_sugar_g += part.sugar_g * share
        if share >= 1.0:
            return None
        return Pending(at, part.until, part.water_g * (1 - share), part.sugar_g * (1 - share))

    def correct_to(self, sg: float) -> None:
        """Before pitching: the reading corrects the honey, at the same volume. Raises OutOfRange."""
        must = with_gravity(self.must(), sg)
        self.water_g, self.extract_g = must.water_g, must.sugar_g + self.fermented_g

    def ferment_to(self, sg: float) -> bool:
        """Ferment, or take back fermentation, so that the ledger has this gravity.

        False when the gravity is out of reach: below it with nothing left, or above it with nothing fermented and
        however much of the juice of the fruit has come in.
        """
        spirit_g = self.fortified_g
        base = Must(self.water_g, max(0.0, self.extract_g - spirit_g), spirit_g / EXTRACT_PER_ETHANOL)
        if sg >= base.sg:
            self.fermented_g = spirit_g
            return sg - max(base.sg, *(one.sg for one in juice_bounds(base, self.pending))) < 0.0005
        try:
            self.fermented_g = spirit_g + ferment_to(base, sg)[1]
        except OutOfRange:
            if sg >= lowest_sg(base):
                raise
            self.fermented_g = self.extract_g
            return False
        return True
