"""Making the forecast of one vessel: what its facts and its plan tell the model."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from fermtui.daybook.head import WELL_FED, Plan
from fermtui.forecast.evidence import Evidence
from fermtui.forecast.posterior import Posterior, posterior
from fermtui.forecast.priors import DEFAULT_PRIORS, Priors
from fermtui.must.limits import OutOfRange
from fermtui.must.nutrients import NutrientDose, nitrogen_given_mg_per_l
from fermtui.must.strength import OG_NOT_READ_SD
from fermtui.replay.facts import Facts, Reading
from fermtui.replay.sensors import NEAR, corrected_by_hand

SENSOR_EVERY = timedelta(hours=36)
POURED_SD_SG = 0.003  # the ledger's gravity of what was poured: read some days before, or not at all
JUST_AFTER_DAYS = 0.001  # a reading of the same instant as a feed, written after it, is one of what stands there now


def evidence_of(facts: Facts, plan: Plan, doses_planned: int) -> Evidence:
    """What the forecast is told about a pitched vessel. Days are counted from pitching."""
    start = facts.pitched_at
    assert start is not None

    def day(at: datetime) -> float:
        return (at - start).total_seconds() / 86_400.0

    after = _read_after_change(facts)
    readings = [
        (day(r.at) + (JUST_AFTER_DAYS if r.key in after else 0.0), r.sg, max(r.plus_minus, 0.0005))
        for r in _thinned(facts)
        if r.sg is not None
    ]
    if facts.poured_at is not None and facts.poured_sg is not None:  # how far it had come in the other vessel
        readings.append((day(facts.poured_at), facts.poured_sg, POURED_SD_SG))
    temps = [(day(r.at), r.temp_c) for r in facts.readings if r.temp_c is not None and r.at >= start]
    if facts.pitch_temp_c is not None:
        temps.insert(0, (0.0, facts.pitch_temp_c))
    read_before = any(r.sg is not None and r.at <= start and r.by is None for r in facts.readings)
    return Evidence(
        og=facts.og,
        og_sd=0.001 if read_before else OG_NOT_READ_SD,
        readings=tuple(readings),
        temps=tuple(temps),
        plan_temp_c=plan.temp_c,
        tolerance_abv=plan.yeast.tolerance_abv,
        yan_mg_per_l=_nitrogen(facts, plan),
        doses_planned=doses_planned,
        doses_given=facts.doses,
        feeds=tuple((day(c.at), c.added_sg, c.added_sd) for c in facts.changes),
        repitched=tuple(day(act.at) for act in facts.acts if act.did == "pitch" and act.at > start),
        end_sg=facts.end,
        fed=None if facts.fed is None else facts.fed == WELL_FED,
        yeast=plan.yeast.name,
    )


def _thinned(facts: Facts) -> list[Reading]:
    """The gravity readings after pitching: those by hand, and of a sensor one for each day and a half.

    A sensor's readings are taken as the hand readings near them correct them, whether or not the maker wants that
    shown; those within twelve hours of one by hand are left out, for it tells the same better. More of them would let
    the model forget what came before the last two days, and believe one instrument too much.
    """
    if all(reading.by is None for reading in facts.readings):
        return list(facts.after_pitch)
    added = [*(change.at for change in facts.changes), *([facts.last_addition_at] if facts.last_addition_at else [])]
    names = dict.fromkeys(reading.by for reading in facts.readings if reading.by)
    known = facts._replace(readings=corrected_by_hand(facts.readings, added, names)).after_pitch
    by_hand = [reading.at for reading in known if reading.by is None]
    blocks: dict[object, list[Reading]] = {}
    for reading in reversed(known):
        if reading.by is None:
            blocks[reading.key] = [reading]
        elif not any(abs(reading.at - at) <= NEAR for at in by_hand):
            newest = next(reversed(blocks.values()), None) if blocks else None
            same = newest is not None and newest[0].by == reading.by and newest[0].at - reading.at < SENSOR_EVERY
            if newest is not None and same and not any(reading.at < at <= newest[0].at for at in added):
                newest.append(reading)
            else:
                blocks[reading.key] = [reading]
    return [_middle(block) for block in reversed(blocks.values())]


def _middle(block: Sequence[Reading]) -> Reading:
    """One reading in place of several of a sensor, newest first: their means, no surer than the surest of them."""
    if len(block) == 1:
        return block[0]
    sg = sum(reading.sg or 0.0 for reading in block) / len(block)
    at = block[-1].at + sum((reading.at - block[-1].at for reading in block), timedelta(0)) / len(block)
    return block[0]._replace(at=at, sg=sg, plus_minus=min(reading.plus_minus for reading in block))


def _read_after_change(facts: Facts) -> set[str]:
    """The readings of the same instant as honey or fruit that were written after it."""
    changed, found = {(change.at, change.did) for change in facts.changes}, set()
    last = None
    for act in facts.acts:
        if (act.at, act.did) in changed:
            last = act.at
        elif act.did == "read" and act.at == last:
            found.add(act.key)
    return found


def _nitrogen(facts: Facts, plan: Plan) -> float | None:
    doses = plan.doses or {"dap_g": facts.dap_g, "autolysate_g": facts.autolysate_g, "complex_g": facts.complex_g}
    if not any(doses.values()) or not facts.volume_known or not facts.level_l:
        return None
    grams = NutrientDose(doses.get("dap_g", 0.0), doses.get("autolysate_g", 0.0), doses.get("complex_g", 0.0))
    try:
        return nitrogen_given_mg_per_l(grams, facts.level_l)
    except OutOfRange:
        return None


def foretell(facts: Facts, plan: Plan, doses_planned: int, priors: Priors = DEFAULT_PRIORS) -> Posterior:
    """The clock-free forecast of a vessel for which `why_none` has no reason. About 20 ms."""
    return posterior(evidence_of(facts, plan, doses_planned), priors)
