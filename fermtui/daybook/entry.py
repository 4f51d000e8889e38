"""What every entry is: a small immutable record.

`dataclasses` writes and compiles source for each class, which took 75 to 96 ms of every start for the kinds.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any, ClassVar, dataclass_transform

from fermtui.daybook.fields import Field, field_of


@dataclass_transform(kw_only_default=True, frozen_default=True)
class Frozen:
    """A small frozen record: keyword-only fields from the annotations, equality and repr by value.

    A field that was not given is the class's own default and takes no room in the record.
    """

    names: ClassVar[tuple[str, ...]] = ()
    _known: ClassVar[frozenset[str]] = frozenset()
    _needed: ClassVar[frozenset[str]] = frozenset()

    def __init_subclass__(cls) -> None:
        own = (name for name, kind in cls.__annotations__.items() if not kind.startswith("ClassVar"))
        cls.names = (*cls.names, *own)
        cls._known = frozenset(cls.names)
        cls._needed = frozenset(name for name in cls.names if not hasattr(cls, name))

    def __init__(self, **given: Any) -> None:
        if not self._needed <= given.keys() <= self._known:
            wrong = sorted((self._needed - given.keys()) | (given.keys() - self._known))
            raise TypeError(f"{type(self).__name__} lacks or does not have {', '.join(wrong)}")
        self.__dict__.update(given)

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"{type(self).__name__}.{name} cannot be changed")

    def __delattr__(self, name: str) -> None:
        raise AttributeError(f"{type(self).__name__}.{name} cannot be deleted")

    def __eq__(self, other: object) -> bool:
        if type(other) is not type(self):
            return NotImplemented
        return all(getattr(self, name) == getattr(other, name) for name in self.names)

    __hash__ = None  # type: ignore[assignment]  # `extra` and `written` are mappings

    def __repr__(self) -> str:
        return f"{type(self).__name__}({', '.join(f'{name}={getattr(self, name)!r}' for name in self.names)})"


class Entry(Frozen):
    """What every entry carries.

    `key` unique in its daybook; `at` the instant it happened, with offset; `task` the step that it answers;
    `override` the reason given to a guard; `extra` fields unknown to this version, kept and shown;
    `written` the values as they stand in the file (numbers as Decimal, with their written precision).
    """

    did: ClassVar[str] = ""
    fields: ClassVar[Mapping[str, Field]] = {}
    """What a file may give, by the name in the file."""
    required: ClassVar[tuple[str, ...]] = ()
    """What a file must give: the fields without a default."""

    key: str
    at: datetime
    text: str | None = None
    task: str | None = None
    override: str | None = None
    extra: Mapping[str, object]
    written: Mapping[str, object]

    def __init_subclass__(cls, *, did: str) -> None:
        super().__init_subclass__()
        cls.did = did
        given = [name for name in cls.names if name not in ("key", "at", "extra", "written")]
        cls.fields = {name.rstrip("_"): field_of(did, name.rstrip("_")) for name in given}
        cls.required = tuple(name.rstrip("_") for name in given if name in cls._needed)
