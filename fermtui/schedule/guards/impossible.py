"""Reject entries that cannot be true, whatever reason is given."""

from __future__ import annotations

from fermtui.daybook.kinds import kind_of
from fermtui.must.fruit import UnknownFruit, fruit
from fermtui.replay.additions import words_of
from fermtui.replay.keeping import BY_CHORE, KEEP_TASK, chosen_by
from fermtui.replay.stage import bottles_left, is_empty
from fermtui.schedule.guards.case import Case, Finding, Point, Value
from fermtui.schedule.guards.vessel_state import has_must, liquid_l

MAY_BE_BELOW_NOTHING = frozenset({"temp_c", "brix", "sg"})
FILL_SLACK = 1.02
"""A bottle may be filled 2 % above its name (27 CFR 24.255(b), for 750 mL)."""
SLACK_L = 0.05
OWN_KIND = {
    "sulfite": frozenset({"sulfite", "sulphite", "sulfites", "sulphites", "metabisulfite", "metabisulphite",
                          "bisulfite", "bisulphite"}),
    "sorbate": frozenset({"sorbate"}),
    "dose": frozenset({"dap", "phosphate", "diammonium", "autolysate"}),
}  # fmt: skip
MUCH_FRUIT_G = 200.0
MUCH_FRUIT_G_PER_L = 50.0
"""Less is a spice, as zest or a handful of raisins: our limit, no source."""


def impossible(key: str, observed: Point, remedy: Point) -> Finding:
    """Return a finding of this kind."""
    return Finding("impossible", key, observed, None, remedy)


def below_nothing(case: Case) -> Finding | None:
    """Reject negative bottles, grams or litres, and a bottling of no bottles."""
    for name in case.fields:
        value = case.number(name)
        least = 1.0 if name == "count" else 0.0
        if value is not None and value < least and name not in MAY_BE_BELOW_NOTHING:
            observed = Point("below_nothing", {"field": name, "value": value, "least": least})
            return impossible("below_nothing", observed, Point("give_amount", {"field": name}))
    return None


def no_must(case: Case) -> Finding | None:
    """Reject a dose, a racking and the like before there is a must."""
    if kind_of(case.did).contents not in ("must", "ferment") or has_must(case.facts, case.at):
        return None
    begun = case.facts.mixed_at or case.facts.pitched_at
    observed = Point("no_must", {"did": case.did, "at": case.at, "mixed_at": begun})
    return impossible("no_must", observed, Point("write_mix_first"))


def before_pitching(case: Case) -> Finding | None:
    """Reject what needs a ferment, dated before the yeast went in."""
    pitched = case.facts.pitched_at
    came_with_yeast = pitched is None and case.facts.parent is not None and case.facts.fermented_g > 0.0
    if kind_of(case.did).contents != "ferment" or came_with_yeast or (pitched is not None and case.at >= pitched):
        return None
    observed = Point("before_pitching", {"did": case.did, "at": case.at, "pitched_at": pitched})
    return impossible("before_pitching", observed, Point("write_pitch_first"))


def bottled_already(case: Case) -> Finding | None:
    """Reject anything into or out of an empty vessel."""
    if kind_of(case.did).contents == "any" or not is_empty(case.facts):
        return None
    values: dict[str, Value] = {"did": case.did, "bottles": sum(lot.bottles for lot in case.facts.lots)}
    return impossible("bottled_already", Point("bottled_already", values), Point("measure_level"))


def more_bottled(case: Case) -> Finding | None:
    """Reject more bottles than there is mead."""
    count, size_ml, left_l = case.number("count"), case.number("size_ml"), case.number("left_l") or 0.0
    held_l = liquid_l(case.facts)
    if case.did != "bottle" or count is None or size_ml is None or held_l is None:
        return None
    out_l = count * size_ml / 1000.0 + left_l
    if out_l <= held_l * FILL_SLACK + SLACK_L:
        return None
    values: dict[str, Value] = {
        "count": int(count), "size_ml": size_ml, "left_l": left_l, "out_l": out_l, "held_l": held_l,
    }  # fmt: skip
    return impossible("more_out_than_in", Point("more_bottled", values), Point("measure_level"))


def more_out(case: Case) -> Finding | None:
    """Reject more poured off, lost or sampled than there is, or more after a racking than before it."""
    held_l = liquid_l(case.facts)
    name = kind_of(case.did).takes_out
    given = case.number(name) if name else None
    if held_l is None or given is None:
        return None
    out_l = given / 1000.0 if name == "sample_ml" else given
    if out_l <= held_l * FILL_SLACK + SLACK_L:
        return None
    observed = Point("more_out", {"did": case.did, "out_l": out_l, "held_l": held_l})
    return impossible("more_out_than_in", observed, Point("measure_level"))


