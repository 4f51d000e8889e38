"""`fermtui import`: readings from a table, and what the sensors of cellar.toml logged."""

from __future__ import annotations

import re
import sys
from collections.abc import Mapping, Sequence
from contextlib import nullcontext
from datetime import datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from statistics import median
from typing import NamedTuple

from fermtui.cellar.store import CellarStore
from fermtui.cli import sensors_in
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import folder_of, print_json, store_of
from fermtui.cli.files_out import progress, telling
from fermtui.daybook import kinds as records
from fermtui.daybook.files import UnreadableFile, expanded, read_regular
from fermtui.daybook.lines import Scalar
from fermtui.daybook.settings import DATES, SENSOR_COLUMNS, SENSOR_UNITS, Sensor
from fermtui.reports.import_text import refused_lines, taken_json, taken_lines, unused_lines
from fermtui.reports.readings_in import NotTaken, ReadTable, TableKind, TableRow, decoded, readings_in
from fermtui.reports.table_titles import MEASURES, NoTable
from fermtui.wording.plain import plain
from fermtui.wording.sensors import counted
from fermtui.writing import entries
from fermtui.writing.bulk_readings import Offered, write_readings
from fermtui.writing.refused import Refused

FILE_MOST = 1024 * 1024 * 1024
LOG_ROWS = 2000
LOG_GAP = timedelta(hours=3)
"""Rows that come more often than this, and more than fifty of them, were written by no hand."""
LOG_LEAST = 50
EVERY_H: float = Sensor._field_defaults["every_h"]
_EVERY = re.compile(r"(\d+(?:[.,]\d+)?)\s*(h|hours?|min|minutes?|d|days?)?\Z", re.IGNORECASE)


class Imported(NamedTuple):
    """Lines of the file: written with their entry, there already, or refused."""

    written: list[tuple[int, str]]
    there: list[int]
    refused: list[NotTaken]


def run(call: Call) -> int:
    """Write what can be written; exit 1 where a row was refused, 3 where only a guard stood in the way."""
    if call.pairs or len(call.operands) not in (0, 2):
        raise WrongUsage("import takes a vessel and a file, or nothing: `fermtui import damson readings.csv`")
    store, now = store_of(call)
    if not call.operands:
        return sensors_in.run(call, store, now)
    vessel, path = folder_of(store, call.operands[0]), call.operands[1]
    entries.kept_vessel(store, vessel)
    by, every_h = call.options.get("by", ""), every_of(call)
    known = next((one for one in store.settings.sensors if one.name == by), None)
    kind = kind_of(call, store, known)
    name = "standard input" if path == "-" else Path(path).name
    try:
        table = readings_in(decoded(_bytes_of(path)), kind, progress(plain(name, 30), "rows"))
    except FileNotFoundError:
        raise Refused(f"there is no file {path[:200]!r}") from None
    except (UnreadableFile, NoTable) as fault:
        raise Refused(f"{name}: {plain(fault, 300)}") from None
    dry = "dry-run" in call.options
    if by or every_h is not None or is_log(table):
        if every_h is None:
            every_h = EVERY_H if known is None else known.every_h
        status = _log(call, store, vessel, by or _stem(path), table, every_h, now)
        store.save()
        return status
    done, guards_only = _import(store, vessel, table, now, override=call.options.get("override"), dry=dry)
    with nullcontext() if dry else telling(_lines(vessel, done, table, dry=dry)[0]):
        if "json" in call.options:
            print_json(_as_json(vessel, done, table, dry=dry))
        else:
            print("\n".join(_lines(vessel, done, table, dry=dry)))
    store.save()
    if not done.refused:
        return 0
    return 3 if guards_only else 1


def kind_of(call: Call, store: CellarStore, sensor: Sensor | None) -> TableKind:
    """How the table is to be read: by the options, else as cellar.toml says of the sensor. Raises WrongUsage."""
    options, units = call.options, store.settings.units
    columns = _columns(options["columns"]) if "columns" in options else sensor.columns if sensor else {}
    dates = _one_of(options, "dates", DATES, sensor.dates if sensor else "iso")
    unit = _one_of(options, "unit", SENSOR_UNITS, sensor.unit if sensor else "sg")
    return TableKind(store.settings.zone, units, columns, dates, unit, sensor.temp if sensor else "")


def _one_of(options: Mapping[str, str], name: str, choices: Sequence[str], default: str) -> str:
    value = options.get(name, default)
    if value not in choices:
        raise WrongUsage(f"--{name} is one of {', '.join(choices)}, not {value[:40]!r}")
    return value


def _columns(text: str) -> dict[str, str]:
    found: dict[str, str] = {}
    for part in text.split(","):
        name, equals, title = part.partition("=")
        if not equals or name.strip() not in SENSOR_COLUMNS or not title.strip():
            like = "as in time=created_at,sg=field1"
            raise WrongUsage(f"--columns says which column is which, {like}, not {part[:40]!r}")
        found[name.strip()] = title.strip()
    return found


