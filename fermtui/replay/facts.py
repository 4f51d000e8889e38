"""Facts: what a vessel's entries say about it, without a clock. Everything above the story asks these and nothing else.

Masses are grams, volumes litres at 20 °C, gravities SG 20/20, times aware datetimes. None means that it is not known.
"""

from datetime import datetime, timedelta
from typing import NamedTuple


class Reading(NamedTuple):
    """One look with the hydrometer or another meter. `sg` is corrected to 20/20; `plus_minus` is its half width.

    `by` names the sensor that took it, None is by hand; then it is the median of `rows` rows that scattered by
    `spread_sg`, and `offset_sg` was taken off because hand readings said so.
    """

    key: str
    at: datetime
    sg: float | None
    plus_minus: float
    temp_c: float | None = None
    ph: float | None = None
    free_so2_mg_per_l: float | None = None
    by_refractometer: bool = False
    by: str | None = None
    rows: int | None = None
    spread_sg: float | None = None
    offset_sg: float = 0.0


class SensorOffset(NamedTuple):
    """What a sensor shows too much by the hand readings near its own, one standard deviation, from how many of them;
    `at` the newest of these. `applied` where its readings are corrected by it."""

    name: str
    offset_sg: float
    sd_sg: float
    pairs: int
    at: datetime
    applied: bool


class Temperature(NamedTuple):
    """How warm or cold the must was made: by `heat`, `chill` or pitching. Readings have their own."""

    at: datetime
    temp_c: float


class Act(NamedTuple):
    """One live entry, as far as the schedule cares: what was done, when, and which step it says it answers.

    `what` is the kind of thing (spice, fruit kind, chore); `until` only for postpone, midnight where a day is meant,
    with the offset of the entry and not of that day.
    """

    key: str
    at: datetime
    did: str
    task: str | None = None
    what: str | None = None
    until: datetime | None = None
    reason: str | None = None


class RoomOf(NamedTuple):
    """A container and what it holds, filled to the brim."""

    name: str
    capacity_l: float


class FruitLot(NamedTuple):
    """Fruit that went in. `water_g` and `sugar_g` enter the liquid over three days; `pulp_l` is what it displaces."""

    key: str
    at: datetime
    kind: str
    mass_g: float
    treatment: str | None
    water_g: float
    sugar_g: float
    pulp_l: float
    pulled_at: datetime | None = None


class GivenSulfite(NamedTuple):
    """Sulfite given: milligrams of SO2 per litre of what was in the vessel then."""

    at: datetime
    so2_mg_per_l: float


class SugarChange(NamedTuple):
    """A sugar addition as the forecast sees it: how many gravity units (0.010 = ten points) it adds when all is in."""

    at: datetime
    did: str
    added_sg: float
    added_sd: float


class Lot(NamedTuple):
    """Bottles filled in one go, and how many of them are gone."""

    key: str
    at: datetime
    bottles: int
    size_ml: float
    glass: str
    closure: str | None
    priming_g: float
    priming_kind: str | None
    opened: int
    burst: int
    place: str | None = None


BOTTLE_REST = "bottle-rest"
"""The task to bottle what a first bottling left; who leaves it out keeps nothing of it."""
LEACH = timedelta(days=3)
"""Over which fruit gives its juice up: common practice, no source."""


class Pending(NamedTuple):
    """Fruit juice that has not entered the liquid yet: it comes in evenly from `since` to `until`."""

    since: datetime
    until: datetime
    water_g: float
    sugar_g: float


