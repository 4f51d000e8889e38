"""What each kind of entry does to the ledger and the facts: one function a kind, called in order of time."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Any

from fermtui.daybook.containers import named_container
from fermtui.daybook.head import fed_from
from fermtui.must.composition import Must, from_gravity
from fermtui.must.honey import USUAL_JUICE_SG, honey_must, juice_must, water_must
from fermtui.must.preservatives import SO2_SHARE
from fermtui.replay.additions import Brought, brought_by_add, brought_by_top_up
from fermtui.replay.facts import BOTTLE_REST, GivenSulfite, Lot, RoomOf, SugarChange, Temperature
from fermtui.replay.fruit_lots import fruit_in, fruit_out
from fermtui.replay.keeping import KEEP_TASK, chosen_by
from fermtui.replay.planned_must import from_plan, planned_gravity
from fermtui.replay.readings import take_reading
from fermtui.replay.state import State

if TYPE_CHECKING:
    from fermtui.daybook import kinds as records
    from fermtui.daybook.entry import Entry

MIXING_SHRINKS = 0.97  # honey and water take up less room together, and pots are read roughly: estimate, no source
FED_SUGAR_REL_SD = 0.03  # moisture of honey from jar to jar: estimate, no source
LACTIC = ("malolactic", "lactic culture", "lactobacillus")
"""Bacteria that make geranium taint of sorbate."""
FORCED_LEAST_C = 20.0
FORCED_LEAST_DAYS = 3.0
"""Of a forced test: common practice, no source."""


def _mix(state: State, entry: records.Mix) -> None:
    there_l = state.ledger.liquid_l()
    poured = _poured(state, entry, there_l)
    if state.pitched_at is None:
        state.ledger.add(poured)
        state.mixed_at = state.mixed_at or entry.at
        state.forget_balance()
    else:
        _sugar_in(state, entry, poured)
    if not poured.is_empty:
        state.volume_known = True
    if entry.volume_l is not None:
        state.ledger.keep_volume(entry.volume_l + _apart_l(entry.volume_l, poured, there_l))
    if state.pitched_at is None and not state.ledger.empty:
        state.sg, state.sg_from = state.ledger.must().sg, "ledger"


def _apart_l(volume_l: float, poured: Must, there_l: float) -> float:
    """What stood there before and is not meant by `volume_l`. It is the whole after mixing; but pouring in makes no
    less, so a smaller one is that of this mix alone, as when a must is mixed in two pots.
    """
    if poured.is_empty or volume_l >= MIXING_SHRINKS * (there_l + poured.volume_l):
        return 0.0
    return there_l


def _poured(state: State, entry: records.Mix, there_l: float) -> Must:
    moisture = entry.honey_moisture_percent or state.moisture_percent()
    honey = honey_must(entry.honey_g, moisture) if entry.honey_g else Must()
    juice = Must()
    if entry.juice_l:
        juice = juice_must(entry.juice_l, entry.juice_sg or USUAL_JUICE_SG)
        if entry.juice_sg is None:
            state.notes.append(f"juice without its gravity: counted as {USUAL_JUICE_SG}, an ordinary apple juice")
    sugary = Must(honey.water_g + juice.water_g, honey.sugar_g + juice.sugar_g, 0.0)
    if entry.water_l is not None:
        water = water_must(entry.water_l)
        return Must(sugary.water_g + water.water_g, sugary.sugar_g, 0.0)
    if entry.volume_l is None:
        return sugary
    wanted_l = entry.volume_l
    if sugary.is_empty:
        if there_l:
            return water_must(max(0.0, wanted_l - there_l))
        gravity = planned_gravity(state)
        if gravity is None:
            state.notes.append("mixed without honey by a plan without gravity: counted as water until it is read")
        return from_gravity(wanted_l, gravity or 1.0)
    if wanted_l >= MIXING_SHRINKS * (there_l + sugary.volume_l):
        wanted_l -= there_l
    water = water_must(max(0.0, wanted_l - sugary.volume_l))
    return Must(sugary.water_g + water.water_g, sugary.sugar_g, 0.0)


def _pitch(state: State, entry: records.Pitch) -> None:
    _warmth(state, entry.at, entry.temp_c)
    if state.pitched_at is not None:
        state.goes_on()
        return
    if state.ledger.empty and not state.begins_with_receive:
        from_plan(state, planned_gravity(state), "plan")
    state.pitched_at = entry.at
    state.pitch_temp_c = entry.temp_c
    if not state.ledger.empty:
        state.og = state.ledger.must().sg


def _dose(state: State, entry: records.Dose) -> None:
    state.dap_g += entry.dap_g or 0.0
    state.autolysate_g += entry.autolysate_g or 0.0
    state.complex_g += entry.complex_g or 0.0
    state.doses += 1


def _sugar_in(state: State, entry: Entry, poured: Must, rel_sd: float = FED_SUGAR_REL_SD) -> None:
    """Pour sugar, water or mead into what stands there; the gravity now comes from the ledger."""
    _pour(state, entry, Brought(poured, sugar=poured.sugar_g > 0.0), rel_sd)


def _pour(state: State, entry: Entry, brought: Brought, rel_sd: float = FED_SUGAR_REL_SD) -> None:
    ledger = state.ledger
    before = None if ledger.empty else ledger.must().sg
    ledger.add(brought.must or Must(), brought.unfermentable_g, brought.fortified_g)
    if state.pitched_at is None:
        state.forget_balance()
    if ledger.empty:
        return
    state.sg, state.sg_from = ledger.must().sg, "ledger"
    if before is not None and state.pitched_at is not None:
        added = state.sg - before
        state.changes.append(SugarChange(entry.at, entry.did, added, abs(added) * rel_sd + 0.0005))
    state.last_addition_at, state.forced_sg = entry.at, None
    if brought.sugar:
        state.last_sugar_at = entry.at
        if entry.did != "sweeten":  # that comes after the end
            state.goes_on()


def _add(state: State, entry: records.Add) -> None:
    if any(word in (entry.what or "").lower() for word in LACTIC):
        state.malolactic = True
    brought = brought_by_add(entry, state.moisture_percent(), _there(state))
    if brought.note:
        state.notes.append(brought.note)
    if brought.must is not None:
        _pour(state, entry, brought)


def _there(state: State) -> Must | None:
    return None if state.ledger.empty else state.ledger.must()


def _pull(state: State, entry: records.Pull) -> None:
    if entry.what in (None, "fruit"):
        fruit_out(state, entry.at, entry.loss_l)
    elif entry.loss_l:
        state.ledger.keep_volume(state.ledger.liquid_l() - entry.loss_l)


def _feed(state: State, entry: records.Feed) -> None:
    _sugar_in(state, entry, honey_must(entry.honey_g or 0.0, state.moisture_percent()))
    state.ledger.unmeasured_g += entry.honey_g or 0.0


def _sweeten(state: State, entry: records.Sweeten) -> None:
    spent_percent, g0 = state.spent_percent(), state.g0()
    honey = honey_must(entry.honey_g or 0.0, state.moisture_percent())
    if not state.ledger.sweetened_g:
        state.ledger.fermented_then_g = state.ledger.fermented_g
    _sugar_in(state, entry, honey)
    state.ledger.sweetened_g += honey.sugar_g
    state.ledger.unmeasured_g += entry.honey_g or 0.0
    if state.spent_frozen_percent is None and state.pitched_at is not None:
        state.spent_frozen_percent, state.g0_frozen = spent_percent, g0


def _rack(state: State, entry: records.Rack) -> None:
    if any(lot.pulled_at is None for lot in state.fruit):
        fruit_out(state, entry.at, None if entry.volume_l is None else 0.0)
    if entry.volume_l is not None:
        state.ledger.keep_volume(entry.volume_l)
        state.volume_known = True
    if entry.into is not None:
        into = named_container(entry.into, state.measures.containers)
        state.container, state.capacity_l = into.name, into.capacity_l
        if into.capacity_l is None:
            state.notes.append(f"container {entry.into[:60]!r} is not in cellar.toml: its size is not known")
        elif not into.plain and into.name not in state.measures.containers:
            state.named_containers.append(RoomOf(into.name, into.capacity_l))
    if state.pitched_at is None:
        return  # a must drawn off its solids before pitching has no ferment behind it
    state.racked_at = entry.at
    state.first_racked_at = state.first_racked_at or entry.at
    state.rackings += 1


def _filter(state: State, entry: records.Filter) -> None:
    """The pad and the hoses keep some. It takes out most yeast and not all, so it stabilises nothing."""
    if entry.loss_l:
        state.ledger.keep_volume(state.ledger.liquid_l() - entry.loss_l)


def _forced_test(state: State, entry: records.ForcedTest) -> None:
    """A sample that stopped in the warm shows how far all of it can go; one too cold or too short shows nothing."""
    cold = entry.temp_c is not None and entry.temp_c < FORCED_LEAST_C
    short = entry.days is not None and entry.days < FORCED_LEAST_DAYS
    if cold or short:
        least = f"{FORCED_LEAST_DAYS:g} days at {FORCED_LEAST_C:g} °C or more"
        state.notes.append(f"forced test of {entry.at:%d %b %Y}: it proves nothing in less than {least}")
        return
    state.forced_sg = entry.sg


def _top_up(state: State, entry: records.TopUp) -> None:
    brought = brought_by_top_up(entry, state.moisture_percent(), _there(state))
    if brought.note:
        state.notes.append(brought.note)
    if entry.from_ is not None:
        state.live_in_at = entry.at
    _pour(state, entry, brought)


def _level(state: State, entry: records.Level) -> None:
    state.ledger.keep_volume((entry.volume_l or 0.0) - state.ledger.pulp_l())
    state.volume_known = True


def _sulfite(state: State, entry: records.Sulfite) -> None:
    _note_ph(state, entry.ph, entry.at)
    litres = state.ledger.liquid_l()
    if not state.volume_known or litres <= 0.0:
        state.notes.append("sulfite into an unknown volume: its mg/L cannot be reckoned")
        return
    milligrams = 1000.0 * (entry.metabisulfite_g or 0.0) * SO2_SHARE[entry.salt or "potassium"]
    state.sulfite.append(GivenSulfite(entry.at, milligrams / litres))


def _sorbate(state: State, entry: records.Sorbate) -> None:
    _note_ph(state, entry.ph, entry.at)
    state.sorbate_at = entry.at
    litres = state.ledger.liquid_l()
    if state.volume_known and litres > 0.0:
        state.sorbate_mg_per_l += 1000.0 * (entry.sorbate_g or 0.0) / litres


def _note_ph(state: State, ph: float | None, at: datetime) -> None:
    if ph is not None:
        state.ph, state.ph_at = ph, at


def _split(state: State, entry: records.Split) -> None:
    litres = state.ledger.liquid_l()
    if entry.into:
        state.children.append(entry.into)
    if litres <= 0.0:
        return
    kept = 1.0 - min(litres, entry.volume_l or 0.0) / litres
    state.ledger.keep_share(kept)
    # The nutrient that was given went with the must, so that the ceiling a litre stays what it was.
    state.dap_g *= kept
    state.autolysate_g *= kept
    state.complex_g *= kept


def _receive(state: State, entry: records.Receive) -> None:
    poured = Must(entry.water_g or 0.0, entry.sugar_g or 0.0, entry.ethanol_g or 0.0)
    state.volume_known = state.volume_known or state.ledger.empty
    state.parent = state.parent or entry.from_
    first = state.ledger.empty
    if not first and not (entry.so2_mg and entry.sorbate_mg):
        state.live_in_at = entry.at
    if state.pitched_at is None and isinstance(entry.pitched, datetime):
        state.pitched_at = min(entry.pitched, entry.at)  # the same ferment in another glass: it keeps its days
    elif state.pitched_at is None and poured.ethanol_g > 0.0:
        state.pitched_at = entry.at  # what ferments has been pitched, wherever that was written down
    _sugar_in(state, entry, poured)
    state.dap_g += entry.dap_g or 0.0
    state.autolysate_g += entry.autolysate_g or 0.0
    state.complex_g += entry.complex_g or 0.0
    if first and not state.ledger.empty:
        _stabilised_along(state, entry)
        if state.pitched_at is not None and state.og is None:
            state.og = state.ledger.unfermented().sg
        if state.pitched_at is not None and state.pitched_at < entry.at:
            state.poured_at, state.poured_sg = entry.at, state.ledger.must().sg
        # What was poured off is where this vessel begins, not an addition to something.
        state.last_addition_at = state.last_sugar_at = None
        state.changes.clear()


def _stabilised_along(state: State, entry: records.Receive) -> None:
    # Only where the vessel begins with it: a dash of stabilised mead in another one stabilises nothing.
    litres = state.ledger.liquid_l()
    if entry.sweetened_g:  # what was sweetened there did not stop sweet by itself here
        state.ledger.sweetened_g = entry.sweetened_g
        state.ledger.fermented_then_g = state.ledger.fermented_g
    if entry.so2_mg:
        state.sulfite.append(GivenSulfite(entry.at, entry.so2_mg / litres))
    if entry.sorbate_mg:
        state.sorbate_at = entry.at
        state.sorbate_mg_per_l += entry.sorbate_mg / litres


def _bottle(state: State, entry: records.Bottle) -> None:
    state.lots.append(
        Lot(
            entry.key, entry.at, entry.count or 0, entry.size_ml or 0.0, entry.glass or "still", entry.closure,
            entry.priming_g or 0.0, entry.priming_kind, 0, 0, _place(entry),
        )
    )  # fmt: skip
    state.left_l = 0.0 if entry.rest else entry.left_l or 0.0
    if entry.left_l:
        state.ledger.keep_volume(entry.left_l)


def _place(entry: Entry) -> str | None:
    place = entry.extra.get("place")
    return place if isinstance(place, str) else None


def _open(state: State, entry: records.Open) -> None:
    wanted = entry.count or 1
    for at, lot in enumerate(state.lots):
        if entry.size_ml is not None and lot.size_ml != entry.size_ml:
            continue
        taken = min(wanted, lot.bottles - lot.opened)
        burst = taken if entry.why == "burst" else 0
        state.lots[at] = lot._replace(opened=lot.opened + taken, burst=lot.burst + burst)
        wanted -= taken
    if wanted:
        state.notes.append(f"{wanted} more opened than were ever bottled")


def _skip(state: State, entry: records.Skip) -> None:
    """Who leaves out the bottling of a rest has drunk it or poured it away."""
    if entry.task == BOTTLE_REST and state.lots:
        state.left_l = 0.0
    if entry.task == KEEP_TASK:
        state.keep = "glass"  # who does not choose leaves the honey out


def _chore(state: State, entry: records.Chore) -> None:
    state.keep = chosen_by(entry.what, entry.task) or state.keep
    state.fed = fed_from(entry.what) or state.fed


def _end(state: State, entry: records.End) -> None:
    state.ended_sg, state.ended_at = entry.sg, entry.at


def _heat(state: State, entry: records.Heat) -> None:
    _warmth(state, entry.at, entry.temp_c)


def _chill(state: State, entry: records.Chill) -> None:
    _warmth(state, entry.at, entry.temp_c)


def _warmth(state: State, at: datetime, temp_c: float | None) -> None:
    if temp_c is not None:
        state.temps.append(Temperature(at, temp_c))


def _empty(state: State, entry: records.Empty) -> None:
    state.emptied_at = entry.at


EFFECTS: dict[str, Callable[[State, Any], None]] = {
    "mix": _mix,
    "pitch": _pitch,
    "dose": _dose,
    "read": take_reading,
    "add": _add,
    "fruit": fruit_in,
    "pull": _pull,
    "feed": _feed,
    "rack": _rack,
    "filter": _filter,
    "forced_test": _forced_test,
    "top_up": _top_up,
    "level": _level,
    "heat": _heat,
    "chill": _chill,
    "sulfite": _sulfite,
    "sorbate": _sorbate,
    "sweeten": _sweeten,
    "split": _split,
    "receive": _receive,
    "bottle": _bottle,
    "open": _open,
    "skip": _skip,
    "chore": _chore,
    "end": _end,
    "empty": _empty,
}
