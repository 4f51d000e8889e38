"""Replay: live entries in order of time -> Facts. Pure and total: the same entries give the same facts."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime, time
from functools import partial
from typing import NamedTuple

from fermtui.daybook.entry import Entry
from fermtui.daybook.head import Head
from fermtui.daybook.kinds import in_order
from fermtui.must.limits import OutOfRange
from fermtui.must.strength import OG_NOT_READ_SD, abv_plus_minus
from fermtui.replay.effects import EFFECTS
from fermtui.replay.facts import Act, Facts, Rest
from fermtui.replay.planned_must import from_plan, planned_gravity
from fermtui.replay.sensors import corrected_by_hand, sensor_offsets
from fermtui.replay.state import Measures, State, rest_of, state_of


class Moment(NamedTuple):
    """How a vessel stood right after one entry. None where it is not known."""

    key: str
    at: datetime
    level_l: float | None
    sg: float | None
    abv_percent: float | None


Before = Callable[[Entry, Callable[[], Facts]], None]


def replay(
    head: Head, entries: Iterable[Entry], measures: Measures | None = None, trace: list[Moment] | None = None
) -> Facts:
    """The facts of one vessel after its live entries (strikes resolved already; any order).

    With `trace`, how it stood after each entry (but strikes) is added to that list. Never raises: what cannot be used
    is a note.
    """
    return replayed(head, entries, measures, trace)[0]


def replayed(
    head: Head,
    entries: Iterable[Entry],
    measures: Measures | None = None,
    trace: list[Moment] | None = None,
    before: Before | None = None,
) -> tuple[Facts, Rest]:
    """The facts as of `replay`, and what it takes to go on from them.

    `before` is called with each entry in order, and with what gives the facts right before it.
    """
    state = State(head, measures or Measures())
    state.container, state.keep, state.fed = head.container, head.plan.keep, head.plan.fed
    state.capacity_l = head.capacity_l or (state.measures.containers.get(head.container) if head.container else None)
    ordered = in_order(entries)
    state.begins_with_receive = _begins_with_receive(head, ordered)
    first_at = ordered[0].at if ordered else None
    last_at = _through(state, ordered, first_at, None, trace, before)
    if state.pitched_at is None and state.ledger.empty and head.parent is None:
        _before_anything(state)
    return _facts(state, first_at, last_at), rest_of(state)


def can_go_on(facts: Facts, entry: Entry) -> bool:
    """Whether `go_on` may take this entry after these facts: what it says changes nothing of what came before.

    Where a sensor is corrected by hand readings, a new one changes what its earlier readings were.
    """
    if any(sensor.applied for sensor in facts.sensors):
        return False
    known = facts.pitched_at is not None and facts.last_at is not None and entry.at > facts.last_at
    return known and entry.did not in ("strike", "mix", "pitch", "receive")


def go_on(
    head: Head,
    facts: Facts,
    rest: Rest,
    more: Iterable[Entry],
    measures: Measures | None = None,
    before: Before | None = None,
) -> tuple[Facts, Rest]:
    """Replay entries that come after these facts, each of which `can_go_on`; the same as a replay of all."""
    state = state_of(head, measures or Measures(), facts, rest)
    last_at = _through(state, in_order(more), facts.first_at, facts.last_at, None, before)
    return _facts(state, facts.first_at, last_at), rest_of(state)


def _through(
    state: State,
    ordered: Iterable[Entry],
    first_at: datetime | None,
    last_at: datetime | None,
    trace: list[Moment] | None,
    before: Before | None,
) -> datetime | None:
    """Let each entry have its effect; the time of the last one."""
    for entry in ordered:
        if entry.did == "strike":
            last_at = entry.at
            continue  # it happens to the daybook, not to the vessel
        if before is not None:
            before(entry, partial(_facts, state, None if last_at is None else first_at, last_at))
        last_at = entry.at
        _leach(state, entry.at)
        effect = EFFECTS.get(entry.did)
        if effect is not None:
            try:
                effect(state, entry)
            except OutOfRange as refused:
                state.notes.append(f"{entry.did.replace('_', ' ')} of {entry.at:%d %b %Y}: {refused}")
        state.acts.append(_act(entry))
        if trace is not None:
            trace.append(_moment(state, entry))
    return last_at


def _begins_with_receive(head: Head, ordered: list[Entry]) -> bool:
    """Whether this vessel was poured off from another one; a blend into a must that was pitched here is none."""
    first = next((e for e in ordered if e.did in ("mix", "receive")), None)
    if first is None or first.did != "receive":
        return False
    # Where it was read or fed before, there was something in it already.
    return head.parent is not None or all(e.did in ("pitch", "note", "strike") for e in ordered if e.at < first.at)


def _leach(state: State, at: datetime) -> None:
    """Let fruit juice in; it moves the gravity away from what was read last."""
    if not state.ledger.leach_until(at) or state.ledger.empty:
        return
    state.sg, state.sg_from = state.ledger.must().sg, "ledger"
    if state.pitched_at is None:
        state.forget_balance()


def _before_anything(state: State) -> None:
    from_plan(state, planned_gravity(state), "plan")


def _act(entry: Entry) -> Act:
    what = getattr(entry, "what", None) or getattr(entry, "kind", None)
    until = getattr(entry, "until", None)
    if until is not None and not isinstance(until, datetime):
        until = datetime.combine(until, time(0), entry.at.tzinfo)  # midnight says that the day is meant
    return Act(entry.key, entry.at, entry.did, entry.task, what, until, getattr(entry, "reason", None))


def _level_l(state: State) -> float | None:
    if not state.volume_known or state.ledger.empty:
        return None
    if state.emptied_at is not None:
        return 0.0
    if state.lots and state.left_l is not None and state.left_l <= 0.0:
        return 0.0
    return state.ledger.liquid_l() + state.ledger.pulp_l()


def _moment(state: State, entry: Entry) -> Moment:
    ledger = state.ledger
    known = not ledger.empty
    return Moment(entry.key, entry.at, _level_l(state), state.sg, ledger.must().abv_percent if known else None)


def _plus_minus(state: State) -> tuple[float, tuple[str, ...]]:
    """Half the width of the strength in % vol, and a note where it cannot be computed."""
    ledger = state.ledger
    if ledger.empty:
        return 0.0, ()
    try:
        half_width = abv_plus_minus(
            ledger.must(),
            fermented_g=ledger.fermented_g,
            og_sd=0.001 if state.og_read else OG_NOT_READ_SD,
            sg_sd=state.sg_sd,
            fruit_sugar_g=ledger.fruit_sugar_g,
            honey_added_unmeasured_g=ledger.unmeasured_g,
        )
    except OutOfRange as refused:
        return ledger.must().abv_percent, (f"strength: {refused}",)
    return half_width, ()


def _facts(state: State, first_at: datetime | None, last_at: datetime | None) -> Facts:
    ledger = state.ledger
    half_width, of_strength = _plus_minus(state)
    return Facts(
        first_at=first_at,
        last_at=last_at,
        mixed_at=state.mixed_at,
        pitched_at=state.pitched_at,
        pitch_temp_c=state.pitch_temp_c,
        plan_temp_c=state.head.plan.temp_c,
        water_g=ledger.water_g,
        extract_g=ledger.extract_g,
        fermented_g=ledger.fermented_g,
        pending=tuple(ledger.pending),
        volume_known=state.volume_known,
        level_l=_level_l(state),
        container=state.container,
        capacity_l=state.capacity_l,
        named_containers=tuple(state.named_containers),
        og=state.og,
        g0=state.g0(),
        spent_frozen_percent=state.spent_frozen_percent,
        sg=state.sg,
        sg_from=state.sg_from,
        og_off_by=state.og_off_by,
        abv_plus_minus=half_width,
        end=state.head.plan.end if state.ended_sg is None else state.ended_sg,
        ended_at=state.ended_at,
        tolerance_abv=state.head.plan.yeast.tolerance_abv,
        resolution_sg=state.measures.resolution_sg,
        forced_sg=state.forced_sg,
        peak_abv_percent=state.peak_abv_percent,
        readings=corrected_by_hand(state.readings, state.added_at(), state.measures.followed),
        temps=tuple(state.temps),
        acts=tuple(state.acts),
        changes=tuple(state.changes),
        poured_at=state.poured_at,
        poured_sg=state.poured_sg,
        last_addition_at=state.last_addition_at,
        last_sugar_at=state.last_sugar_at,
        fruit=tuple(state.fruit),
        dap_g=state.dap_g,
        autolysate_g=state.autolysate_g,
        complex_g=state.complex_g,
        doses=state.doses,
        sulfite=tuple(state.sulfite),
        sorbate_at=state.sorbate_at,
        sorbate_mg_per_l=state.sorbate_mg_per_l,
        sweetened_g=ledger.sweet_left_g(),
        unfermentable_g=ledger.unfermentable_g,
        fortified_g=ledger.fortified_g,
        racked_at=state.racked_at,
        first_racked_at=state.first_racked_at,
        rackings=state.rackings,
        malolactic=state.malolactic,
        keep=state.keep,
        fed=state.fed,
        live_in_at=state.live_in_at,
        lots=tuple(state.lots),
        left_l=state.left_l,
        emptied_at=state.emptied_at,
        parent=state.parent,
        children=tuple(state.children),
        ph=state.ph,
        ph_at=state.ph_at,
        sensors=sensor_offsets(state.readings, state.added_at(), state.measures.followed),
        notes=tuple(dict.fromkeys((*state.notes, *of_strength))),
    )
