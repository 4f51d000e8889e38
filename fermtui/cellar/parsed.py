"""What the two files of a vessel say, and how the cache keeps it."""

from typing import Any, NamedTuple

from fermtui.cellar.json_records import from_json, to_json
from fermtui.cellar.tables import table_from, table_text
from fermtui.daybook.head import Head, head_from, head_table
from fermtui.daybook.problem import Problem
from fermtui.daybook.transfers import Transfer
from fermtui.replay.facts import Facts, Rest
from fermtui.schedule.standing import Standing


class StoredFacts(NamedTuple):
    """What the cache keeps of a vessel beside its head."""

    facts: Facts
    problems: tuple[Problem, ...]
    transfers: tuple[Transfer, ...]
    stands: bool
    rest: Rest
    length: int


class ParsedVessel(NamedTuple):
    """What the two files of a vessel say; `head_good` where the head could be read.

    `rest` is what it takes to go on from its facts, `length` the bytes of its daybook.
    """

    head: Head
    head_good: bool
    facts: Facts
    problems: tuple[Problem, ...]
    transfers: tuple[Transfer, ...]
    standing: tuple[Standing, ...] | None
    rest: Rest
    length: int


def to_cache(parsed: ParsedVessel) -> list[Any]:
    stands = parsed.standing != ()
    stored = StoredFacts(parsed.facts, parsed.problems, parsed.transfers, stands, parsed.rest, parsed.length)
    return [table_text(head_table(parsed.head)) if parsed.head_good else None, to_json(stored)]


def from_cache(name: str, value: Any) -> ParsedVessel:
    head, record = value
    facts, problems, transfers, stands, rest, length = from_json(StoredFacts, record)
    known_head = Head(name) if head is None else head_from(table_from(head))
    standing = None if stands else ()
    return ParsedVessel(known_head, head is not None, facts, problems, transfers, standing, rest, length)
