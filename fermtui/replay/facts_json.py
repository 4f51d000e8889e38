"""Facts to plain JSON values and back, for the disposable cache. Times keep their offset; nothing is rounded."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from fermtui.replay.facts import Act, Facts, FruitLot, GivenSulfite, Lot, Pending, Reading, SugarChange

_TIMES = ("first_at", "last_at", "mixed_at", "pitched_at", "poured_at", "last_addition_at", "last_sugar_at",
          "sorbate_at", "racked_at", "first_racked_at", "emptied_at", "ph_at")  # fmt: skip
# Each list of rows: the row's type and the places of times in it.
_ROWS: dict[str, tuple[Any, tuple[int, ...]]] = {
    "pending": (Pending, (0, 1)),
    "readings": (Reading, (1,)),
    "acts": (Act, (1, 5)),
    "changes": (SugarChange, (0,)),
    "fruit": (FruitLot, (1, 8)),
    "sulfite": (GivenSulfite, (0,)),
    "lots": (Lot, (1,)),
}
_NAMES = Facts._fields


def facts_to_json(facts: Facts) -> list[Any]:
    """One list, a value a field, in the order of the fields."""
    return [_out(getattr(facts, name)) for name in _NAMES]


def _out(value: Any) -> Any:
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, tuple):
        return [_out(part) for part in value]
    return value


def facts_from_json(values: list[Any]) -> Facts:
    """The facts again. Raises TypeError, ValueError or IndexError for anything that facts_to_json did not write."""
    if len(values) != len(_NAMES):
        raise ValueError("not the facts of this version")
    found = dict(zip(_NAMES, values, strict=True))
    read = datetime.fromisoformat
    for name in _TIMES:
        if found[name] is not None:
            found[name] = read(found[name])
    for name, (row, times) in _ROWS.items():
        rows = []
        for stored in found[name]:
            cells = list(stored)  # the stored value stays as it is: the cache writes it again
            for at in times:
                if cells[at] is not None:
                    cells[at] = read(cells[at])
            rows.append(row(*cells))
        found[name] = tuple(rows)
    found["children"] = tuple(found["children"])
    found["notes"] = tuple(found["notes"])
    return Facts(**found)
