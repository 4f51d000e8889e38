"""One reading: corrected to SG 20/20 by what the ledger knows, and the ledger brought to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fermtui.must.composition import Must
from fermtui.must.hydrometer import READING_SD_SG, true_sg
from fermtui.must.limits import OutOfRange
from fermtui.must.refractometer import sg_from_brix
from fermtui.replay.facts import Reading
from fermtui.replay.planned_must import from_plan
from fermtui.replay.sensors import NEAR, UNKNOWN_SD_SG, offset_now, plus_minus_of
from fermtui.replay.state import State

DRIFT_SD_SG = 0.001
"""What an offset that the maker wrote down may have drifted by since: a guess, no source."""

if TYPE_CHECKING:
    from fermtui.daybook import kinds as records


def corrected(state: State, entry: records.Read, *, before_pitch: bool) -> tuple[float | None, float]:
    """SG 20/20 and its half width, from a hydrometer reading, a sensor's or Brix; None when none is there.

    Raises OutOfRange with one sentence.
    """
    start: Must | None = None if state.ledger.empty else state.ledger.must()
    if entry.sg is not None and entry.by is not None:
        return _by_sensor(state, entry, entry.by, entry.sg, start)
    if entry.sg is not None:
        measures = state.measures
        sg = true_sg(entry.sg, entry.temp_c, start, calibrated_c=measures.calibrated_c, offset_sg=-measures.offset_sg)
        return sg, READING_SD_SG
    if entry.brix is not None:
        return sg_from_brix(entry.brix, start, fermented=not before_pitch)
    return None, 0.0


def _by_sensor(state: State, entry: records.Read, by: str, shown: float, start: Must | None) -> tuple[float, float]:
    sensor = state.measures.sensors.get(by)
    if sensor is None:
        return true_sg(shown, entry.temp_c, start), plus_minus_of(entry.spread_sg, entry.count, UNKNOWN_SD_SG)
    temp_c = None if sensor.temp_corrected else entry.temp_c
    known_sd = DRIFT_SD_SG if sensor.offset_sg else UNKNOWN_SD_SG
    sg = true_sg(shown, temp_c, start, offset_sg=-sensor.offset_sg)
    return sg, plus_minus_of(entry.spread_sg, entry.count, known_sd)


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
    reading = Reading(
        entry.key, entry.at, sg, plus_minus, entry.temp_c, entry.ph, entry.free_so2_mg_per_l,
        entry.sg is None and entry.brix is not None, entry.by, entry.count, entry.spread_sg,
    )  # fmt: skip
    if entry.by is not None and sg is not None:
        reading = _follow_hand(state, reading, entry.by)
        sg = reading.sg
    state.readings.append(reading)
    if sg is None or (entry.by is not None and _hand_outweighs(state, reading, before_pitch=before_pitch)):
        return
    state.sg_sd = max(READING_SD_SG, reading.plus_minus) if entry.by is not None else READING_SD_SG
    if before_pitch:
        _original(state, entry, sg)
    elif not state.ledger.empty:
        _bring_to(state, entry, sg)
    state.sg, state.sg_from = sg, "reading"
    if entry.sample_ml and not state.ledger.empty:
        state.ledger.keep_volume(state.ledger.liquid_l() - entry.sample_ml / 1000.0)


def _follow_hand(state: State, reading: Reading, by: str) -> Reading:
    """The sensor's reading less the offset that the hand readings so far tell, where the maker wants that."""
    if by not in state.measures.followed or reading.sg is None:
        return reading
    known = offset_now([*state.readings, reading], by, state.added_at(), reading.at)
    if known is None:
        return reading
    sd = plus_minus_of(reading.spread_sg, reading.rows, known.sd_sg)
    return reading._replace(sg=reading.sg - known.offset_sg, offset_sg=known.offset_sg, plus_minus=sd)


def _hand_outweighs(state: State, reading: Reading, *, before_pitch: bool) -> bool:
    """Whether a sensor's reading moves nothing: a hand reading is less than twelve hours old and nothing went in since,
    or it would be the original gravity although the must was weighed or read by hand."""
    hand = next((one for one in reversed(state.readings) if one.by is None and one.sg is not None), None)
    if before_pitch:
        return hand is not None or not state.ledger.empty
    if hand is None or reading.at - hand.at > NEAR:
        return False
    return not any(hand.at < added <= reading.at for added in state.added_at())


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
