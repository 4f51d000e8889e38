"""Whether enough sulfite and sorbate are in to hold a mead that still has sugar."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

from fermtui.must.preservatives import WaysOut, free_so2_needed_mg_per_l, sorbate_dose
from fermtui.replay.contents import abv_percent
from fermtui.replay.facts import Facts, Reading
from fermtui.replay.stability import CLEAR_FALL_SG, ROUNDING_SG, by_instrument, stable_since

ENOUGH_SHARE = 0.8
"""Of the reckoned dose: less of either holds nothing. Common practice, no source."""
SULFITE_HOLDS = timedelta(days=120)
"""How long a dose is counted on; free sulfite falls in every vessel. Common practice, no source."""
STILL_FALLS_SG = 0.002
"""A fall after stabilising that is more than two looks differ by: then nothing is held. Common practice, no source."""
CALM_AGAIN_DAYS = 14.0
USUAL_PH = 3.5
"""Where no pH was measured: the edge of the sorbate table, which asks for the most."""


def sulfite_times(facts: Facts) -> tuple[datetime, ...]:
    """When sulfite went in, in order of time; also where the volume was unknown and the dose is in no sum."""
    dosed = {dose.at for dose in facts.sulfite}
    unsummed = {act.at for act in facts.acts if act.did == "sulfite"} - dosed
    return tuple(sorted({dose.at for dose in facts.sulfite if dose.so2_mg_per_l > 0.0} | unsummed))


def sulfited_at(facts: Facts) -> datetime | None:
    """When sulfite first went in after the yeast, or None: a dose before it was spent by the ferment."""
    pitched = facts.pitched_at
    return next((at for at in sulfite_times(facts) if pitched is None or at > pitched), None)


def sorbated(facts: Facts) -> bool:
    """Whether sorbate is in; a dose of nothing is none."""
    return facts.sorbate_at is not None and (facts.sorbate_mg_per_l > 0.0 or not facts.volume_known)


def stabilised_at(facts: Facts, now: datetime | None = None) -> datetime | None:
    """When the later of sulfite and sorbate went in, enough of both; None while one is missing or too little, where
    yeast or its food came in since, or where the newest sulfite is too old at the clock.
    """
    sulfite_at, sorbate_at = sulfited_at(facts), facts.sorbate_at
    if sulfite_at is None or sorbate_at is None or not sorbated(facts):
        return None
    if facts.volume_known and not (enough_sulfite(facts) and enough_sorbate(facts)):
        return None
    newest = max([*sulfite_times(facts), *(r.at for r in so2_readings(facts))])
    if now is not None and not facts.lots and now - newest > SULFITE_HOLDS:
        return None
    both_at = max(sulfite_at, sorbate_at)
    if facts.live_in_at is not None and facts.live_in_at > both_at:
        return None
    if any(act.did in ("pitch", "feed") and act.at > both_at for act in facts.acts) or _falls_since(facts, both_at):
        return None
    return both_at


def _falls_since(facts: Facts, both_at: datetime) -> bool:
    """Whether it ferments in spite of them: the readings since came down, and no fourteen calm days follow."""
    since = (reading for reading in facts.since_addition if reading.at >= both_at)
    fell = any(_fell(readings) for readings in by_instrument(since))
    return fell and stable_since(facts, CALM_AGAIN_DAYS) is None


def _fell(readings: Sequence[Reading]) -> bool:
    """Whether the newest reading of an instrument stands below an earlier one by more than two looks differ; of a
    sensor, by what its drift may be besides."""
    gravities = [reading.sg for reading in readings if reading.sg is not None]
    if len(gravities) < 2:
        return False
    drift = 0.0 if readings[0].by is None else CLEAR_FALL_SG
    return max(gravities[:-1]) - gravities[-1] > STILL_FALLS_SG + drift + ROUNDING_SG


def enough_sorbate(facts: Facts) -> bool:
    """Whether the sorbate given is at least 0.8 of the dose for its strength and pH; False where no dose helps."""
    strength = abv_percent(facts)
    if strength is None:
        return True
    dose = sorbate_dose(1.0, _ph(facts), min(25.0, strength), malolactic=facts.malolactic)
    if isinstance(dose, WaysOut):
        return False
    return facts.sorbate_mg_per_l >= ENOUGH_SHARE * 1000.0 * dose.potassium_sorbate_g


def enough_sulfite(facts: Facts) -> bool:
    """Whether the free sulfite, as measured or as given since pitching, is at least 0.8 of what the pH asks for."""
    strength = abv_percent(facts)
    if strength is None:
        return True
    dosed_at = max(sulfite_times(facts), default=None)
    needed = free_so2_needed_mg_per_l(_ph(facts), dosing_temp_c(facts, dosed_at), min(25.0, strength))
    return free_so2_mg_per_l(facts) >= ENOUGH_SHARE * needed


def dosing_temp_c(facts: Facts, upto: datetime | None = None) -> float:
    """The temperature that sulfite is reckoned for, °C: of the newest reading with one since pitching (up to then),
    else the plan's, else 20.
    """
    start = facts.pitched_at
    read = [r.temp_c for r in facts.readings if r.temp_c is not None and (start is None or r.at > start)
            and (upto is None or r.at <= upto)]  # fmt: skip
    temp_c = read[-1] if read else facts.plan_temp_c
    return 20.0 if temp_c is None else min(40.0, max(-5.0, temp_c))


def total_so2_mg_per_l(facts: Facts) -> float:
    """All SO2 given, mg/L: what was given before pitching is bound, and in it all the same."""
    return sum(dose.so2_mg_per_l for dose in facts.sulfite)


class SulfurDioxide(NamedTuple):
    """SO2 in a vessel, mg/L. `measured`: free was, since the last dose; else it is what is left at most."""

    free_mg_per_l: float
    total_mg_per_l: float
    measured: bool

    @property
    def bound_percent(self) -> float | None:
        """Of the total, in per cent; None where free was not measured."""
        return 100.0 * max(0.0, 1.0 - self.free_mg_per_l / self.total_mg_per_l) if self.measured else None


def sulfur_dioxide(facts: Facts) -> SulfurDioxide | None:
    """Free and total SO2 by what was given and measured; None where no sulfite of a known content went in."""
    total = total_so2_mg_per_l(facts)
    if total <= 0.0:
        return None
    measured = so2_readings(facts)
    known = bool(measured) and measured[-1].at >= facts.sulfite[-1].at
    return SulfurDioxide(free_so2_mg_per_l(facts), total, known)


def free_so2_mg_per_l(facts: Facts, upto: datetime | None = None) -> float:
    """Free SO2 at most: the last measurement (up to then) and all given since, or all given since pitching."""
    measured = so2_readings(facts, upto)
    since, free = facts.pitched_at, 0.0
    if measured:
        since, free = measured[-1].at, measured[-1].free_so2_mg_per_l or 0.0
    return free + sum(dose.so2_mg_per_l for dose in facts.sulfite if since is None or dose.at > since)


def so2_readings(facts: Facts, upto: datetime | None = None) -> list[Reading]:
    """The readings that measured free SO2, in order of time, those after `upto` left out."""
    return [r for r in facts.readings if r.free_so2_mg_per_l is not None and (upto is None or r.at <= upto)]


def _ph(facts: Facts) -> float:
    return min(7.0, max(2.0, USUAL_PH if facts.ph is None else facts.ph))
