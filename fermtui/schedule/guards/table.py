"""The guards of each kind of entry."""

from __future__ import annotations

from collections.abc import Callable

from fermtui.schedule.guards import (
    additions,
    bottling,
    dosing,
    ending,
    fermenting,
    fruit,
    impossible,
    priming,
    room,
    sealing,
    stabilising,
)
from fermtui.schedule.guards.case import Case, Finding, Point

Guard = Callable[[Case], Finding | None]


def unread_lines(case: Case) -> Finding | None:
    """Refuse while lines of the vessel's files cannot be read: one may be honey, sulfite or a bottling."""
    if not case.unread:
        return None
    return Finding(
        "refusal", "unread_lines", Point("unread_lines", {"unread": case.unread}), Point("may_matter"),
        Point("mend_lines", {"vessel": case.vessel}),
    )  # fmt: skip


IMPOSSIBLE: tuple[Guard, ...] = (
    impossible.below_nothing,
    impossible.with_itself,
    impossible.bottled_already,
    impossible.no_must,
    impossible.before_pitching,
    impossible.heat_of_nothing,
    impossible.unknown_way,
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
    "pitch": (
        unread_lines,
        fermenting.after_sulfite,
        fermenting.hot_must,
        fermenting.cold_must,
        fermenting.sour_must,
        fermenting.into_strong,
        additions.ends_stabilising,
    ),
    "read": (fermenting.sour_must,),
    "aerate": (fermenting.aerating_finished,),
    "dose": (
        dosing.too_strong,
        dosing.above_ceiling,
        dosing.beyond_need,
        dosing.past_third,
        dosing.above_plan,
        dosing.soon_after_last,
    ),
    "add": (sealing.live_ferment, room.runs_over, additions.how_much_sugar),
    "level": (room.above_rim,),
    "fruit": (unread_lines, fruit.overflows, fruit.unknown_kind, fruit.hot_fruit, fruit.low_acid),
    "feed": (room.runs_over, fermenting.beyond_tolerance, additions.ends_stabilising),
    "rack": (fermenting.before_its_end, room.too_much_air),
    "top_up": (room.runs_over, additions.how_much_sugar, additions.ends_stabilising),
    "heat": (
        unread_lines,
        sealing.heating_bottles,
        fermenting.heating_live,
    ),
    "chill": (sealing.heating_bottles,),
    "sulfite": (
        unread_lines,
        stabilising.sulfite_ceiling,
        stabilising.sulfite_while_live,
        stabilising.sulfite_short,
    ),
    "sorbate": (
        unread_lines,
        stabilising.sorbate_while_live,
        stabilising.sorbate_without_sulfite,
        stabilising.sorbate_unfit,
        stabilising.sorbate_ceiling,
        stabilising.sorbate_short,
    ),
    "sweeten": (room.runs_over, stabilising.sweeten_while_live),
    "receive": (room.runs_over, additions.ends_stabilising),
    "bottle": (
        unread_lines,
        bottling.not_ready,
        priming.after_sorbate,
        priming.in_still_glass,
        bottling.too_much_pressure,
        bottling.stopped_not_dry,
        bottling.plastic,
        priming.closure_of_pressure,
        priming.closure_of_age,
    ),
    "end": (ending.elsewhere, ending.still_falling),
    "chore": (sealing.live_ferment, sealing.heating_bottles),
}
