"""What a field of a form can take: shown while the cursor is in it, and offered while one types. No Textual."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from fermtui.daybook.kinds import KINDS
from fermtui.must.bottles import closures
from fermtui.must.fruit import fruit_names, treatments
from fermtui.units import GALLON_L, POUND_G, Units, show_number
from fermtui.wording.plain import plain

if TYPE_CHECKING:
    from fermtui.daybook.fields import Field
    from fermtui.tui.session import Session

ADDED = ("tartaric acid", "malic acid", "carbonate", "enzyme", "tannin", "finings", "oak", "spice", "water")
MONTHS_A_YEAR = 12
MORE = " and 99 more: type on"
TAKEN = "="


def narrowed(names: Iterable[str], typed: str, cells: int) -> str:
    """The names that go on from what is typed, in as much room as there is; how many more there are."""
    every = [*names]
    start = typed.strip().casefold()
    going_on = [name for name in every if name.casefold().startswith(start)] or every
    shown = list[str]()
    for name in going_on:
        if sum(len(one) + 2 for one in [*shown, name]) > cells - len(MORE):
            return ", ".join(shown) + f" and {len(going_on) - len(shown)} more: type on"
        shown.append(name)
    return ", ".join(shown)


def choices(session: Session, vessel: str, did: str, name: str) -> dict[str, str]:
    """The words that fit a field, each with what is to be known of it; empty where anything fits."""
    spec = KINDS[did].fields[name]
    if spec.reads == "one_of":
        return dict.fromkeys(spec.choices, "")
    if (did, name) == ("bottle", "closure"):
        return _closures()
    if name == "kind":
        return dict.fromkeys(fruit_names(), "")
    if name == "treatment":
        return dict.fromkeys((one.key for one in treatments()), "")
    if (did, name) == ("rack", "into"):
        return {plain(one.name, 40): "" for one in session.view.free_containers}
    if name == "from" or (did, name) == ("split", "into"):
        return {other: "" for other in session.store.names() if other != vessel}
    if (did, name) == ("add", "what"):
        return dict.fromkeys(ADDED, "")
    return {}


def choices_text(choices: dict[str, str], did: str, name: str, typed: str, cells: int) -> str:
    """The choices as one sentence; nothing where the empty field names them already."""
    if KINDS[did].fields[name].reads == "one_of":
        return ""
    listed = narrowed((f"{word} {known}".strip() for word, known in choices.items()), typed, cells)
    if (did, name) == ("split", "into"):
        return f"a new folder name starts a vessel; at work are {listed}" if listed else "a new folder name"
    if (did, name) == ("rack", "into"):
        return f"a size (5 L), a new one with its size (Jug, 5 L){', or free: ' + listed if listed else ''}"
    return listed


def _closures() -> dict[str, str]:
    """The closures with the age that each is good for, by the shorter of its spans."""
    return {one.key.replace("_", " "): _age(one.years_low) for one in closures()}


def _age(years: float) -> str:
    return f"{years:g} y" if years >= 1 else f"{years * MONTHS_A_YEAR:g} months"


def taken(value: str) -> str:
    """What an empty field shows where something is taken in its place."""
    return f"{TAKEN} {value}"


def example(value: str) -> str:
    """What an empty field shows where nothing is taken: how it may be typed."""
    return f"e.g. {value}" if value else ""


def field_label(did: str, name: str, units: Units) -> tuple[str, str]:
    """Label of a field in a form, and what an empty one shows: an example, or what is taken in its place."""
    field = KINDS[did].fields[name]
    if (did, name) == ("rack", "into"):
        return field.label, taken(field.example)
    return field.label, example(_example_of(field, units))


def _example_of(field: Field, units: Units) -> str:
    """The example of a field, with the maker's unit where it is another than that of a bare number."""
    bare = field.example.partition(",")[0]
    if field.unit == "°C" and units.temp == "F":
        return "68, or 20C"
    if field.reads == "number" and bare.replace(".", "", 1).isdigit():
        shown = bare.replace(".", ",") if units.decimal_comma else bare
        if field.unit == "g" and units.mass == "lb" and float(bare) >= POUND_G / 2:
            return f"{shown}, or {show_number(float(bare) / POUND_G, 1, units)}lb"
        if field.unit == "L" and units.volume == "gal":
            return f"{shown}, or {show_number(float(bare) / GALLON_L, 2, units)}gal"
        rest = field.example[len(bare) :]
        return shown + (rest.replace(".", ",") if units.decimal_comma else rest)
    return field.example


def unit_of(did: str, name: str, units: Units) -> str:
    """The unit in which a bare number counts in that field; empty where it has none."""
    unit = KINDS[did].fields[name].unit
    return "°F" if unit == "°C" and units.temp == "F" else unit
