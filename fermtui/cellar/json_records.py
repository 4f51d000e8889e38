"""Records to plain JSON values and back, checked against the types of their fields. Times keep their offset."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime
from functools import cache, partial
from types import NoneType, UnionType
from typing import Any, ForwardRef, Literal, get_args, get_origin, get_type_hints

Read = Callable[[Any], Any]
_JSON: dict[Any, tuple[type, ...]] = {float: (float, int), datetime: (str,), date: (str,)}
"""what JSON may hold for a type, where it is not that type itself"""


_AS_IT_IS = frozenset({str, int, float, bool})


class WrongShape(ValueError):
    """A stored value is not what the types of the record call for."""


def to_json(value: Any) -> Any:
    """A record as a list with a value a field, in the order of its fields; tuples become lists, times ISO 8601."""
    if value is None or type(value) in _AS_IT_IS:  # most are, and a look at an abstract class takes ten times as long
        return value
    if isinstance(value, tuple):
        return [to_json(part) for part in value]
    if isinstance(value, date):  # or a datetime
        return value.isoformat()
    return dict(value) if isinstance(value, Mapping) else value


def from_json(kind: Any, value: Any) -> Any:
    """The record of this NamedTuple class that `to_json` wrote. Raises WrongShape; `value` stays as it is."""
    return _reader(kind)(value)


@cache
def _reader(kind: Any) -> Read:
    """What reads records of this class: simple fields are checked by their types at once, the others one by one."""
    hints = kind.__annotations__
    if any(isinstance(hint, ForwardRef) for hint in hints.values()):
        hints = get_type_hints(kind)
    fields = [_field(hints[name]) for name in kind._fields]
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
        return frozenset({str}), partial(_one_of, frozenset(get_args(hint)))
    parts = get_args(hint) if isinstance(hint, UnionType) else (hint,)
    kinds = [part for part in parts if part is not NoneType]
    read: Read | None
    types: set[type]
    if get_origin(kinds[0]) is tuple:
        types, read = {list}, _rows(get_args(kinds[0])[0])
    elif get_origin(kinds[0]) is Mapping:
        types, read = {dict}, _words
    elif hasattr(kinds[0], "_fields"):
        types, read = {list}, _reader(kinds[0])
    else:
        types = {one for part in kinds for one in _JSON.get(part, (part,))}
        read = _time if datetime in kinds else date.fromisoformat if date in kinds else None
    return frozenset(types | ({NoneType} if NoneType in parts else set())), read


def _rows(hint: Any) -> Read:
    types, read = _field(hint)

    def rows(value: Any) -> tuple[Any, ...]:
        if not types.issuperset(map(type, value)):
            raise WrongShape(str(hint))
        return tuple(value) if read is None else tuple(map(read, value))

    return rows


def _one_of(choices: frozenset[str], word: str) -> str:
    if word not in choices:
        raise WrongShape(word[:40])
    return word


def _words(table: dict[str, Any]) -> dict[str, str]:
    if not {str}.issuperset(map(type, table.values())):
        raise WrongShape("not only words")
    return table


def _time(text: str) -> datetime:
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        raise WrongShape(text[:40]) from None
    if at.tzinfo is None:
        raise WrongShape(text[:40])
    return at
