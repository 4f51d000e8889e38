"""Which guards stand before which kind of entry."""

from __future__ import annotations

from collections.abc import Callable

from fermtui.schedule.guards import (
    bottling,
    fruit,
    impossible,
    nitrogen,
    pitching,
    priming,
    racking,
    room,
    sealing,
    stabilising,
    torn,
)
from fermtui.schedule.guards import dose_size as feeding
from fermtui.schedule.guards.case import Case
from fermtui.schedule.guards.finding import Finding

Guard = Callable[[Case], Finding | None]

IMPOSSIBLE: tuple[Guard, ...] = (
    impossible.below_nothing,
    impossible.with_itself,
    impossible.bottled_already,
    impossible.no_must,
    impossible.before_pitching,
    impossible.heat_of_nothing,
    impossible.more_bottled,
    impossible.more_out,
    impossible.more_opened,
    impossible.unknown_container,
    impossible.taken_container,
    impossible.small_container,
    impossible.nothing_to_pull,
    impossible.has_its_own_kind,
)

GUARDS: dict[str, tuple[Guard, ...]] = {
    "mix": (room.runs_over,),
    "pitch": (torn.unread, pitching.after_sulfite, pitching.hot_must),
    "dose": (
        nitrogen.too_strong,
        nitrogen.above_ceiling,
        feeding.beyond_need,
        nitrogen.past_third,
        feeding.above_plan,
        feeding.soon_after_last,
    ),
    "add": (sealing.live_ferment, room.runs_over),
    "level": (room.above_rim,),
    "fruit": (torn.unread, fruit.overflows, fruit.unknown_kind, fruit.hot_fruit, fruit.low_acid),
    "feed": (room.runs_over, pitching.beyond_tolerance),
    "rack": (racking.before_its_end, room.too_much_air),
    "top_up": (room.runs_over,),
    "heat": (
        torn.unread,
        sealing.heating_bottles,
    ),
    "chill": (sealing.heating_bottles,),
    "sulfite": (
        torn.unread,
        stabilising.sulfite_ceiling,
    ),
    "sorbate": (
        torn.unread,
        stabilising.sorbate_while_live,
        stabilising.sorbate_without_sulfite,
        stabilising.sorbate_unfit,
        stabilising.sorbate_ceiling,
    ),
    "sweeten": (room.runs_over, stabilising.sweeten_while_live),
    "receive": (room.runs_over,),
    "bottle": (
        torn.unread,
        bottling.not_ready,
        priming.after_sorbate,
        priming.in_still_glass,
        bottling.too_much_pressure,
        priming.closure_of_pressure,
        priming.closure_of_age,
    ),
    "chore": (sealing.live_ferment, sealing.heating_bottles),
}
