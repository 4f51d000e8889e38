"""What a racking may name: a container of cellar.toml, a plain size (`5 L`), a new one with its size (`Jug, 5 L`)."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

from fermtui.daybook.fields import SOME_VOLUME_L
from fermtui.units import Unreadable, volume_l

_SIZE = r"\d+(?:[.,]\d+)?\s*[a-zA-Z][a-zA-Z. ]{0,9}"
_NAMED = re.compile(rf"(?P<name>.*\S)\s*,\s+(?P<size>{_SIZE})\Z")
_PLAIN = re.compile(rf"{_SIZE}\Z")


class NamedContainer(NamedTuple):
    """`name` as it is shown, `capacity_l` where it is known; a `plain` size is no certain container: there may be two.

    `listed_l` is its size in cellar.toml, where that is another one than what was said.
    """

    name: str
    capacity_l: float | None
    plain: bool = False
    listed_l: float | None = None


def named_container(text: str, listed_l: Mapping[str, float]) -> NamedContainer:
    """What is meant by `text`; `listed_l` are the containers of cellar.toml with their litres, which go first."""
    text = text.strip()
    if text in listed_l:
        return NamedContainer(text, listed_l[text])
    if _PLAIN.match(text):
        return NamedContainer(text, _litres(text), plain=True)
    found = _NAMED.match(text)
    if found is None:
        return NamedContainer(text, None)
    name, said_l = found["name"], _litres(found["size"])
    if name not in listed_l:
        return NamedContainer(name, said_l)
    other = listed_l[name] if said_l is None or abs(said_l - listed_l[name]) > 0.01 * listed_l[name] else None
    return NamedContainer(name, listed_l[name], listed_l=other)


def _litres(size: str) -> float | None:
    try:
        litres = volume_l(size)
    except Unreadable:
        return None
    low, high = SOME_VOLUME_L
    return litres if low <= litres <= high else None
