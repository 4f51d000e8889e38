"""Readings out of a table that another program wrote: which rows can be understood, and why the others cannot.

Pure: text in, rows and refusals out. A refusal is a value with its line and one sentence.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Mapping
from datetime import datetime, tzinfo
from decimal import Decimal
from typing import NamedTuple

from fermtui.clock import NotATime
from fermtui.daybook.fields import FIELDS, Unfit, fit_number
from fermtui.must.hydrometer_scales import sg_of_density, sg_of_mark
from fermtui.must.limits import OutOfRange
from fermtui.reports.table_times import read_time
from fermtui.reports.table_titles import GRAVITIES, MEASURES, NoTable, columns_of
from fermtui.units import METRIC, Units, Unreadable, number
from fermtui.writing.field_input import number_of

EACH = 2000
"""Rows between two reports of how far it has come."""
_NOTHING = frozenset({"", "-", "--", "n/a", "na", "none", "null", "nan"})
_DEGREES = re.compile(r"\s*°?\s*(bx|brix|p|plato|oe|oechsle|be|bé|kmw|sg)\Z", re.IGNORECASE)


class TableRow(NamedTuple):
    """One reading. `day_only` where the table has no hour: it then stands at noon. `vessel` as its column says."""

    line: int
    at: datetime
    day_only: bool
    fields: Mapping[str, Decimal]
    text: str | None
    vessel: str = ""
    by: str = ""


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


class TableKind(NamedTuple):
    """How a table is to be read: the maker's units, which column is which, what its dates and its gravities are.

    `unit` is that of the column for the gravity, where it is not SG; `temp` that of a column `temp`, C or F.
    """

    zone: tzinfo
    known: Units = METRIC
    columns: Mapping[str, str] = {}
    dates: str = "iso"
    unit: str = "sg"
    temp: str = ""


def decoded(data: bytes) -> str:
    """The text of a file as spreadsheets write it: UTF-8, UTF-16 with its mark, or the Western code page."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")


def readings_in(text: str, kind: TableKind, tell: Callable[[int, int], None] | None = None) -> ReadTable:
    """The readings of a table with a header, its cells set apart by comma, semicolon or tab. Raises NoTable.

    `tell` is called now and then, and at the end, with how many rows have been read and how many there are.
    """
    lines = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text))
    rows: list[TableRow] = []
    refused: list[NotTaken] = []
    whole = max(1, text.count("\n") - 1) if tell is not None else 0
    try:
        header = next(lines, None)
        if not header or not any(cell.strip() for cell in header):
            raise NoTable("the file has no header: its first line names the columns, as in date;sg;temp_c")
        places, unused = columns_of(header, kind.columns)
        before = lines.line_num
        for cells in lines:
            line, before = before + 1, lines.line_num
            if tell is not None and (len(rows) + len(refused)) % EACH == EACH - 1:
                tell(min(before - 1, whole - 1), whole)
            _take(cells, line, places, len(header), kind, rows, refused)
    except csv.Error as fault:
        raise NoTable(f"line {lines.line_num} is no row of a table ({fault})") from None
    if tell is not None:
        tell(whole, whole)
    return ReadTable(tuple(rows), tuple(refused), unused)


def _delimiter(text: str) -> str:
    head = text.lstrip("\ufeff\r\n").split("\n", 1)[0]
    return max((";", "\t", ","), key=lambda sign: (head.count(sign), sign == ";"))


def _take(
    cells: list[str],
    line: int,
    places: Mapping[str, int],
    wide: int,
    kind: TableKind,
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
        day = given.get("at") or given.get("date") or ""
        at, day_only = read_time(day, given.get("time", ""), kind.zone, kind.dates)
        fields = _fields(given, kind)
    except (NotATime, Unfit) as fault:
        refused.append(NotTaken(line, str(fault)))
        return
    text, by = given.get("text") or None, given.get("by", "") if "did" in places else ""
    rows.append(TableRow(line, at, day_only, fields, text, given.get("vessel", ""), by))


def _fields(given: Mapping[str, str], kind: TableKind) -> dict[str, Decimal]:
    fields: dict[str, Decimal] = {}
    for name in (*MEASURES, "sample_ml"):
        text = given.get(name, "")
        if text.lower() in _NOTHING:
            continue
        if name == "sg" and kind.unit != "sg":
            fields["sg"] = _gravity(kind.unit.replace("/", "_"), text)
        elif name == "brix" and kind.known.brix == "hydrometer":
            fields["sg"] = _gravity("plato", text)
        else:
            fields[name] = number_of(name, _bare(name, text), kind.known)
    for name in GRAVITIES[2:]:
        text = given.get(name, "")
        if text.lower() not in _NOTHING and "sg" not in fields:
            fields["sg"] = _gravity(name, text)
    for name, unit in (("temp", kind.temp or kind.known.temp), ("temp_f", "F")):
        text = given.get(name, "")
        if text.lower() not in _NOTHING and "temp_c" not in fields:
            marked = text if text[-1].isalpha() else f"{text} {unit}"
            fields["temp_c"] = _celsius(number_of("temp_c", marked, kind.known))
    if not fields.keys() & set(MEASURES):
        raise Unfit("this row holds no gravity, temperature, pH or SO2")
    return fields


def _gravity(scale: str, text: str) -> Decimal:
    """SG to four places of a hydrometer's degrees or of a density. Raises Unfit."""
    try:
        value = number(_DEGREES.sub("", text))
        if scale in ("kg_m3", "g_ml"):
            sg = sg_of_density(value if scale == "kg_m3" else 1000.0 * value)
        else:
            sg = sg_of_mark(scale, value)
    except (OutOfRange, Unreadable) as why:
        raise Unfit(str(why)) from None
    row = FIELDS["sg"]
    fit_number("sg", sg, row.low, row.high)
    return Decimal(f"{sg:.4f}")


def _bare(name: str, text: str) -> str:
    return _DEGREES.sub("", text) if name == "brix" else text


def _celsius(value: Decimal) -> Decimal:
    """A tenth of a degree is all that a thermometer tells after 68 °F became 20.0 °C."""
    return Decimal(f"{value:.1f}".removesuffix(".0"))
