"""What the replay keeps in hand between two entries of one vessel."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from datetime import datetime
from typing import Any

from fermtui.daybook.head import Head
from fermtui.daybook.settings import Sensor
from fermtui.replay.facts import (
    Act,
    Facts,
    FruitLot,
    GivenSulfite,
    Lot,
    Reading,
    Rest,
    RoomOf,
    SugarChange,
    Temperature,
)
from fermtui.replay.ledger import Ledger

HONEY_MOISTURE_PERCENT = 17.1  # USDA SR, NDB 19296


@dataclass(frozen=True, slots=True)
class Measures:
    """What the replay needs of the cellar's settings: the hydrometer, the containers, the honey, the sensors by name.

    `offset_sg` is what the hydrometer shows too much in pure water, `resolution_sg` the step of its scale.
    """

    calibrated_c: float = 20.0
    offset_sg: float = 0.0
    honey_moisture_percent: float = HONEY_MOISTURE_PERCENT
    resolution_sg: float = 0.001
    containers: Mapping[str, float] = field(default_factory=dict)
    sensors: Mapping[str, Sensor] = field(default_factory=dict)

    @property
    def followed(self) -> tuple[str, ...]:
        """The sensors that are corrected by the hand readings near their own."""
        return tuple(name for name, sensor in self.sensors.items() if sensor.follow_hand)


@dataclass(slots=True)
class State:
    """Filled by effects.py, read by replay.py."""

    head: Head
    measures: Measures
    ledger: Ledger = field(default_factory=Ledger)
    volume_known: bool = False
    mixed_at: datetime | None = None
    pitched_at: datetime | None = None
    pitch_temp_c: float | None = None
    container: str | None = None
    capacity_l: float | None = None
    named_containers: list[RoomOf] = field(default_factory=list)
    og: float | None = None
    og_read: bool = False
    og_off_by: float | None = None
    balance_sg: float | None = None
    begins_with_receive: bool = False
    poured_at: datetime | None = None
    poured_sg: float | None = None
    sg: float | None = None
    sg_from: str = ""
    sg_sd: float = 0.001
    g0_frozen: float | None = None
    spent_frozen_percent: float | None = None
    peak_abv_percent: float = 0.0
    ended_sg: float | None = None
    ended_at: datetime | None = None
    readings: list[Reading] = field(default_factory=list)
    temps: list[Temperature] = field(default_factory=list)
    acts: list[Act] = field(default_factory=list)
    changes: list[SugarChange] = field(default_factory=list)
    last_addition_at: datetime | None = None
    last_sugar_at: datetime | None = None
    forced_sg: float | None = None
    dap_g: float = 0.0
    autolysate_g: float = 0.0
    complex_g: float = 0.0
    doses: int = 0
    sulfite: list[GivenSulfite] = field(default_factory=list)
    sorbate_at: datetime | None = None
    sorbate_mg_per_l: float = 0.0
    racked_at: datetime | None = None
    first_racked_at: datetime | None = None
    rackings: int = 0
    malolactic: bool = False
    keep: str | None = None
    fed: str | None = None
    live_in_at: datetime | None = None
    lots: list[Lot] = field(default_factory=list)
    left_l: float | None = None
    emptied_at: datetime | None = None
    parent: str | None = None
    children: list[str] = field(default_factory=list)
    ph: float | None = None
    ph_at: datetime | None = None
    notes: list[str] = field(default_factory=list)

    @property
    def fruit(self) -> list[FruitLot]:
        return self.ledger.fruit

    def moisture_percent(self) -> float:
        """Moisture of the honey: the plan's own, else the cellar's."""
        return self.head.plan.honey_moisture_percent or self.measures.honey_moisture_percent

    def forget_balance(self) -> None:
        """Something went in before pitching: the next reading is compared with the must as it is now."""
        self.og_off_by = self.balance_sg = None

    def added_at(self) -> tuple[datetime, ...]:
        """When something went in that moved the gravity."""
        times = [change.at for change in self.changes]
        return (*times, self.last_addition_at) if self.last_addition_at is not None else tuple(times)

    def goes_on(self) -> None:
        """More sugar or yeast went in: what was taken for the end need not be it any more."""
        self.ended_sg = self.ended_at = None

    def g0(self) -> float | None:
        """The gravity with nothing fermented, all fruit in; None without a ledger."""
        if self.g0_frozen is not None:
            return self.g0_frozen
        return None if self.ledger.empty else self.ledger.unfermented().sg

    def spent_percent(self) -> float | None:
        """Sugar spent: (G0 - SG) / (G0 - 1) as percent in 0 to 100; frozen once sweetened."""
        if self.spent_frozen_percent is not None:
            return self.spent_frozen_percent
        g0 = self.g0()
        if g0 is None or self.sg is None or g0 <= 1.001:
            return None
        return min(100.0, max(0.0, 100.0 * (g0 - self.sg) / (g0 - 1.0)))


_OF_LEDGER = ("sweetened_g", "fermented_then_g", "fruit_sugar_g", "unmeasured_g")


def rest_of(state: State) -> Rest:
    """What the facts of this state do not hold."""
    of_ledger = {name: getattr(state.ledger, name) for name in _OF_LEDGER}
    return Rest(
        state.og_read, state.sg_sd, state.ended_sg, state.balance_sg, state.begins_with_receive, state.g0_frozen,
        **of_ledger, notes=tuple(state.notes),
    )  # fmt: skip


def state_of(head: Head, measures: Measures, facts: Facts, rest: Rest) -> State:
    """The state in which these facts were taken."""
    # Of the honey for sweetening the facts hold what has not fermented again, the rest all of it: it goes first.
    known: dict[str, Any] = {**facts._asdict(), **rest._asdict()}
    names = [one.name for one in fields(State) if one.name in known]
    state = State(head, measures, **{name: _own(known[name]) for name in names})
    for name in ("water_g", "extract_g", "fermented_g", "unfermentable_g", "fortified_g", *_OF_LEDGER):
        setattr(state.ledger, name, known[name])
    state.ledger.pending, state.ledger.fruit = list(facts.pending), list(facts.fruit)
    return state


def _own(value: Any) -> Any:
    """A tuple of the facts as a list that may grow."""
    return list(value) if isinstance(value, tuple) else value
