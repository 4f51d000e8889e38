"""`fermtui import VESSEL FILE.csv`: readings from a table, and a report of what was refused."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import nullcontext
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from fermtui.cellar.store import CellarStore
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import folder_of, print_json, store_of
from fermtui.cli.files_out import telling
from fermtui.daybook import kinds as records
from fermtui.daybook.files import UnreadableFile, expanded, read_regular
from fermtui.daybook.lines import Scalar
from fermtui.reports.readings_in import MEASURES, NoTable, NotTaken, ReadTable, TableRow, decoded, readings_in
from fermtui.wording.plain import plain
from fermtui.writing import door, entries
from fermtui.writing.refused import GUARD, Refused

FILE_MOST = 4 * 1024 * 1024


class Imported(NamedTuple):
    """Lines of the file: written with their entry, there already, or refused."""

    written: list[tuple[int, str]]
    there: list[int]
    refused: list[NotTaken]


def run(call: Call) -> int:
    """Write what can be written; exit 1 where a row was refused, 3 where only a guard stood in the way."""
    if len(call.operands) != 2 or call.pairs:
        raise WrongUsage("import takes a vessel and a file: `fermtui import damson readings.csv`")
    store, now = store_of(call)
    vessel, path = folder_of(store, call.operands[0]), call.operands[1]
    entries.kept_vessel(store, vessel)
    try:
        data = read_regular(expanded(path).resolve(), FILE_MOST)
        table = readings_in(decoded(data), store.settings.zone, store.settings.units)
    except FileNotFoundError:
        raise Refused(f"there is no file {path[:200]!r}") from None
    except (UnreadableFile, NoTable) as fault:
        raise Refused(f"{Path(path).name}: {plain(fault, 300)}") from None
    dry = "dry-run" in call.options
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


def _import(
    store: CellarStore, vessel: str, table: ReadTable, now: datetime, *, override: str | None, dry: bool
) -> tuple[Imported, bool]:
    there = [_known(entry) for entry in entries.vessel_file(store, vessel).entries if isinstance(entry, records.Read)]
    done = Imported([], [], list(table.refused))
    guards_only = not table.refused
    # In order of time, so that each reading is judged by the one before it.
    for row in sorted(table.rows, key=lambda one: (one.at, one.line)):
        if any(_same(row, *known) for known in there):
            done.there.append(row.line)
            continue
        fields: dict[str, Scalar | None] = {**row.fields, "text": row.text}
        try:
            if dry:
                entries.prepare(store, vessel, "read", fields, at=row.at, now=now, override=override)
                key = ""
            else:
                key = door.write(store, vessel, "read", fields, at=row.at, now=now, override=override).key
        except Refused as refused:
            by_guard = refused.code == GUARD
            done.refused.append(NotTaken(row.line, str(refused).removeprefix(f"{vessel}: "), by_guard))
            guards_only = guards_only and by_guard
            continue
        there.append((row.at, row.fields))
        done.written.append((row.line, key))
    done.refused.sort()
    return done, guards_only


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
    count = len(done.written)
    head = f"{vessel}: {count} reading{'' if count == 1 else 's'} {'would be ' if dry else ''}written"
    if done.there:
        head += f", {len(done.there)} there already"
    if done.refused:
        head += f", {len(done.refused)} refused"
    if any(one.by_guard for one in done.refused):
        head += " (--override REASON writes what is hard to believe all the same)"
    lines = [head, *(f"line {one.line}: {plain(one.reason, 400)}" for one in done.refused)]
    if table.unused:
        lines.append("columns not used: " + ", ".join(plain(title, 30) for title in table.unused[:12]))
    return lines


def _as_json(vessel: str, done: Imported, table: ReadTable, *, dry: bool) -> dict[str, object]:
    return {
        "vessel": vessel,
        "dry_run": dry,
        "written": [{"line": line, "entry": key or None} for line, key in done.written],
        "there_already": sorted(done.there),
        "refused": [{"line": one.line, "reason": one.reason} for one in done.refused],
        "columns_not_used": list(table.unused),
    }
