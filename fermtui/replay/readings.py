"""One reading: corrected to SG 20/20 by what the ledger knows, and the ledger brought to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fermtui.must.composition import Must
from fermtui.must.hydrometer import READING_SD_SG, true_sg
from fermtui.must.limits import OutOfRange
from fermtui.must.refractometer import sg_from_brix
from fermtui.replay.facts import Reading
from fermtui.replay.planned_must import from_plan
from fermtui.replay.state import State

if TYPE_CHECKING:
    from fermtui.daybook import kinds as records


def corrected(state: State, entry: records.Read, *, before_pitch: bool) -> tuple[float | None, float]:
    """SG 20/20 and its half width, from a hydrometer reading or from Brix; None when neither is there.

    Raises OutOfRange with one sentence.
    """
    start: Must | None = None if state.ledger.empty else state.ledger.must()
    if entry.sg is not None:
        measures = state.measures
        sg = true_sg(entry.sg, entry.temp_c, start, calibrated_c=measures.calibrated_c, offset_sg=-measures.offset_sg)
        return sg, READING_SD_SG
    if entry.brix is not None:
        return sg_from_brix(entry.brix, start, fermented=not before_pitch)
    return None, 0.0


def take_reading(state: State, entry: records.Read) -> None:
    """Keep the reading, bring the ledger to its gravity, take the sample out."""
    if entry.ph is not None:
        state.ph, state.ph_at = entry.ph, entry.at
    before_pitch = state.pitched_at is None or entry.at <= state.pitched_at
    try:
        sg, plus_minus = corrected(state, entry, before_pitch=before_pitch)
    except OutOfRange as refused:
        state.notes.append(f"reading of {entry.at:%d %b %Y}: {refused}")
        sg, plus_minus = None, 0.0
    state.readings.append(
        Reading(
            entry.key, entry.at, sg, plus_minus, entry.temp_c, entry.ph, entry.free_so2_mg_per_l,
            entry.sg is None and entry.brix is not None,
        )
    )  # fmt: skip
    if sg is None:
        return
    if before_pitch:
        _original(state, entry, sg)
    elif not state.ledger.empty:
        _bring_to(state, entry, sg)
    state.sg, state.sg_from = sg, "reading"
    if entry.sample_ml and not state.ledger.empty:
        state.ledger.keep_volume(state.ledger.liquid_l() - entry.sample_ml / 1000.0)


def _original(state: State, entry: records.Read, sg: float) -> None:
    if state.ledger.empty:
        from_plan(state, sg, "reading")
    else:
        # A second look after stirring is compared with the mass balance too, not with the first look.
        if state.balance_sg is None:
            state.balance_sg = state.ledger.must().sg
        state.og_off_by = sg - state.balance_sg
        try:
            state.ledger.correct_to(sg)
        except OutOfRange as refused:
            state.notes.append(f"reading of {entry.at:%d %b %Y}: {refused}")
            return
    state.og_read = True
    if state.pitched_at is not None:
        state.og = sg


def _bring_to(state: State, entry: records.Read, sg: float) -> None:
    if not state.ledger.ferment_to(sg):
        state.notes.append(
            f"reading of {entry.at:%d %b %Y}: {sg:.3f} is out of reach of what the entries say went in; "
            "the strength follows the nearest gravity that it can have"
        )
    state.peak_abv_percent = max(state.peak_abv_percent, state.ledger.must().abv_percent)
