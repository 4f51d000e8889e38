"""Guards of what goes in under a name of its own: sugar that nobody knows of, and what ends a stabilising."""

from __future__ import annotations

from fermtui.replay.additions import asks_for_sugar
from fermtui.replay.stabilised import stabilised_at
from fermtui.schedule.guards.case import Case, Finding, Point


def how_much_sugar(case: Case) -> Finding | None:
    """Ask for the sugar of an addition above 50 g or 50 mL that the table of substances does not know."""
    what = case.text("what") or case.text("with")
    litres, told = case.number("volume_l"), case.number("sugar_g")
    if what is None or not asks_for_sugar(what, case.number("mass_g"), litres, told):
        return None
    if case.did == "top_up" and (case.number("sg") is not None or case.number("abv_percent") is not None):
        return None
    remedy = Point("give_sugar_g" if case.did == "add" else "give_its_gravity")
    return Finding("advice", "how_much_sugar", Point("not_in_the_table", {"what": what}), Point("any_sugar"), remedy)


def ends_stabilising(case: Case) -> Finding | None:
    """Advise against yeast, its food or mead of another vessel in a mead that was stabilised."""
    if stabilised_at(case.facts) is None:
        return None
    other = case.text("from")
    if case.did == "top_up" and other is None:
        return None
    if case.did == "receive" and case.number("so2_mg") and case.number("sorbate_mg"):
        return None
    observed = Point("was_stabilised", {"did": case.did, "other": other})
    return Finding("advice", "ends_stabilising", observed, Point("live_yeast_again"), Point("stabilise_again"))
