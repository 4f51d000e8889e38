"""Entries of one moment of which the order changes a number: a date without an hour does not say which came first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from fermtui.daybook.entry import Entry
from fermtui.daybook.head import Head
from fermtui.daybook.kinds import in_order, kind_of
from fermtui.must.hydrometer import READING_SD_SG
from fermtui.replay.contents import abv_percent
from fermtui.replay.facts import Facts
from fermtui.replay.replay import replay
from fermtui.replay.state import Measures

MOST_PAIRS = 200
"""Of one vessel: each is a replay."""


class OrderCounts(NamedTuple):
    """Two entries of one moment, in the order that counts; `number` is "strength" (% vol) or "gravity" (SG) at the
    end of the daybook, as it is and as it would be with the two the other way round.
    """

    first: str
    second: str
    number: str
    is_now: float
    would_be: float


def where_order_counts(head: Head, entries: Iterable[Entry], measures: Measures) -> tuple[OrderCounts, ...]:
    """The neighbours of one moment that would change strength or gravity by more than its ± the other way round."""
    ordered = in_order(entries)
    pairs = [place for place in range(len(ordered) - 1) if _doubtful(ordered[place], ordered[place + 1])][:MOST_PAIRS]
    if not pairs:
        return ()
    facts = replay(head, ordered, measures)
    found = (_compared(facts, replay(head, _swapped(ordered, at), measures), ordered[at : at + 2]) for at in pairs)
    return tuple(one for one in found if one is not None)


def _doubtful(first: Entry, second: Entry) -> bool:
    return first.at == second.at and _counts(first) and _counts(second) and (first.did, second.did) != ("read", "pitch")


def _counts(entry: Entry) -> bool:
    kind = kind_of(entry.did)
    return kind.brings or kind.takes_out is not None or entry.did in ("read", "level")


def _swapped(ordered: Sequence[Entry], at: int) -> list[Entry]:
    """The entries with the keys of two neighbours exchanged: the key is what decides within a moment."""
    first, second = ordered[at], ordered[at + 1]
    return [*ordered[:at], _with_key(second, first.key), _with_key(first, second.key), *ordered[at + 2 :]]


def _with_key(entry: Entry, key: str) -> Entry:
    return type(entry)(**{**vars(entry), "key": key})


def _compared(now: Facts, other: Facts, pair: Sequence[Entry]) -> OrderCounts | None:
    first, then = abv_percent(now), abv_percent(other)
    plus_minus = max(now.abv_plus_minus, other.abv_plus_minus)
    if first is not None and then is not None and abs(first - then) > plus_minus:
        return OrderCounts(pair[0].key, pair[1].key, "strength", first, then)
    if now.sg is not None and other.sg is not None and abs(now.sg - other.sg) > READING_SD_SG:
        return OrderCounts(pair[0].key, pair[1].key, "gravity", now.sg, other.sg)
    return None
