"""The fields of a new vessel: what each is called, an example, and what is taken while it stays empty. No Textual."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from fermtui.tui.hints import example, taken
from fermtui.units import Units, show_gravity, show_mass, show_number, show_volume
from fermtui.wording.plain import plain
from fermtui.writing.planning import DEFAULT_SCHEDULE, FRUIT_SCHEDULE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fermtui.writing.planning import Preview


class Field(NamedTuple):
    """One thing that may be wanted. `like` is an example; `unit` the kind of unit of a bare number."""

    name: str
    label: str
    like: str
    unit: str = ""


FIELDS: tuple[Field, ...] = (
    Field("name", "name", "Damson"),
    Field("volume_l", "volume", "4.2", "volume"),
    Field("strength", "gravity or % vol", "1.095 or 12%"),
    Field("end", "ends at", "1.000"),
    Field("sweet_to", "sweeten to", "1.012"),
    Field("container", "container or size", "5 L"),
    Field("schedule", "schedule", ""),
    Field("yeast", "yeast", "wine yeast"),
    Field("fruit", "fruit", "plum"),
    Field("fruit_g", "fruit, pitted", "500 g", "mass"),
    Field("treatment", "treated how", "frozen"),
    Field("co2_volumes", "sparkling", "2.5"),
    Field("second", "and a second", "Sloe, 500 g sloe"),
    Field("style", "style", "table mead"),
    Field("like", "copy of", ""),
)
NOTHING = {"sweet_to": "dry", "fruit": "none", "co2_volumes": "still", "second": "none", "like": "none"}
"""What no value means where it means something."""


def label_of(field: Field, units: Units) -> str:
    """Its label with the unit in which a bare number counts."""
    unit = {"volume": units.volume, "mass": units.mass}.get(field.unit, "")
    return f"{field.label}, {unit}" if unit else field.label


def hints(typed: Mapping[str, str], plan: Preview | None, units: Units, first: Mapping[str, str]) -> dict[str, str]:
    """What stands in each empty field: `= 1.000` is what the plan takes then, `e.g. plum` only an example.

    `first` names the first choice where there is a list of them.
    """
    used = _used(typed, plan, units)
    return {
        field.name: (
            taken(used[field.name]) if field.name in used else example(first.get(field.name) or _like(field, units))
        )
        for field in FIELDS
    }


def _like(field: Field, units: Units) -> str:
    """The example of a field in the maker's units."""
    return {
        "volume_l": show_volume(4.2, units).split()[0],
        "strength": f"{show_gravity(1.095, units)} or 12%",
        "end": show_gravity(1.0, units),
        "sweet_to": show_gravity(1.012, units),
        "container": show_volume(5.0, units).replace(".0 ", " ").replace(",0 ", " "),
        "fruit_g": show_mass(500.0, units),
        "co2_volumes": show_number(2.5, 1, units),
    }.get(field.name, field.like)


def _used(typed: Mapping[str, str], plan: Preview | None, units: Units) -> dict[str, str]:
    """What the plan takes for the fields that were left empty."""
    if plan is None:
        schedule = FRUIT_SCHEDULE if typed["fruit"] else DEFAULT_SCHEDULE
        found = {} if typed["like"] else {"end": show_gravity(1.0, units), "schedule": schedule, **NOTHING}
        return {**found, "like": NOTHING["like"]}
    head, meant = plan.head, plan.head.plan
    found = {"end": show_gravity(meant.end, units), "schedule": plain(head.schedule or "none", 40)}
    if meant.sweet_to is not None:
        found["sweet_to"] = show_gravity(meant.sweet_to, units)
    if meant.co2_volumes is not None:
        found["co2_volumes"] = show_number(meant.co2_volumes, 1, units)
    if meant.fruit is not None:
        found["fruit"] = plain(meant.fruit.kind, 40)
        if meant.fruit.mass_g is not None:
            found["fruit_g"] = show_mass(meant.fruit.mass_g, units)
        found["treatment"] = plain(meant.fruit.treatment or "raw", 40)
    if typed["like"]:  # then these come from the other vessel
        found |= {"name": plain(head.name, 40), "strength": show_gravity(plan.gravity, units)}
        if meant.volume_l is not None:
            found["volume_l"] = show_volume(meant.volume_l, units)
        for name, value in (("container", head.container), ("yeast", meant.yeast.name), ("style", head.style)):
            if value:
                found[name] = plain(value, 40)
    return {**NOTHING, **found}
