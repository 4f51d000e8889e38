"""What has been used of the stock since it was counted, in every vessel, at work or put away."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime, timedelta, tzinfo
from typing import NamedTuple

from fermtui.daybook.entry import Entry
from fermtui.daybook.lines import read_lines
from fermtui.daybook.places import DAYBOOK, PAST, VESSELS, Cellar, past_names, vessel_names
from fermtui.daybook.strikes import live
from fermtui.daybook.vessel_bytes import vessel_bytes
from fermtui.must.fruit import UnknownFruit, fruit

_DAY = re.compile(rb"(\d{4}-\d{2}-\d{2})[Tt ]")


class StockItem(NamedTuple):
    """One thing on the shelf: `what` is honey, dap, fruit, bottle, closure ...; `kind` narrows it down (plum, 750)."""

    what: str
    kind: str = ""


class Use(NamedTuple):
    """So much of an item, in its unit: grams, or pieces."""

    item: StockItem
    amount: float


ANY_CLOSURE = StockItem("closure")
"""Where nobody said with what: a plan does not know it yet."""


def bottle_item(size_ml: float, glass: str | None) -> StockItem:
    """Bottles of one size and glass; still where nothing is said."""
    return StockItem("bottle", f"{size_ml:g} mL" if glass in (None, "still") else f"{size_ml:g} mL {glass}")


def fruit_item(kind: str) -> StockItem:
    """Fruit under the name of the table, so that plums and plum are one; what is not in it keeps its own."""
    try:
        found = fruit(kind)
    except UnknownFruit:
        return StockItem("fruit", " ".join(kind.casefold().split()))
    return StockItem("fruit", found.counted_for or found.name)


def closure_item(kind: str) -> StockItem:
    """A closure by its name, however it is written: screw cap, screw-cap and screw_cap are one."""
    return StockItem("closure", re.sub(r"[\s-]+", "_", kind.strip().casefold()))


_GRAMS = {
    "honey_g": "honey", "yeast_g": "yeast", "dap_g": "dap", "autolysate_g": "autolysate", "complex_g": "complex",
    "metabisulfite_g": "metabisulfite", "sorbate_g": "sorbate",
}  # fmt: skip


def uses(did: str, fields: Mapping[str, object]) -> Iterator[Use]:
    """What an act takes off the shelf, by the fields of its entry, written or planned."""
    if did == "fruit":
        if fields.get("kind") and fields.get("mass_g"):
            yield Use(fruit_item(str(fields["kind"])), _number(fields["mass_g"]))
    elif did == "bottle":
        yield from _bottled(fields)
    elif did == "add":
        if str(fields.get("what")).strip().casefold() == "honey" and fields.get("mass_g"):
            yield Use(StockItem("honey"), _number(fields["mass_g"]))
    else:
        for name, what in _GRAMS.items():
            if fields.get(name):
                yield Use(StockItem(what), _number(fields[name]))


def _bottled(fields: Mapping[str, object]) -> Iterator[Use]:
    if fields.get("count") and fields.get("size_ml"):
        count, glass = _number(fields["count"]), fields.get("glass")
        yield Use(bottle_item(_number(fields["size_ml"]), None if glass is None else str(glass)), count)
        yield Use(closure_item(str(fields["closure"])) if fields.get("closure") else ANY_CLOSURE, count)
    if fields.get("priming_kind") == "honey" and fields.get("priming_g"):
        yield Use(StockItem("honey"), _number(fields["priming_g"]))


def _number(value: object) -> float:
    return float(str(value))


def used_since(cellar: Cellar, counted: date, now: datetime, zone: tzinfo) -> dict[StockItem, float]:
    """What all vessels have used after the day of counting, up to the clock, by item. Struck entries do not count."""
    used: dict[StockItem, float] = {}
    for entry in entries_since(cellar, counted, zone):
        if entry.at <= now:
            for item, amount in uses(entry.did, entry.written):
                used[item] = used.get(item, 0.0) + amount
    return used


def entries_since(cellar: Cellar, day: date, zone: tzinfo) -> Iterator[Entry]:
    """The standing entries of every vessel that happened after `day`, without parsing the older ones."""
    places = [(VESSELS, name) for name in vessel_names(cellar)] + [(PAST, name) for name in past_names(cellar)]
    for place, name in places:
        data = since(vessel_bytes(cellar, name, place).daybook, day)
        if data:
            entries, _problems = read_lines(data, f"{place}/{name}/{DAYBOOK}")
            standing, _struck, _faults = live(entries)
            yield from (entry for entry in standing if entry.at.astimezone(zone).date() > day)


def since(daybook: bytes, day: date) -> bytes:
    """The lines that may hold an entry of this day or later, and every strike; empty when there is no such entry.

    A line is kept when any date in it is late enough, one day of slack for its offset included.
    """
    first = (day - timedelta(days=1)).isoformat().encode()
    if not _any_from(first, _DAY.findall(daybook)):
        return b""
    lines = [line for line in daybook.split(b"\n") if _any_from(first, _DAY.findall(line)) or b"strike" in line]
    return b"\n".join(lines)


def _any_from(first: bytes, days: Iterable[bytes]) -> bool:
    return any(found >= first for found in days)
