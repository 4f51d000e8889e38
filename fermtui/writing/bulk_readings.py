"""Many readings by hand at once, as a table holds them: each judged by what came before it, all written in one go."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from typing import NamedTuple

from fermtui.cellar.loaded import LoadedVessel, measures_of
from fermtui.cellar.store import CellarStore
from fermtui.daybook.entry import Entry
from fermtui.daybook.fields import Unfit
from fermtui.daybook.lines import Scalar, entry_of_line, line_of, new_key
from fermtui.replay.facts import Facts
from fermtui.replay.replay import replayed
from fermtui.schedule.guards import check
from fermtui.wording.fields import unfit_text
from fermtui.wording.findings import finding_text
from fermtui.writing.entries import FUTURE_SLACK, append_lines, kept_vessel, reason_in, unread_lines, vessel_file
from fermtui.writing.reading_check import doubt_between


class Offered(NamedTuple):
    """One reading of a table: when, its fields, and the line it stands on."""

    line: int
    at: datetime
    fields: Mapping[str, Scalar | None]


class NotWrittenRow(NamedTuple):
    """A line that was not written, and why; `by_guard` where a reason would let it through."""

    line: int
    reason: str
    by_guard: bool


class BulkWritten(NamedTuple):
    """Lines of the table with the key of their entry (empty on a dry run), and those that were not written."""

    written: list[tuple[int, str]]
    refused: list[NotWrittenRow]


class _Candidate(NamedTuple):
    line: int
    text: str
    entry: Entry


class _Astray(Exception):
    """The first candidate that cannot be, or is hard to believe after those before it."""

    def __init__(self, key: str, reason: str, *, by_guard: bool) -> None:
        super().__init__(reason)
        self.key, self.reason, self.by_guard = key, reason, by_guard


def write_readings(
    store: CellarStore, vessel: str, rows: Sequence[Offered], *, now: datetime, override: str | None, dry: bool
) -> BulkWritten:
    """Write those of the rows that can be, in one write with one lock. Raises Refused where nothing could be.

    Each is judged as one alone would be, by what stands before it and by the rows before it that were taken; the
    forecast, which was made without them, is not asked.
    """
    loaded = kept_vessel(store, vessel)
    standing = [one for one in vessel_file(store, vessel).live if store.upto is None or one.at <= store.upto]
    refused: list[NotWrittenRow] = []
    candidates = _candidates(store, standing, rows, now, reason_in(override), refused)
    while True:
        try:
            _judge(store, loaded, standing, candidates, believed=bool(reason_in(override)))
            break
        except _Astray as why:
            gone = next(one for one in candidates if one.entry.key == why.key)
            candidates = [one for one in candidates if one is not gone]
            refused.append(NotWrittenRow(gone.line, why.reason, why.by_guard))
    if candidates and not dry:
        append_lines(store, [(vessel, one.text) for one in candidates])
    written = [(one.line, "" if dry else one.entry.key) for one in candidates]
    return BulkWritten(written, refused)


def _candidates(
    store: CellarStore,
    standing: Sequence[Entry],
    rows: Sequence[Offered],
    now: datetime,
    reason: str,
    refused: list[NotWrittenRow],
) -> list[_Candidate]:
    found: list[_Candidate] = []
    keys = [one.key for one in standing]
    for row in sorted(rows, key=lambda one: (one.at, one.line)):
        if row.at > now + FUTURE_SLACK:
            said = f"{row.at:%Y-%m-%d %H:%M} lies in the future: write down what was done, not what will be"
            refused.append(NotWrittenRow(row.line, said, by_guard=False))
            continue
        key = new_key(store.stamp(), keys)
        try:
            text = line_of(key, "read", row.at, {**row.fields, "override": reason or None})
        except Unfit as bad:
            refused.append(NotWrittenRow(row.line, unfit_text(bad), by_guard=False))
            continue
        keys = [*keys, key]
        found.append(_Candidate(row.line, text, entry_of_line(text)))
    return found


def _judge(
    store: CellarStore,
    loaded: LoadedVessel,
    standing: Sequence[Entry],
    candidates: Sequence[_Candidate],
    *,
    believed: bool,
) -> None:
    """Replay once with all of them, and look at each in its place. Raises _Astray at the first that is refused."""
    new = {one.entry.key for one in candidates}
    last: tuple[Entry, Facts] | None = None

    def look(entry: Entry, facts: Callable[[], Facts]) -> None:
        nonlocal last
        if last is None and entry.key not in new:
            return
        here = facts()
        if last is not None:
            _believable(store, loaded, *last, here, believed=believed)
        last = (entry, here) if entry.key in new else None
        if last is not None:
            _possible(store, loaded, entry, here)

    entries = [*standing, *(one.entry for one in candidates)]
    after, _ = replayed(loaded.head, entries, measures_of(store.settings), before=look)
    if last is not None:
        _believable(store, loaded, *last, after, believed=believed)


def _possible(store: CellarStore, loaded: LoadedVessel, entry: Entry, before: Facts) -> None:
    fields = {name: value for name, value in entry.written.items() if name not in ("at", "did")}
    findings = check(
        "read", fields, before, loaded.head.plan, store.settings, entry.at, vessel=loaded.name,
        unread=unread_lines(loaded),
    )  # fmt: skip
    impossible = next((one for one in findings if one.kind == "impossible"), None)
    if impossible is not None:
        raise _Astray(entry.key, finding_text(impossible, store.settings.units), by_guard=False)


def _believable(
    store: CellarStore, loaded: LoadedVessel, entry: Entry, before: Facts, after: Facts, *, believed: bool
) -> None:
    doubt = None if believed else doubt_between(loaded, before, after, entry, store.settings.units)
    if doubt is not None:
        raise _Astray(entry.key, doubt, by_guard=True)
