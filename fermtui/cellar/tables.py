"""TOML that was read before, kept as JSON in the cache: a start on known files then needs no parser for them."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date, datetime, time
from decimal import Decimal
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from fermtui.cellar.cache import Cache

_READ: dict[str, Callable[[str], object]] = {
    "Decimal": Decimal,
    "datetime": datetime.fromisoformat,
    "date": date.fromisoformat,
    "time": time.fromisoformat,
}


def table_of(data: bytes, cache: Cache | None) -> dict[str, Any]:
    """What `parse_toml` makes of these bytes, from the cache where they are known. Raises Malformed."""
    from fermtui.cellar.cache import content_key

    if cache is None or not data:
        return _parsed(data)
    key = content_key(b"table", data)
    known = cache.get(key)
    if isinstance(known, str) and (table := table_from(known)) is not None:
        return table
    table = _parsed(data)
    text = table_text(table)
    if text is not None:
        cache.put(key, text)
    return table


def _parsed(data: bytes) -> dict[str, Any]:
    if not data:
        return {}
    from fermtui.daybook.toml_file import parse_toml

    return parse_toml(data)


def table_text(table: dict[str, Any]) -> str | None:
    """A table of TOML as JSON, from which `table_from` makes the same one; None where that cannot be."""
    try:
        return json.dumps(_plain(table), separators=(",", ":"))
    except (ValueError, RecursionError):
        return None


def table_from(text: str) -> dict[str, Any] | None:
    """The table that `table_text` was given; None where the text is none of its own."""
    try:
        table = json.loads(text, object_hook=_typed)
    except (ValueError, TypeError, KeyError, ArithmeticError, RecursionError):
        return None
    return table if isinstance(table, dict) else None


def _plain(value: object) -> object:
    # JSON has no such values: they stand as a table whose only name is empty. TOML may have that name, if quoted.
    if isinstance(value, dict):
        if "" in value:
            raise ValueError("an empty name is taken")
        return {name: _plain(one) for name, one in value.items()}
    if isinstance(value, list):
        return [_plain(one) for one in value]
    if isinstance(value, Decimal):
        return {"": ["Decimal", str(value)]}
    if isinstance(value, date | time):  # a datetime is a date
        return {"": [type(value).__name__, value.isoformat()]}
    return value


def _typed(table: dict[str, Any]) -> object:
    if "" not in table:
        return table
    kind, text = table[""]
    return _READ[kind](text)