class Facts(NamedTuple):
    """What is known of a vessel after its last live entry."""

    first_at: datetime | None
    last_at: datetime | None
    mixed_at: datetime | None
    pitched_at: datetime | None
    pitch_temp_c: float | None
    plan_temp_c: float | None  # that the plan means to hold

    water_g: float
    extract_g: float  # all extract ever, as if nothing had fermented
    fermented_g: float  # how much of it has fermented
    pending: tuple[Pending, ...]
    volume_known: bool
    level_l: float | None  # liquid and fruit pulp
    container: str | None
    capacity_l: float | None
    named_containers: tuple[RoomOf, ...]  # that a racking named with their size, beside those of cellar.toml

    og: float | None  # gravity at pitching
    g0: float | None  # gravity with nothing fermented, fruit and feeding included; frozen at `sweeten`
    spent_frozen_percent: float | None  # sugar spent, frozen at `sweeten`
    sg: float | None
    sg_from: str  # "reading", "ledger", "plan" or ""
    og_off_by: float | None  # reading before pitching less the mass balance
    abv_plus_minus: float
    end: float  # the gravity that the plan ends at, or the one that the maker took for the end
    ended_at: datetime | None  # when the maker said so; forgotten with more sugar or yeast
    tolerance_abv: float | None  # of the yeast, as the plan states it
    resolution_sg: float  # the step of the hydrometer's scale
    forced_sg: float | None  # where a warm forced test ended, of what is in the vessel now
    peak_abv_percent: float

    readings: tuple[Reading, ...]  # in order of time, the ones before pitching too
    temps: tuple[Temperature, ...]  # beside those of the readings, in order of time
    acts: tuple[Act, ...]  # in order of time
    changes: tuple[SugarChange, ...]
    poured_at: datetime | None  # when this vessel began as a part of a ferment that stood elsewhere
    poured_sg: float | None  # its gravity then, by the ledger
    last_addition_at: datetime | None  # of anything that changes the gravity without fermenting
    last_sugar_at: datetime | None
    fruit: tuple[FruitLot, ...]
    dap_g: float
    autolysate_g: float
    complex_g: float
    doses: int
    sulfite: tuple[GivenSulfite, ...]
    sorbate_at: datetime | None
    sorbate_mg_per_l: float
    sweetened_g: float  # honey for sweetening, in grams of extract that has not fermented again
    unfermentable_g: float  # extract that no yeast takes, of things that are known for it
    fortified_g: float  # extract that the alcohol of spirit stands for, though none fermented
    racked_at: datetime | None  # the last racking
    first_racked_at: datetime | None
    rackings: int
    malolactic: bool
    keep: str | None  # how it is kept sweet, one of KEEPS, by the plan or as chosen since; None is by salts
    fed: str | None  # one of FEEDINGS, by the plan or as the maker has said since; None where nobody has
    live_in_at: datetime | None  # when mead of another vessel, not known to be stabilised, last came into this one
    lots: tuple[Lot, ...]
    left_l: float | None  # still to bottle, after the last bottling
    emptied_at: datetime | None
    parent: str | None
    children: tuple[str, ...]
    ph: float | None
    ph_at: datetime | None
    sensors: tuple[SensorOffset, ...]  # those that hand readings were held against
    notes: tuple[str, ...]  # what the replay had to assume or could not use, one sentence each

    @property
    def fruit_in(self) -> bool:
        """Whether fruit is in the vessel now."""
        return any(lot.pulled_at is None for lot in self.fruit)

    @property
    def after_pitch(self) -> tuple[Reading, ...]:
        """The gravity readings after pitching."""
        start = self.pitched_at
        if start is None:
            return ()
        return tuple(r for r in self.readings if r.sg is not None and r.at > start)

    @property
    def since_addition(self) -> tuple[Reading, ...]:
        """The gravity readings after pitching and after the last addition."""
        last = self.last_addition_at
        return tuple(r for r in self.after_pitch if last is None or r.at > last)


class Rest(NamedTuple):
    """What a replay has in hand beside its facts: with both it can go on where it stopped."""

    og_read: bool
    sg_sd: float
    ended_sg: float | None
    balance_sg: float | None
    begins_with_receive: bool
    g0_frozen: float | None
    sweetened_g: float
    fermented_then_g: float
    fruit_sugar_g: float
    unmeasured_g: float
    notes: tuple[str, ...]  # without what is noted of the facts as a whole
