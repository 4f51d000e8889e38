"""What the conditions of one vessel are judged by: its facts, plan, steps, zone and clock, prepared once a run."""

from bisect import bisect_right
from collections.abc import Callable, Iterable
from datetime import datetime, tzinfo
from functools import cached_property
from typing import NamedTuple, Protocol

from fermtui.daybook.head import Plan
from fermtui.daybook.kinds import kind_of
from fermtui.forecast.window import BestReading, Window
from fermtui.must.composition import EXTRACT_PER_ETHANOL, Must
from fermtui.must.limits import OutOfRange
from fermtui.replay.facts import Act, Facts, Reading
from fermtui.replay.stability import ROUNDING_SG, calm_run, stable_since
from fermtui.replay.stage import nothing_left
from fermtui.schedule.conditions import ADDED, FIRST_SIGN, Condition
from fermtui.schedule.days import in_utc, start_of_day
from fermtui.schedule.steps import Schedule, Step
from fermtui.schedule.task import Task
from fermtui.schedule.why import Verdict

Gravities = tuple[tuple[datetime, float], ...]  # when, and the SG
Stretch = tuple[float, Gravities]  # G0, and what was read until the next sugar addition

FIRST_SIGN_CHORE = "first sign"
FIRST_SIGN_FALL_SG = 0.002
"""A fall that two looks at a still must do not differ by: common practice, no source."""
LAST_COUNTS = frozenset({"sulfite"})  # the newest decides how long to wait; of everything else the first


class ForecastSource(Protocol):
    """The forecast at one clock, as far as conditions ask it."""

    def crossing(self, sg: float) -> Window | None:
        """When the gravity comes down to `sg`, past or to come; None when likely never."""

    def calm(self, days: float) -> Window | None:
        """When `days` of stillness could be shown, past or to come; None when likely never."""

    def expected(self, at: datetime) -> tuple[float, float, float]:
        """10, 50 and 90 % of a reading taken then."""

    def best_reading(self) -> BestReading | None:
        """The day after the last reading on which the next one narrows the finish most; None where none is of use."""


class Settled(NamedTuple):
    """How a step was answered: `how` is done, skipped or missed (a later dose stands for it), `by` the entry's key."""

    at: datetime
    how: str
    by: str
    reason: str | None = None


class Context:
    """One vessel at one clock. Filled by matching.py and tasks.py, read by the conditions; never outlives one run."""

    def __init__(
        self,
        facts: Facts,
        schedule: Schedule,
        plan: Plan,
        forecast: ForecastSource | None,
        now: datetime,
        zone: tzinfo,
        inherited: Iterable[Act] = (),
    ) -> None:
        self.facts = facts
        self.schedule = schedule
        self.plan = plan
        self.forecast = forecast
        self.now = in_utc(now)
        self.zone = zone
        earlier = tuple(inherited)
        self.acts = tuple(sorted((*earlier, *facts.acts), key=lambda act: act.at)) if earlier else facts.acts
        self.inherited = frozenset(act.key for act in earlier)
        self.events = _events(self.acts)
        if facts.pitched_at is not None:
            self.events["pitch"] = facts.pitched_at
        self.pitched_at = self.events.get("pitch")
        self.bottled_at = _bottled_at(facts)
        if self.bottled_at is not None:
            self.events["bottled"] = self.bottled_at
        first_sign = _first_sign(facts, self.acts)
        if first_sign is not None:
            self.events[FIRST_SIGN] = first_sign
        self.settled: dict[str, Settled] = {}
        self.times_done: dict[str, list[datetime]] = {}
        self.skipped_at: dict[str, datetime] = {}
        self.postponements: dict[str, Act] = {}
        self.task_of: Callable[[str], Task] = _no_tasks
        self._stable_since: dict[float, datetime | None] = {}
        self._sg_of_abv: dict[float, float | None] = {}
        self.verdicts: dict[int, tuple[Condition, Verdict]] = {}

    @cached_property
    def readings(self) -> dict[str, Reading]:
        """Each reading by the key of its entry."""
        return {reading.key: reading for reading in self.facts.readings}

    @cached_property
    def gravities(self) -> Gravities:
        """The gravity readings since the last addition."""
        return tuple((r.at, r.sg) for r in self.facts.since_addition if r.sg is not None)

    @property
    def newest(self) -> tuple[datetime, float] | None:
        """The newest gravity reading after pitching, since the last addition."""
        return self.gravities[-1] if self.gravities else None

    def at_or_below(self, sg: float) -> datetime | None:
        """When a reading since the last addition first stood there. Once met it stays met until the next one."""
        limit = sg + ROUNDING_SG
        return next((at for at, read in self.gravities if read <= limit), None)

    def at_or_above(self, sg: float) -> datetime | None:
        """When a reading since the last addition, the original gravity included, first stood there."""
        last = self.facts.last_addition_at
        since = (r for r in self.facts.readings if last is None or r.at > last)
        return next((r.at for r in since if r.sg is not None and r.sg >= sg - ROUNDING_SG), None)

    def measured(self, what: str) -> list[tuple[datetime, float]]:
        """The readings of `ph` or `temp_c`, in order of time."""
        found = ((r.at, r.ph if what == "ph" else r.temp_c) for r in self.facts.readings)
        return [(at, value) for at, value in found if value is not None]

    def ever_at_or_below(self, fall: Callable[[float], float] | float) -> datetime | None:
        """The same in any stretch between two additions; `fall` gives the gravity from the G0 of that stretch."""
        for g0, readings in self._stretches:
            sg = fall(g0) if callable(fall) else fall
            for at, read in readings:
                if read <= sg + ROUNDING_SG:
                    return at
        poured = self.facts.poured_sg  # what was poured off keeps how far it had come
        sg = fall(self.facts.g0 or 1.0) if callable(fall) else fall
        return self.facts.poured_at if poured is not None and poured <= sg + ROUNDING_SG else None

    @cached_property
    def _stretches(self) -> tuple[Stretch, ...]:
        return _stretches(self.facts, self.gravities)

    @property
    def was_read(self) -> bool:
        """Whether a gravity was read after pitching, be it before the last addition."""
        start = self.pitched_at
        return start is not None and any(r.at > start and r.sg is not None for r in reversed(self.facts.readings))

    @cached_property
    def steady(self) -> tuple[Reading, ...]:
        """The newest readings that agree."""
        return calm_run(self.facts)

    def stable_since(self, days: float) -> datetime | None:
        """When the newest readings showed `days` of stability, or None."""
        if days not in self._stable_since:
            self._stable_since[days] = stable_since(self.facts, days)
        return self._stable_since[days]

    def sg_of_abv(self, percent: float) -> float | None:
        """The gravity at which the ledger would have this strength; None when it cannot get there."""
        if percent not in self._sg_of_abv:
            self._sg_of_abv[percent] = _sg_of_abv(self.facts, percent)
        return self._sg_of_abv[percent]

    def fruit_in_at(self, at: datetime) -> bool:
        """Whether fruit was in the vessel then, up to and including the act that took it out."""
        return any(lot.at <= at and (lot.pulled_at is None or lot.pulled_at >= at) for lot in self.facts.fruit)

    def start_of(self, until: datetime) -> datetime:
        """The first instant of the day of `until`."""
        return start_of_day(in_utc(until).astimezone(self.zone).date(), self.zone)

    def step(self, key: str) -> Step | None:
        """The step of this key, if this vessel has it."""
        return self.schedule.by_key.get(key)


