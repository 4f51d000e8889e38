"""Making the forecast of one vessel: what its facts and its plan tell the model."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from fermtui.daybook.head import Plan
from fermtui.forecast.evidence import Evidence
from fermtui.forecast.posterior import Posterior, posterior
from fermtui.forecast.priors import DEFAULT_PRIORS, Priors
from fermtui.must.limits import OutOfRange
from fermtui.must.nutrients import NutrientDose, nitrogen_given_mg_per_l
from fermtui.must.strength import OG_NOT_READ_SD
from fermtui.replay.facts import Facts, Reading
from fermtui.replay.sensors import NEAR

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
        for r in _without_those_beside_a_hand_reading(facts.after_pitch)
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
        yeast=plan.yeast.name,
    )


def _without_those_beside_a_hand_reading(readings: Sequence[Reading]) -> list[Reading]:
    """All readings but those that a sensor took within twelve hours of one by hand, which tells the same better."""
    by_hand = [reading.at for reading in readings if reading.by is None]
    if len(by_hand) == len(readings):
        return list(readings)
    return [one for one in readings if one.by is None or not any(abs(one.at - at) <= NEAR for at in by_hand)]


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
