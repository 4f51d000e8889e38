"""Records to plain JSON values and back, checked against the types of their fields. Times keep their offset."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import cache
from types import NoneType, UnionType
from typing import Any, Literal, get_args, get_origin

Read = Callable[[Any], Any]
_JSON: dict[Any, tuple[type, ...]] = {
    float: (float, int),
    datetime: (str,),
}  # by what JSON holds them; else as they are


class WrongShape(ValueError):
    """A stored value is not what the types of the record call for."""


def to_json(value: Any) -> Any:
    """A record as a list with a value a field, in the order of its fields; tuples become lists, times ISO 8601."""
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, tuple):
        return [to_json(part) for part in value]
    return value


def from_json(kind: Any, value: Any) -> Any:
    """The record of this NamedTuple class that `to_json` wrote. Raises WrongShape; `value` stays as it is."""
    return _reader(kind)(value)


@cache
def _reader(kind: Any) -> Read:
    """What reads records of this class: simple fields are checked by their types at once, the others one by one."""
    fields = [_field(kind.__annotations__[name]) for name in kind._fields]
    allowed = [types for types, _ in fields]
    nested = [(at, read) for at, (_, read) in enumerate(fields) if read is not None]
    fitting: set[tuple[type, ...]] = set()  # sequences of types that have been found right

    def read(value: Any) -> Any:
        if type(value) is not list or len(value) != len(allowed):
            raise WrongShape(kind.__name__)
        types = tuple(map(type, value))
        if types not in fitting:
            if not all(one in those for one, those in zip(types, allowed, strict=True)):
                raise WrongShape(kind.__name__)
            fitting.add(types)
        if nested:
            value = [*value]
            for at, inner in nested:
                if value[at] is not None:
                    value[at] = inner(value[at])
        return kind(*value)

    return read


def _field(hint: Any) -> tuple[frozenset[type], Read | None]:
    """The types that JSON may hold for a field, and what reads the value where it is not simply taken."""
    if get_origin(hint) is Literal:
        hint = str
    parts = get_args(hint) if isinstance(hint, UnionType) else (hint,)
    kinds = [part for part in parts if part is not NoneType]
    read: Read | None
    if get_origin(kinds[0]) is tuple:
        types, read = {list}, _rows(get_args(kinds[0])[0])
    elif hasattr(kinds[0], "_fields"):
        types, read = {list}, _reader(kinds[0])
    else:
        types = {one for part in kinds for one in _JSON.get(part, (part,))}
        read = _time if datetime in kinds else None
    return frozenset(types | ({NoneType} if NoneType in parts else set())), read


def _rows(hint: Any) -> Read:
    types, read = _field(hint)

    def rows(value: Any) -> tuple[Any, ...]:
        if not types.issuperset(map(type, value)):
            raise WrongShape(str(hint))
        return tuple(value) if read is None else tuple(map(read, value))

    return rows


def _time(text: str) -> datetime:
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        raise WrongShape(text[:40]) from None
    if at.tzinfo is None:
        raise WrongShape(text[:40])
    return at
