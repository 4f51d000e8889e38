"""Fruit into the vessel and out again."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import TYPE_CHECKING

from fermtui.must.composition import Must
from fermtui.must.fruit import FruitParts, UnknownFruit, fruit_parts
from fermtui.replay.facts import LEACH, FruitLot, Pending, SugarChange

if TYPE_CHECKING:
    from fermtui.daybook import kinds as records
    from fermtui.replay.state import State

STANDS_IN = "plum"  # near the middle of the fruit table in sugar and water: estimate, no source
FRUIT_SD_SG = 0.001
MOST_CLINGS_SHARE = 0.5
"""Of the liquid, where nobody said how much: our limit, no source."""


def parts_of(kind: str, mass_g: float, treatment: str | None) -> tuple[FruitParts, str | None]:
    """What the fruit brings, and a sentence when the table does not know it or its treatment."""
    try:
        return fruit_parts(kind, mass_g, treatment or "raw"), None
    except UnknownFruit as unknown:
        try:
            return fruit_parts(kind, mass_g), f"{unknown}; counted as raw"
        except UnknownFruit:
            return fruit_parts(STANDS_IN, mass_g), f"{unknown}; counted as {STANDS_IN}"


def fruit_in(state: State, entry: records.Fruit) -> None:
    """Put fruit in: its juice enters over three days, its pulp counts for the level only."""
    parts, unsure = parts_of(entry.kind or STANDS_IN, entry.mass_g or 0.0, entry.treatment)
    if unsure:
        state.notes.append(unsure)
    ledger = state.ledger
    ledger.check_room(Must(parts.water_g, parts.sugar_g))
    state.fruit.append(
        FruitLot(
            entry.key, entry.at, entry.kind or STANDS_IN, entry.mass_g or 0.0, entry.treatment,
            parts.water_g, parts.sugar_g, parts.pulp_ml / 1000.0,
        )
    )  # fmt: skip
    ledger.pending.append(Pending(entry.at, entry.at + LEACH, parts.water_g, parts.sugar_g))
    if not ledger.empty:
        now = ledger.must()
        full = Must(now.water_g + parts.water_g, now.sugar_g + parts.sugar_g, now.ethanol_g)
        added = full.sg - now.sg
        sd = added * parts.sugar_sd_g / parts.sugar_g if parts.sugar_g else 0.0
        if state.pitched_at is not None:
            state.changes.append(SugarChange(entry.at, "fruit", added, abs(sd) + FRUIT_SD_SG))
    if state.pitched_at is not None:
        state.last_addition_at = state.last_sugar_at = entry.at
        state.goes_on()


def clinging_l(lots: Iterable[FruitLot]) -> float:
    """Litres of mead that leave with the fruit that is still in, by its mass (an estimate, no source)."""
    return sum(parts_of(lot.kind, lot.mass_g, lot.treatment)[0].pulled_loss_l for lot in lots if lot.pulled_at is None)


def fruit_out(state: State, at: datetime, loss_l: float | None) -> None:
    """Take the fruit out: juice that had not come out leaves with it, and `loss_l` of what clings to it; where that
    was not written, as much as clings to so much fruit.
    """
    if loss_l is None:
        loss_l = min(clinging_l(state.fruit), MOST_CLINGS_SHARE * state.ledger.liquid_l())
        if loss_l:
            state.notes.append(f"fruit pulled without its loss: {loss_l:.2f} L of mead counted as gone with it")
    state.ledger.fruit = [lot if lot.pulled_at else lot._replace(pulled_at=at) for lot in state.fruit]
    state.ledger.pending.clear()
    if loss_l:
        state.ledger.keep_volume(state.ledger.liquid_l() - loss_l)
