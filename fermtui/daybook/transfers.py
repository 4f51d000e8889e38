"""Match the two entries of a transfer: mead poured from one vessel into another is written in both daybooks."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any, NamedTuple

from fermtui.daybook.problem import Problem

if TYPE_CHECKING:
    from fermtui.daybook.entry import Entry

GIVES, TAKES = frozenset({"split"}), frozenset({"receive", "top_up"})


class Transfer(NamedTuple):
    """One entry of the pair: `other` is the other vessel, `other_key` the entry there, where it is named."""

    key: str
    did: str
    other: str
    other_key: str | None
    line: int | None = None

    def fits(self, here: str, half: "Transfer") -> bool:
        """Whether `half`, of the other vessel, belongs to this one, of the vessel `here`."""
        across = (self.did in GIVES and half.did in TAKES) or (self.did in TAKES and half.did in GIVES)
        return across and half.other == here and (half.key == self.other_key or half.other_key == self.key)


def transfer_of(entry: "Entry", line: int | None = None) -> Transfer | None:
    """The transfer of an entry, or None when it moves nothing between vessels."""
    other: Any = getattr(entry, "into", None) if entry.did in GIVES else getattr(entry, "from_", None)
    if entry.did not in GIVES | TAKES or not other:
        return None
    key = getattr(entry, "entry", None) or entry.extra.get("entry")
    return Transfer(entry.key, entry.did, other, key if isinstance(key, str) else None, line)


def transfers_in(entries: "Iterable[Entry]") -> tuple[Transfer, ...]:
    """The transfers among these entries."""
    return tuple(half for entry in entries if (half := transfer_of(entry)) is not None)


def missing(here: str, half: Transfer, path: str) -> Problem:
    """The problem of a transfer whose other entry is missing."""
    if half.did in GIVES:
        return Problem("no_receive", path, half.line, (here, half.other, half.key))
    return Problem("no_split", path, half.line, (here, half.other, half.key, half.did))