def more_opened(case: Case) -> Finding | None:
    """Reject more bottles opened than are left, of that size where one is given."""
    if case.did != "open":
        return None
    size_ml, count = case.number("size_ml"), case.number("count")
    lots = case.facts.lots if size_ml is None else tuple(lot for lot in case.facts.lots if lot.size_ml == size_ml)
    left = sum(max(0, lot.bottles - lot.opened) for lot in lots)
    wanted = 1 if count is None else int(count)
    if wanted <= left:
        return None
    observed = Point("more_opened", {"count": wanted, "left": left, "size_ml": size_ml})
    return impossible("more_out_than_in", observed, Point("write_bottling_first"))


def unknown_container(case: Case) -> Finding | None:
    """Reject a racking into a container whose size is not known, or was said to be another one than in cellar.toml."""
    into = case.racked_into
    if case.did != "rack" or into is None:
        return None
    if into.listed_l is not None:
        observed = Point("other_size", {"into": into.name, "capacity_l": into.listed_l})
        return impossible("unknown_container", observed, Point("leave_size_out", {"into": into.name}))
    if into.capacity_l is not None:
        return None
    observed = Point("unknown_container", {"into": into.name})
    return impossible("unknown_container", observed, Point("list_container", {"free": _free(case), "name": into.name}))


def taken_container(case: Case) -> Finding | None:
    """Reject a racking into a container that another vessel is in."""
    into = case.racked_into
    if case.did != "rack" or into is None or into.plain or into.name not in case.others:
        return None
    observed = Point("taken_container", {"into": into.name})
    return impossible("full_container", observed, Point("take_free_container", {"free": _free(case)}))


def _free(case: Case) -> tuple[str, ...]:
    return tuple(sorted(name for name in case.containers if name not in case.others and name != case.facts.container))


def small_container(case: Case) -> Finding | None:
    """Reject a racking of more than the container holds."""
    into, after_l = case.racked_into, case.number("volume_l")
    if case.did != "rack" or after_l is None:
        return None
    capacity_l = case.facts.capacity_l if into is None else into.capacity_l
    if capacity_l is None or after_l <= capacity_l * FILL_SLACK:
        return None
    roomy = tuple(sorted(n for n, holds_l in case.containers.items() if holds_l >= after_l and n not in case.others))
    name = case.facts.container if into is None else into.name
    observed = Point("small_container", {"into": name, "out_l": after_l, "capacity_l": capacity_l})
    return impossible("full_container", observed, Point("take_free_container", {"free": roomy}))


def with_itself(case: Case) -> Finding | None:
    """Reject a blend of a vessel with itself, or a split into itself."""
    other = case.text("into") if case.did == "split" else case.text("from")
    if case.did not in ("split", "receive", "top_up") or other is None or other != case.vessel:
        return None
    observed = Point("with_itself", {"vessel": other, "did": case.did})
    return impossible("with_itself", observed, Point("name_another_vessel"))


def nothing_to_pull(case: Case) -> Finding | None:
    """Reject the pulling of fruit where none is in."""
    if case.did != "pull" or case.text("what") != "fruit" or case.facts.fruit_in:
        return None
    pulled = [lot.pulled_at for lot in case.facts.fruit if lot.pulled_at is not None]
    observed = Point("nothing_to_pull", {"pulled_at": max(pulled) if pulled else None})
    return impossible("nothing_to_pull", observed, Point("write_fruit_first"))


def unknown_way(case: Case) -> Finding | None:
    """Reject an answer to how it is to be kept sweet that names none of the ways."""
    if case.did != "chore" or case.text("task") != KEEP_TASK or chosen_by(case.text("what"), KEEP_TASK):
        return None
    return Finding("impossible", "unknown_way", Point("unknown_way", {"named": case.text("what") or "nothing"}), None,
                   Point("name_a_way", {"of": tuple(BY_CHORE)}))  # fmt: skip


def heat_of_nothing(case: Case) -> Finding | None:
    """Reject the heating or chilling of an empty vessel without bottles."""
    if case.did not in ("heat", "chill") or bottles_left(case.facts) or not is_empty(case.facts):
        return None
    return impossible("vessel_empty", Point("holds_nothing", {"did": case.did}), Point("measure_level"))


def has_its_own_kind(case: Case) -> Finding | None:
    """Reject sulfite, sorbate, nutrient or much fruit written as an addition, past the guards of its kind."""
    what = case.text("what") if case.did == "add" else None
    did = None if what is None else _own_kind(what, case.number("mass_g") or 0.0, liquid_l(case.facts))
    if did is None:
        return None
    observed = Point("has_its_own_kind", {"what": what, "did": did})
    return impossible("has_its_own_kind", observed, Point("write_its_kind", {"as": did}))


def _own_kind(what: str, mass_g: float, litres: float | None) -> str | None:
    words = words_of(what)
    named = next((did for did, names in OWN_KIND.items() if words & names), None)
    much_g = MUCH_FRUIT_G if litres is None else MUCH_FRUIT_G_PER_L * litres
    if named is not None or mass_g < much_g:
        return named
    try:
        return "fruit" if fruit(what) else None
    except UnknownFruit:
        return None
