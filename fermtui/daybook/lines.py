"""The lines of a daybook: one entry <-> one line, and a file's bytes -> entries and problems."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

from fermtui.daybook.entry import Entry
from fermtui.daybook.fields import Unfit
from fermtui.daybook.kinds import entry_from, in_order
from fermtui.daybook.line_parser import parse_line
from fermtui.daybook.problem import Problem
from fermtui.daybook.toml_file import BOM, LINE_MOST

PROBLEMS_MOST = 1000
STAMPED = re.compile(r"(\d{8}T\d{9})-[0-9a-z]{6}\Z")
Scalar = str | bool | int | float | Decimal | date
_LETTERS = "0123456789abcdefghijklmnopqrstuvwxyz"


def new_key(now: datetime, taken: Iterable[str] = ()) -> str:
    """A key for an entry written at `now` (an instant with offset): UTC to the millisecond, a hyphen, six of [0-9a-z].

    With the daybook's keys as `taken` the new key is greater than each of them even when the clock stands still or was
    set back (by up to a day), so that the entry written last is the last entry.
    """
    import secrets  # not needed by a process that only reads

    moment = now.astimezone(UTC)
    stamp = _stamp(moment)
    newest = max((stamped[1] for key in taken if (stamped := STAMPED.match(key))), default="")
    if stamp <= newest <= _stamp(moment + timedelta(days=1)):
        stamp = _stamp_after(newest)
    return f"{stamp}-{''.join(secrets.choice(_LETTERS) for _ in range(6))}"


def _stamp(moment: datetime) -> str:
    return f"{moment:%Y%m%dT%H%M%S}{moment.microsecond // 1000:03d}"


def _stamp_after(stamp: str) -> str:
    # Counted as a number, not as a time: a key corrected by hand may hold a minute 75.
    return f"{stamp[:9]}{int(stamp[9:]) + 1:09d}" if stamp[9:] != "9" * 9 else stamp


def line_of(key: str, did: str, at: datetime, fields: Mapping[str, Scalar | None]) -> str:
    """One whole line with its line feed. Fields bear the names that stand in the file; None leaves one out.

    Raises Unfit with one sentence when the line does not read back as that entry, or is longer than 4 kB.
    """
    import tomli_w  # not needed by a process that only reads

    pairs = [f"at = {at.isoformat()}", tomli_w.dumps({"did": did}).strip()]
    for name, value in fields.items():
        if value is None:
            continue
        if name in ("at", "did") or not isinstance(value, str | bool | int | float | Decimal | date):
            raise Unfit("{} is not a field that an entry can hold", name)
        written = value.isoformat() if isinstance(value, datetime) else None
        pairs.append(f"{name} = {written}" if written else tomli_w.dumps({name: value}).strip())
    line = f"{key} = {{ {', '.join(pairs)} }}\n"
    try:
        entry_of_line(line)
    except UnicodeEncodeError:
        raise Unfit("the text holds a character that no file can hold (half of a surrogate pair)") from None
    return line


def entry_of_line(line: str) -> Entry:
    """The entry of one whole line as `line_of` makes it, or Unfit with one sentence."""
    raw = line.encode("utf-8")
    if raw[-1:] != b"\n" or b"\n" in raw[:-1]:
        raise Unfit("an entry is one line with a line feed at its end")
    return _entry(raw[:-1])


def _entry(raw: bytes) -> Entry:
    if len(raw) >= LINE_MOST:
        raise Unfit(f"the line has {len(raw)} bytes; {LINE_MOST - 1} are the most: shorten its text")
    key, values = parse_line(raw)
    entry = entry_from(key, values)
    for name, value in entry.extra.items():
        if isinstance(value, int | float | Decimal) and not _sane(value):
            raise Unfit("{} is too large or not a number", name[:40])
    return entry


def _sane(value: int | float | Decimal) -> bool:
    return -(2**63) <= value < 2**63 if isinstance(value, int) else math.isfinite(float(value))


def read_lines(data: bytes, path: str) -> tuple[tuple[Entry, ...], tuple[Problem, ...]]:
    """All good entries in the order in which they happened, and a problem for every line that is none.

    The order of lines does not matter. A line that stands twice counts once. Of different lines under one key (a line
    was corrected on one machine and not on the other) the greater counts, and the other is a problem.
    """
    found: dict[str, tuple[bytes, int, Entry]] = {}
    problems: list[Problem] = []
    for number, raw in enumerate(data.removeprefix(BOM).split(b"\n"), start=1):
        raw = raw.removesuffix(b"\r").strip(b" \t")
        if not raw or raw.startswith(b"#"):
            continue
        try:
            entry = _entry(raw)
        except Unfit as fault:
            problems.append(Problem("line", path, number, (str(fault),)))
            continue
        twin = found.get(entry.key)
        if twin and twin[0] != raw and twin[2].written != entry.written:
            lost, kept = sorted((number, twin[1]), key=lambda n: (raw if n == number else twin[0], n))
            problems.append(Problem("other_line", path, lost, (kept,)))
        if twin is None or raw > twin[0]:
            found[entry.key] = (raw, number, entry)
    entries = in_order(entry for _, _, entry in found.values())
    return tuple(entries), tuple(_not_too_many(problems))


def added_entries(data: bytes, length: int) -> tuple[Entry, ...] | None:
    """The entries behind the first `length` bytes of a daybook, in order; None where they are not plainly new lines.

    A line that cannot be read, of an unknown kind, a strike, or one whose key stands before needs a look at all lines.
    """
    if data[length - 1 : length] != b"\n":
        return None
    found: dict[str, Entry] = {}
    for raw in data[length:].split(b"\n"):
        raw = raw.removesuffix(b"\r").strip(b" \t")
        if not raw or raw.startswith(b"#"):
            continue
        try:
            entry = _entry(raw)
        except Unfit:
            return None
        stands_before = entry.key in found or data.find(entry.key.encode(), 0, length) >= 0
        if stands_before or entry.did in ("unknown", "strike"):
            return None
        found[entry.key] = entry
    return tuple(in_order(found.values()))


def _not_too_many(problems: list[Problem]) -> list[Problem]:
    if len(problems) <= PROBLEMS_MOST:
        return problems
    first_left_out = problems[PROBLEMS_MOST]
    more = len(problems) - PROBLEMS_MOST - 1
    return [*problems[:PROBLEMS_MOST], first_left_out._replace(kind="more_lines", values=(more,))]


def line_number(data: bytes, key: str) -> int | None:
    """The line (from 1) on which the entry `key` stands, for a problem that is found only after reading."""
    for number, raw in enumerate(data.removeprefix(BOM).split(b"\n"), start=1):
        if raw.strip(b" \t").startswith(key.encode()) and raw.split(b"=", 1)[0].strip(b" \t") == key.encode():
            return number
    return None
