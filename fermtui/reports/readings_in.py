"""Readings out of a table that another program wrote: which columns mean what, and which rows can be understood.

Pure: text in, rows and refusals out. A refusal is a value with its line and one sentence.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping
from datetime import datetime, tzinfo
from decimal import Decimal
from typing import NamedTuple

from fermtui import clock
from fermtui.clock import NotATime
from fermtui.daybook.fields import Unfit
from fermtui.units import METRIC, Units
from fermtui.writing.field_input import number_of

ROWS_MOST = 2000
MEASURES = ("sg", "brix", "temp_c", "ph", "free_so2_mg_per_l")
_NAMES: Mapping[str, str] = {
    **dict.fromkeys(("at", "when", "datetime", "date time", "date and time", "timestamp"), "at"),
    **dict.fromkeys(("date", "day"), "date"),
    **dict.fromkeys(("time", "hour"), "time"),
    **dict.fromkeys(("sg", "gravity", "specific gravity", "hydrometer"), "sg"),
    **dict.fromkeys(("brix", "bx", "plato"), "brix"),
    **dict.fromkeys(("temp", "temperature"), "temp"),
    **dict.fromkeys(("temp c", "temperature c"), "temp_c"),
    **dict.fromkeys(("temp f", "temperature f"), "temp_f"),
    "ph": "ph",
    **dict.fromkeys(("free so2", "so2", "free so2 mg per l", "free so2 mg/l"), "free_so2_mg_per_l"),
    **dict.fromkeys(("sample ml", "sample"), "sample_ml"),
    **dict.fromkeys(("text", "note", "notes", "comment", "comments", "remark"), "text"),
    "did": "did",
    "struck": "struck",
}
_NOTHING = frozenset({"", "-", "--", "n/a", "na", "none", "null", "nan"})
_DOTTED = re.compile(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})\b(.*)\Z")
_SLASHED = re.compile(r"\d{1,2}/\d{1,2}/\d{2,4}\b")
_ONLY_DAY = re.compile(r"\d{4}-\d{2}-\d{2}\Z")
_CLOCK = re.compile(r"\s*T?\s*(\d{1,2}):(\d{2})(?::(\d{2}))?\s*\Z")


class TableRow(NamedTuple):
    """One reading. `day_only` where the table has no hour: it then stands at noon."""

    line: int
    at: datetime
    day_only: bool
    fields: Mapping[str, Decimal]
    text: str | None


class NotTaken(NamedTuple):
    """A line that was not taken, and why in one sentence."""

    line: int
    reason: str
    by_guard: bool = False


class ReadTable(NamedTuple):
    """`unused` are the columns that mean nothing here."""

    rows: tuple[TableRow, ...]
    refused: tuple[NotTaken, ...]
    unused: tuple[str, ...]


class NoTable(ValueError):
    """The file as a whole cannot be used; the message is one sentence."""


def decoded(data: bytes) -> str:
    """The text of a file as spreadsheets write it: UTF-8, UTF-16 with its mark, or the Western code page."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")


def readings_in(text: str, zone: tzinfo, known: Units = METRIC) -> ReadTable:
    """The readings of a table with a header, its cells set apart by comma, semicolon or tab. Raises NoTable."""
    lines = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text))
    rows: list[TableRow] = []
    refused: list[NotTaken] = []
    try:
        header = next(lines, None)
        if not header or not any(cell.strip() for cell in header):
            raise NoTable("the file has no header: its first line names the columns, as in date;sg;temp_c")
        places, unused = _columns(header)
        before = lines.line_num
        for cells in lines:
            line, before = before + 1, lines.line_num
            if len(rows) + len(refused) >= ROWS_MOST:
                raise NoTable(f"the file holds more than {ROWS_MOST} rows: import it in parts")
            _take(cells, line, places, len(header), zone, known, rows, refused)
    except csv.Error as fault:
        raise NoTable(f"line {lines.line_num} is no row of a table ({fault})") from None
    return ReadTable(tuple(rows), tuple(refused), unused)


def _delimiter(text: str) -> str:
    head = text.lstrip("\ufeff\r\n").split("\n", 1)[0]
    return max((";", "\t", ","), key=lambda sign: (head.count(sign), sign == ";"))