def every_of(call: Call) -> float | None:
    """The hours of `--every`, None without it. Raises WrongUsage."""
    text = call.options.get("every")
    if text is None:
        return None
    said = _EVERY.match(text.strip())
    hours = 0.0
    if said is not None:
        unit = (said[2] or "h")[0].lower()
        hours = float(said[1].replace(",", ".")) * {"h": 1.0, "m": 1.0 / 60.0, "d": 24.0}[unit]
    if not 0.25 <= hours <= 168.0:
        raise WrongUsage(f"--every takes a span from 15 min to 7 d, as in --every 12h, not {text[:40]!r}")
    return hours


def _bytes_of(path: str) -> bytes:
    if path == "-":
        return sys.stdin.buffer.read()
    return read_regular(expanded(path).resolve(), FILE_MOST)


def _stem(path: str) -> str:
    return "sensor" if path == "-" else Path(path).stem[:60]


def is_log(table: ReadTable) -> bool:
    """Whether a device wrote it: thousands of rows, or dozens that mostly lie less than three hours apart."""
    if any(row.by for row in table.rows):
        return False  # an export of ours
    times = sorted(row.at.timestamp() for row in table.rows)
    if len(times) > LOG_ROWS:
        return True
    return len(times) > LOG_LEAST and median(later - one for one, later in pairwise(times)) < LOG_GAP.total_seconds()


def _log(
    call: Call, store: CellarStore, vessel: str, by: str, table: ReadTable, every_h: float, now: datetime
) -> int:
    dry = "dry-run" in call.options
    taken = sensors_in.take(
        store, vessel, by, table.rows, every_h=every_h, now=now, dry=dry, again="again" in call.options
    )
    offsets = sensors_in.offsets_of(store, vessel, by)
    lines = taken_lines(taken, table.refused, dry=dry)
    with nullcontext() if dry else telling(lines[0]):
        if "json" in call.options:
            parts = taken_json(taken, table.refused, dry=dry)
            print_json({**parts, "columns_not_used": list(table.unused), **sensors_in.offsets_json(offsets)})
        else:
            told = sensors_in.offset_lines(offsets, store.settings.units)
            print("\n".join([*lines, *told, *unused_lines(table.unused)]))
    return 1 if table.refused and not table.rows else 0


def _import(
    store: CellarStore, vessel: str, table: ReadTable, now: datetime, *, override: str | None, dry: bool
) -> tuple[Imported, bool]:
    there = [_known(entry) for entry in entries.vessel_file(store, vessel).entries if isinstance(entry, records.Read)]
    done = Imported([], [], list(table.refused))
    offered: list[Offered] = []
    for row in sorted(table.rows, key=lambda one: (one.at, one.line)):
        if any(_same(row, *known) for known in there):
            done.there.append(row.line)
            continue
        there.append((row.at, row.fields))
        fields: dict[str, Scalar | None] = {**row.fields, "text": row.text, "by": row.by or None}
        offered.append(Offered(row.line, row.at, fields))
    bulk = write_readings(store, vessel, offered, now=now, override=override, dry=dry)
    done.written.extend(bulk.written)
    done.refused.extend(NotTaken(*one) for one in bulk.refused)
    done.refused.sort()
    return done, all(one.by_guard for one in done.refused)


def _known(entry: records.Read) -> tuple[datetime, Mapping[str, Decimal]]:
    """A reading that stands in the daybook, a struck one too: what was taken back does not come in again."""
    measured = {name: entry.written[name] for name in MEASURES if name in entry.written}
    return entry.at, {name: Decimal(str(value)) for name, value in measured.items()}


def _same(row: TableRow, at: datetime, fields: Mapping[str, Decimal]) -> bool:
    """At the same minute (or on the same day, where the table has no hour) with the same values."""
    same_time = row.at.date() == at.astimezone(row.at.tzinfo).date() if row.day_only else _minute(row.at) == _minute(at)
    shared = row.fields.keys() & fields.keys()
    return same_time and bool(shared) and all(row.fields[name] == fields[name] for name in shared)


def _minute(at: datetime) -> int:
    return int(at.timestamp() // 60)


def _lines(vessel: str, done: Imported, table: ReadTable, *, dry: bool) -> list[str]:
    head = f"{vessel}: {counted(len(done.written), 'reading')} {'would be ' if dry else ''}written"
    if done.there:
        head += f", {len(done.there)} there already"
    if done.refused:
        head += f", {len(done.refused)} refused"
    if any(one.by_guard for one in done.refused):
        head += " (--override REASON writes what is hard to believe all the same)"
    return [head, *refused_lines(done.refused), *unused_lines(table.unused)]


def _as_json(vessel: str, done: Imported, table: ReadTable, *, dry: bool) -> dict[str, object]:
    return {
        "vessel": vessel,
        "dry_run": dry,
        "written": [{"line": line, "entry": key or None} for line, key in done.written],
        "there_already": sorted(done.there),
        "refused": [{"line": one.line, "reason": one.reason} for one in done.refused],
        "columns_not_used": list(table.unused),
    }
