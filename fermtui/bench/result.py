"""What a sum gives back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from fermtui.explain.explained import Explained
    from fermtui.must.cautions import Caution

Value = float | int | bool | str | None | tuple[float, ...] | tuple[str, ...]


class Sum(NamedTuple):
    """The result of one sum: numbers by name, units in the names; keys of cautions; how each number came about."""

    what: str
    values: Mapping[str, Value]
    cautions: tuple[str, ...]
    steps: tuple[Explained, ...]


def told(sum_: Sum) -> tuple[Caution, ...]:
    """The cautions of a sum with their texts, in order."""
    from fermtui.must.cautions import MOMENTS, cautions

    by_key = {caution.key: caution for moment in MOMENTS for caution in cautions(moment)}
    return tuple(by_key[key] for key in sum_.cautions)
