"""TOML that was found sound before, kept as JSON: a start on known files needs no parser and no examination."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date, datetime, time
from decimal import Decimal
from functools import lru_cache, partial
from typing import Any

from fermtui.cellar.cache import Cache
from fermtui.daybook.problem import Problem
from fermtui.daybook.settings import Settings, read_settings
from fermtui.daybook.toml_file import parse_toml
from fermtui.schedule.parser import Result, schedule_from, sound_schedule
from fermtui.schedule.steps import Schedule

_READ: dict[str, Callable[[str], object]] = {
    "Decimal": Decimal,
    "datetime": datetime.fromisoformat,
    "date": date.fromisoformat,
    "time": time.fromisoformat,
}


def cached_settings(cache: Cache, data: bytes) -> tuple[Settings, tuple[Problem, ...]]:
    """What `read_settings` makes of these bytes."""
    if not data:
        return read_settings(data)
    known = cache.get("settings", data, read=partial(_sound_settings, data))
    if known is not None:
        return known, ()
    settings, problems = read_settings(data)
    if not problems and not settings.unknown:
        cache.put("settings", lambda: table_text(parse_toml(data)), data)
    return settings, problems


def _sound_settings(data: bytes, text: str) -> Settings | None:
    table = table_from(text)
    settings, problems = read_settings(data, lambda _: table)
    return None if problems or settings.unknown else settings


def cached_schedule(cache: Cache, data: bytes, path: str) -> Result:
    """What `schedule_from` makes of these bytes; `path` as problems shall name it."""
    known = cache.get("schedule", data, read=partial(_sound_schedule, data, path))
    if known is not None:
        return known, ()
    result = schedule_from(data, path)
    if result[0] is not None:
        cache.put("schedule", lambda: table_text(parse_toml(data)), data)
    return result


@lru_cache(maxsize=64)
def _sound_schedule(data: bytes, path: str, text: str) -> Schedule | None:
    return sound_schedule(table_from(text), data, path)


def table_text(table: dict[str, Any]) -> str | None:
    """A table of TOML as JSON, from which `table_from` makes the same one; None where that cannot be."""
    try:
        return json.dumps(_plain(table), separators=(",", ":"))
    except (ValueError, RecursionError):
        return None


def table_from(text: str) -> dict[str, Any]:
    """The table that `table_text` was given. Raises ValueError, TypeError, LookupError or ArithmeticError for a text
    that is none of its own.
    """
    table = json.loads(text, object_hook=_typed)
    if not isinstance(table, dict):
        raise TypeError("no table")
    return table


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
    if None in table.values() or any(None in value for value in table.values() if isinstance(value, list)):
        raise ValueError("TOML has no null")
    if "" not in table:
        return table
    kind, text = table[""]
    if type(text) is not str:
        raise TypeError("no text")
    return _READ[kind](text)
