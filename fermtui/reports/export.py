"""Readings and entries as a table: one row an entry, the units in the header."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from datetime import date
from typing import NamedTuple

from fermtui.daybook.entry import Entry
from fermtui.daybook.kinds import KINDS
from fermtui.daybook.vessel_file import VesselFile
from fermtui.replay.facts import Facts
from fermtui.wording.plain import cell

FIRST = ("vessel", "entry", "at", "did", "struck", "sg_at_20c")
COMMON = ("text", "task", "override")
WORDS_MOST = 4000


class Exported(NamedTuple):
    """One vessel to export: its file, and the facts that its readings are corrected by."""

    vessel: str
    file: VesselFile
    facts: Facts


def columns() -> tuple[str, ...]:
    """The header. Units stand in the names: litres `_l`, grams `_g`, degrees Celsius `_c`; `sg` as read, `sg_at_20c`
    corrected to 20 °C. The readings come first.
    """
    names = dict.fromkeys(FIRST)
    names |= dict.fromkeys(name for name in KINDS["read"].fields if name not in COMMON)
    for kind in KINDS.values():
        names |= dict.fromkeys(name for name in kind.fields if name not in (*COMMON, "entry"))
    return (*names, "struck_entry", "other_fields", *COMMON)


def csv_text(vessels: Iterable[Exported]) -> str:
    """The table as RFC 4180 asks: comma, quotes where needed, CRLF. No cell of text begins a formula."""
    out = io.StringIO()
    table = csv.DictWriter(out, columns(), restval="", lineterminator="\r\n")
    table.writeheader()
    for one in vessels:
        table.writerows(_rows(one))
    return out.getvalue()


def _rows(one: Exported) -> Iterator[dict[str, str]]:
    corrected = {reading.key: reading.sg for reading in one.facts.readings}
    for entry in one.file.entries:
        row = {
            "vessel": one.vessel,
            "entry": entry.key,
            "at": entry.at.isoformat(),
            "did": cell(entry.written.get("did", entry.did), WORDS_MOST),
            "struck": "yes" if entry.key in one.file.struck else "",
        }
        sg = corrected.get(entry.key)
        if sg is not None:
            row["sg_at_20c"] = f"{sg:.4f}"
        yield row | _fields(entry)


def _fields(entry: Entry) -> dict[str, str]:
    known = set(entry.fields)
    row: dict[str, str] = {}
    other: list[str] = []
    for name, value in entry.written.items():
        if name in ("at", "did"):
            continue
        if name in known:
            row["struck_entry" if name == "entry" else name] = _cell(value)
        else:
            other.append(f"{name}={value}")
    if other:
        row["other_fields"] = cell("; ".join(other), WORDS_MOST)
    return row


def _cell(value: object) -> str:
    """A number as it was written; everything else as text that no spreadsheet obeys."""
    if isinstance(value, str):
        return cell(value, WORDS_MOST)
    if isinstance(value, date):
        return value.isoformat()
    return str(value)
