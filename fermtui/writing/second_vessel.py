"""A second vessel from the same must: one line of text -> what is wanted of it."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from fermtui import units
from fermtui.must.fruit import is_fruit, treatments
from fermtui.units import Unreadable
from fermtui.writing.wanted import Second, Wanted

if TYPE_CHECKING:
    from fermtui.units import Units

LIKE = "Sloe, 4 L, 500 g sloe frozen, in Demijohn 5"
_PARTS = re.compile(r"\s*;\s*|\s*,\s+")  # a comma without a blank after it is a decimal comma
_AMOUNT = re.compile(r"([\d.,]+\s*[^\d\s]+)\s*(.*)\Z", re.DOTALL)
_SIZE = re.compile(r"[\d.,]+ *[a-zA-Z]{1,7}\Z")


def read_second(text: str, known: Units) -> Second:
    """`Sloe, 4 L, 500 g sloe frozen, in Demijohn 5`: a name, then litres, fruit and container in any order.

    Raises Unreadable with one sentence.
    """
    name, *parts = (part for part in _PARTS.split(text.strip()) if part)
    found = Second(name)
    for part in parts:
        found = _with(found, part, known)
    return found


def _with(found: Second, part: str, known: Units) -> Second:
    lowered = part.casefold()
    if lowered.startswith("in "):
        where = part[3:].strip()
        if _SIZE.match(where):
            return replace(found, capacity_l=units.volume_l(where, known))
        return replace(found, container=where)
    amount = _AMOUNT.match(part)
    if amount is None:
        return _with_fruit(found, part, None)
    if amount[2]:
        return _with_fruit(found, amount[2], units.mass_g(amount[1], known))
    return replace(found, volume_l=units.volume_l(amount[1], known))


def _with_fruit(found: Second, words: str, mass_g: float | None) -> Second:
    kind, _, last = words.rpartition(" ")
    treatment = last.casefold() if kind and last.casefold() in {one.key for one in treatments()} else None
    fruit = kind.strip() if treatment else words.strip()
    if not is_fruit(fruit):
        raise Unreadable(f"{fruit[:40]!r} is no fruit, volume or container: write the second vessel like {LIKE}")
    return replace(found, fruit=fruit, fruit_g=mass_g, treatment=treatment)


def own_part_l(wanted: Wanted, second: Second) -> float:
    """The litres that the first vessel keeps. Raises Unreadable where nothing would be left."""
    gone_l = part_l(wanted, second)
    if not 0.0 < gone_l < wanted.volume_l:
        raise Unreadable(
            f"{gone_l:.4g} L of {wanted.volume_l:.4g} L leave nothing for one of the two: give the second vessel less"
        )
    return wanted.volume_l - gone_l


def part_l(wanted: Wanted, second: Second) -> float:
    """The litres that are poured into the second vessel."""
    return wanted.volume_l / 2.0 if second.volume_l is None else second.volume_l


def wanted_of(wanted: Wanted, second: Second, gravity: float, *, fed: bool) -> Wanted:
    """What is wanted of the second vessel, by what is wanted of the first: same must, yeast and end, and the same
    schedule where both have fruit or none. `fed`: that schedule leads to a strength by feeds.
    """
    litres = part_l(wanted, second)
    share = litres / wanted.volume_l
    alike = bool(wanted.fruit) is bool(second.fruit)
    return replace(
        wanted,
        name=second.name,
        folder=None,
        volume_l=litres,
        gravity=gravity,
        abv_percent=wanted.abv_percent if fed and alike else None,
        schedule=wanted.schedule if alike else None,
        juice_l=None if wanted.juice_l is None else wanted.juice_l * share,
        fruit=second.fruit,
        fruit_g=second.fruit_g,
        treatment=second.treatment,
        container=second.container,
        capacity_l=second.capacity_l,
        second=None,
    )