def _no_tasks(key: str) -> Task:
    raise KeyError(key)


def _events(acts: Iterable[Act]) -> dict[str, datetime]:
    first: dict[str, datetime] = {}
    for act in acts:
        if act.did not in first or act.did in LAST_COUNTS:
            first[act.did] = act.at
        if act.did == "add" and act.what is not None:
            first.setdefault(ADDED + act.what.strip().lower(), act.at)
    return first


def _first_sign(facts: Facts, acts: Iterable[Act]) -> datetime | None:
    """When the ferment first showed: a chore of that name, or a gravity that had come down from the highest."""
    seen = [act.at for act in acts if act.did == "chore" and (act.what or "").strip().lower() == FIRST_SIGN_CHORE]
    highest: float | None = None
    poured = [change.at for change in facts.changes]
    before: datetime | None = None
    for reading in facts.readings:
        if reading.sg is None:
            continue
        if before is not None and any(before < at <= reading.at for at in poured):
            highest = None  # honey, fruit or water moved it, not yeast
        before = reading.at
        if highest is not None and highest - reading.sg >= FIRST_SIGN_FALL_SG - ROUNDING_SG:
            seen.append(reading.at)
            break
        highest = max(highest or reading.sg, reading.sg)
    return min(seen, default=None)


def answering(ref: str, schedule: Schedule) -> Step | None:
    """Return the first step of a schedule whose doing is this event, or None."""
    if ref.startswith(ADDED):
        return next((s for s in schedule.by_do.get("add", ()) if ADDED + (s.what or "").strip().lower() == ref), None)
    if ref == FIRST_SIGN:
        chores = schedule.by_do.get("chore", ())
        return next((s for s in chores if (s.what or "").strip().lower() == FIRST_SIGN_CHORE), None)
    steps = schedule.by_do.get("bottle" if ref == "bottled" else ref)
    return steps[0] if steps else None


def _bottled_at(facts: Facts) -> datetime | None:
    if not nothing_left(facts):
        return None
    if facts.lots:
        return facts.lots[-1].at
    return facts.emptied_at


def _stretches(facts: Facts, since: Gravities) -> tuple[Stretch, ...]:
    """(G0, readings) between sugar additions, oldest first. The first began at the original gravity; the G0 of one in
    between is the last one less what the later additions brought, which is close enough to say what was passed."""
    g0 = facts.g0 or 1.0
    additions = [change for change in facts.changes if kind_of(change.did).sugar and change.did != "sweeten"]
    stretches = [(g0, since)]
    readings = [(r.at, r.sg) for r in facts.after_pitch if r.sg is not None]
    times = [at for at, _ in readings]
    end = bisect_right(times, facts.last_addition_at) if facts.last_addition_at is not None else 0
    for change in reversed(additions):
        begin = bisect_right(times, change.at)
        if begin < end:
            stretches.append((g0, tuple(readings[begin:end])))
            end = begin
        g0 -= change.added_sg
    if end > 0:
        stretches.append(((facts.og if additions else None) or g0, tuple(readings[:end])))
    return tuple(reversed(stretches))


def _sg_of_abv(facts: Facts, percent: float) -> float | None:
    water_g, extract_g = facts.water_g, facts.extract_g
    if water_g + extract_g < 1.0:
        return None

    def fermented(extract_gone_g: float) -> Must:
        return Must(water_g, extract_g - extract_gone_g, extract_gone_g / EXTRACT_PER_ETHANOL)

    try:
        weaker = stronger = extract_g
        strongest = fermented(extract_g).abv_percent
        if strongest < percent:
            return None
        weaker = extract_g * percent / strongest
        for _ in range(3):  # strength is almost straight in the sugar gone: two steps reach 0.001 % vol
            here = fermented(weaker).abv_percent
            weaker, stronger = min(extract_g, weaker * percent / here), weaker
            if abs(weaker - stronger) < 1e-4 * extract_g:
                break
        return fermented(weaker).sg
    except (OutOfRange, ZeroDivisionError):
        return None