def _columns(header: Iterable[str]) -> tuple[dict[str, int], tuple[str, ...]]:
    places: dict[str, int] = {}
    unused: list[str] = []
    for at, title in enumerate(header):
        name = _NAMES.get(_plain_title(title))
        if name is None:
            if title.strip():
                unused.append(title.strip())
        elif name in places:
            raise NoTable(f"two columns mean {name}: {title.strip()[:40]!r} is the second; leave one")
        else:
            places[name] = at
    if "at" not in places and "date" not in places:
        raise NoTable("no column says when: one of them must be called date or at")
    if not places.keys() & {*MEASURES, "temp", "temp_f"}:
        raise NoTable("no column holds a reading: they are called sg, brix, temp_c, ph or free_so2_mg_per_l")
    return places, () if "did" in places else tuple(unused)  # an export of ours: its other columns are known


def _plain_title(title: str) -> str:
    bare = title.strip().lower().replace("°", " ").replace("_", " ").replace("₂", "2")
    return " ".join(re.sub(r"[()\[\]:,]", " ", bare).split())


def _take(
    cells: list[str],
    line: int,
    places: Mapping[str, int],
    wide: int,
    zone: tzinfo,
    known: Units,
    rows: list[TableRow],
    refused: list[NotTaken],
) -> None:
    if not any(cell.strip() for cell in cells):
        return
    if len(cells) > wide and any(cell.strip() for cell in cells[wide:]):
        hint = "where a comma is the decimal sign, cells are set apart by semicolons or stand in quotes"
        refused.append(NotTaken(line, f"{len(cells)} cells under {wide} columns: {hint}"))
        return
    given = {name: cells[at].strip() for name, at in places.items() if at < len(cells)}
    if given.get("did", "read") not in ("read", "") or given.get("struck", "").lower() == "yes":
        return  # an export of ours: not a reading, or taken back
    try:
        at, day_only = _when(given, zone)
        fields = _fields(given, known)
    except (NotATime, Unfit) as fault:
        refused.append(NotTaken(line, str(fault)))
        return
    text = given.get("text") or None
    rows.append(TableRow(line, at, day_only, fields, text))


def _when(given: Mapping[str, str], zone: tzinfo) -> tuple[datetime, bool]:
    text = given.get("at") or given.get("date") or ""
    if not text:
        raise NotATime("there is no date in this row")
    if _SLASHED.match(text):
        raise NotATime(f"{text[:30]!r} may be day or month first: write dates as 2026-03-18")
    dotted = _DOTTED.match(text)
    if dotted:
        text = f"{dotted[3]}-{int(dotted[2]):02d}-{int(dotted[1]):02d}{dotted[4]}"
    text = re.sub(r"^(\d{4})/(\d{2})/(\d{2})", r"\1-\2-\3", text)
    hour = given.get("time", "")
    if hour and _ONLY_DAY.match(text):
        text = f"{text} {hour}"
    day, rest = text[:10], text[10:]
    clock_time = _CLOCK.match(rest)
    if clock_time:
        hours, minutes, seconds = clock_time.groups()
        text = f"{day}T{int(hours):02d}:{minutes}:{seconds or '00'}"
    return clock.read_when(text, zone), bool(_ONLY_DAY.match(text))


def _fields(given: Mapping[str, str], known: Units) -> dict[str, Decimal]:
    fields: dict[str, Decimal] = {}
    for name in (*MEASURES, "sample_ml"):
        text = given.get(name, "")
        if text.lower() not in _NOTHING:
            fields[name] = number_of(name, _bare(name, text), known)
    for name, unit in (("temp", known.temp), ("temp_f", "F")):
        text = given.get(name, "")
        if text.lower() not in _NOTHING and "temp_c" not in fields:
            marked = text if text[-1].isalpha() else f"{text} {unit}"
            fields["temp_c"] = _celsius(number_of("temp_c", marked, known))
    if not fields.keys() & set(MEASURES):
        raise Unfit("this row holds no gravity, temperature, pH or SO2")
    return fields


def _bare(name: str, text: str) -> str:
    return re.sub(r"\s*°?\s*(bx|brix|p|plato)\Z", "", text, flags=re.IGNORECASE) if name == "brix" else text


def _celsius(value: Decimal) -> Decimal:
    """A tenth of a degree is all that a thermometer tells after 68 °F became 20.0 °C."""
    return Decimal(f"{value:.1f}".removesuffix(".0"))
