"""Readings that come by themselves: the rows of a sensor's log -> `read` entries, in one write with one replay."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import NamedTuple

from fermtui.cellar.store import CellarStore
from fermtui.daybook.fields import Unfit
from fermtui.daybook.files import blake2b
from fermtui.daybook.kinds import Read
from fermtui.daybook.lines import Scalar, line_of, new_key
from fermtui.daybook.vessel_file import VesselFile
from fermtui.replay.facts import Facts
from fermtui.replay.stage import nothing_left
from fermtui.writing.entries import append_lines, kept_vessel, unfit, vessel_file
from fermtui.writing.medians import LogRow, Median, span_of, thinned

_LETTERS = "0123456789abcdefghijklmnopqrstuvwxyz"
BEGINS = frozenset({"mix", "pitch", "receive", "read"})


class Taken(NamedTuple):
    """What became of the rows of one sensor for one vessel: the keys written (none on a dry run, then `new` counts),
    spans that stood there already, and rows left out: far off, never settled, of a span that still runs, from before
    it was mixed or after it was bottled, of a time to come."""

    vessel: str
    by: str
    rows: int
    keys: tuple[str, ...]
    new: int
    there: int
    outliers: int
    unsettled: int
    running: int
    outside: int
    future: int


def take_log(
    store: CellarStore,
    vessel: str,
    by: str,
    rows: Sequence[LogRow],
    *,
    every_h: float,
    now: datetime,
    dry: bool = False,
    again: bool = False,
) -> Taken:
    """Write the medians of a sensor's rows that are not there yet. Raises Refused.

    A span that holds a reading by this sensor is there already, a struck one too, unless `again` lets those come anew.
    """
    loaded = kept_vessel(store, vessel)
    file, zone = vessel_file(store, vessel), store.settings.zone
    past = [row for row in rows if row.at <= now]
    begin, end = _span_of_mead(file, loaded.facts)
    inside = [row for row in past if (begin is None or row.at >= begin) and (end is None or row.at <= end)]
    found = thinned(inside, every_h, zone, now)
    own = [one for one in file.entries if isinstance(one, Read) and one.by == by]
    taken = {span_of(one.at, every_h, zone) for one in own if not (again and one.key in file.struck)}
    new = [one for one in found.medians if span_of(one.begins, every_h, zone) not in taken]
    keys: list[str] = []
    if new and not dry:
        known = {one.key for one in file.entries}
        lines = [_line(store, vessel, by, one, known) for one in new]
        append_lines(store, [(vessel, line) for line in lines])
        keys = [line.partition(" ")[0] for line in lines]
    return Taken(
        vessel, by, len(rows), tuple(keys), len(new), len(found.medians) - len(new), found.outliers, found.unsettled,
        found.running, len(past) - len(inside), len(rows) - len(past),
    )  # fmt: skip


def _line(store: CellarStore, vessel: str, by: str, one: Median, known: set[str]) -> str:
    fields: dict[str, Scalar | None] = {
        "sg": round(one.sg, 4),
        "temp_c": None if one.temp_c is None else round(one.temp_c, 1),
        "by": by,
        "count": one.rows,
        "spread_sg": round(one.spread_sg, 5),
    }
    key = key_of(by, one.begins)
    if key in known:
        key = new_key(store.stamp(), known)
    known.add(key)
    try:
        return line_of(key, "read", one.at, fields)
    except Unfit as bad:
        raise unfit(vessel, bad) from None


def key_of(by: str, begins: datetime) -> str:
    """The key of a sensor's reading: the beginning of its span, and letters from its name. Two computers that take in
    the same log write the same line, which counts once.
    """
    moment = begins.astimezone(UTC)
    number = int.from_bytes(blake2b(by.encode(), digest_size=8).digest(), "big")
    letters = ""
    for _ in range(6):
        number, place = divmod(number, 36)
        letters += _LETTERS[place]
    return f"{moment:%Y%m%dT%H%M%S}{moment.microsecond // 1000:03d}-{letters}"


def _span_of_mead(file: VesselFile, facts: Facts) -> tuple[datetime | None, datetime | None]:
    """From when to when a mead was in it; None is not known, or still."""
    begun = [entry.at for entry in file.live if entry.did in BEGINS and not getattr(entry, "by", None)]
    over = None
    if nothing_left(facts):
        over = facts.lots[-1].at if facts.lots else facts.emptied_at
    return min(begun, default=None), over
