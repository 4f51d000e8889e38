"""What a guard found, as data. The sentences stand in wording/findings.py."""

from collections.abc import Mapping
from datetime import datetime
from types import MappingProxyType
from typing import Literal, NamedTuple

Kind = Literal["impossible", "refusal", "advice"]
Value = float | int | str | bool | datetime | tuple[str, ...] | None
_NONE: Mapping[str, Value] = MappingProxyType({})


class Point(NamedTuple):
    """One thing to say: what kind of thing, and its values. Units stand in the names of the values."""

    kind: str
    values: Mapping[str, Value] = _NONE


class Finding(NamedTuple):
    """One thing that a guard has against an entry.

    `impossible` cannot be (exit 1, no override); `refusal` can hurt (exit 3, an override needs a typed reason);
    `advice` is one key and asks no reason. `key` is a stable name. `saw` what was seen, `matters` why (None
    where it is plain), `lifts` what would lift it.
    """

    kind: Kind
    key: str
    saw: Point
    matters: Point | None
    lifts: Point
