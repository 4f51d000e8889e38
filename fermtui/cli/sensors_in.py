"""`fermtui import` without a file: what the sensors of cellar.toml logged, each into the vessel that it floats in."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from contextlib import nullcontext
from datetime import datetime
from pathlib import Path
from typing import Any, NamedTuple

from fermtui.cellar.store import CellarStore
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import folder_of, print_json
from fermtui.cli.files_out import progress, telling
from fermtui.daybook.files import UnreadableFile, expanded, read_regular
from fermtui.daybook.settings import Sensor
from fermtui.replay.facts import SensorOffset
from fermtui.reports.import_text import taken_json, taken_lines
from fermtui.reports.json_parts import offset_json
from fermtui.reports.readings_in import NotTaken, TableKind, TableRow, decoded, readings_in
from fermtui.reports.table_titles import NoTable
from fermtui.units import Units
from fermtui.wording.plain import plain
from fermtui.wording.sensors import offset_text
from fermtui.writing.entries import kept_vessel
from fermtui.writing.medians import LogRow
from fermtui.writing.refused import Refused
from fermtui.writing.sensor_log import Taken, take_log

FILE_MOST = 1024 * 1024 * 1024
FILES_MOST = 10_000
ENDINGS = (".csv", ".tsv", ".txt")


class SensorDone(NamedTuple):
    """What became of one sensor: by vessel what was taken in, and sentences about what could not be."""

    name: str
    taken: list[tuple[Taken, tuple[NotTaken, ...]]]
    faults: list[str]


def run(call: Call, store: CellarStore, now: datetime) -> int:
    """Take in all sensors, or the one of `--by`. Exit status 1 where one of them could not be. Raises Refused."""
    refuse_options(call)
    wanted = call.options.get("by")
    sensors = [one for one in store.settings.sensors if wanted is None or one.name == wanted]
    if not sensors:
        there = ", ".join(plain(one.name, 40) for one in store.settings.sensors)
        if wanted is not None and there:
            raise Refused(f"cellar.toml has no sensor {plain(wanted, 40)!r}; there are: {there}")
        raise Refused(
            "no sensor is named: give a vessel and a file, as in `fermtui import damson log.csv`, "
            "or write a [[sensor]] into cellar.toml"
        )
    dry, again = "dry-run" in call.options, "again" in call.options
    done = [_sensor(store, sensor, now, dry=dry, again=again) for sensor in sensors]
    count = sum(taken.new for one in done for taken, _ in one.taken)
    with nullcontext() if dry else telling(f"{count} readings were written"):
        if "json" in call.options:
            print_json({"sensors": [_as_json(store, one, dry=dry) for one in done]})
        else:
            print("\n".join(line for one in done for line in _lines(store, one, dry=dry)))
    for one in done:
        for fault in one.faults:
            print(f"fermtui: {plain(one.name, 40)}: {plain(fault, 400)}", file=sys.stderr)
    store.save()
    return 1 if any(one.faults for one in done) else 0


def _lines(store: CellarStore, done: SensorDone, *, dry: bool) -> list[str]:
    lines: list[str] = []
    for taken, refused in done.taken:
        offsets = offsets_of(store, taken.vessel, done.name)
        lines += [*taken_lines(taken, refused, dry=dry), *offset_lines(offsets, store.settings.units)]
    return lines


def refuse_options(call: Call) -> None:
    """What belongs to a table that is named stands in cellar.toml for a sensor. Raises WrongUsage."""
    for name in ("columns", "dates", "unit", "every", "override"):
        if name in call.options:
            raise WrongUsage(f"--{name} goes with a vessel and a file; a sensor has it in cellar.toml")


def _sensor(store: CellarStore, sensor: Sensor, now: datetime, *, dry: bool, again: bool) -> SensorDone:
    done = SensorDone(sensor.name, [], [])
    rows: list[TableRow] = []
    refused: list[NotTaken] = []
    kind = TableKind(
        store.settings.zone, store.settings.units, sensor.columns, sensor.dates, sensor.unit, sensor.temp
    )  # fmt: skip
    for path in _files(store, sensor, done.faults):
        try:
            table = readings_in(decoded(read_regular(path, FILE_MOST)), kind, progress(plain(path.name, 30), "rows"))
        except FileNotFoundError:
            done.faults.append(f"there is no file {path}")
        except (UnreadableFile, NoTable) as fault:
            done.faults.append(f"{path.name}: {fault}")
        else:
            rows += table.rows
            refused += table.refused
    by_vessel: dict[str, list[TableRow]] = {}
    for row in rows:
        by_vessel.setdefault(row.vessel or sensor.vessel or "", []).append(row)
    for number, (name, own) in enumerate(sorted(by_vessel.items())):
        try:
            if not name:
                raise Refused(f"{len(own):,} rows name no vessel")
            vessel = folder_of(store, name)
            taken = take(
                store, vessel, sensor.name, own, every_h=sensor.every_h, now=now, dry=dry, again=again
            )  # fmt: skip
        except Refused as fault:
            done.faults.append(str(fault))
            continue
        done.taken.append((taken, tuple(refused) if number == 0 else ()))
    if refused and not done.taken:
        done.faults.append(f"{len(refused):,} rows cannot be read (line {refused[0].line}: {refused[0].reason})")
    return done


def _files(store: CellarStore, sensor: Sensor, faults: list[str]) -> list[Path]:
    """The table, or those of the folder; a path without a root is counted from the cellar."""
    path = (store.cellar.path / expanded(sensor.file)).resolve()
    if not path.is_dir():
        return [path]
    try:
        found = sorted(one for one in path.iterdir() if one.suffix.lower() in ENDINGS)
    except OSError as fault:
        faults.append(f"{path}: {fault.strerror or fault}")
        return []
    if not found or len(found) > FILES_MOST:
        faults.append(f"{path} holds {len(found) or 'no'} tables ({', '.join(ENDINGS)})")
    return found[:FILES_MOST]


def take(
    store: CellarStore,
    vessel: str,
    by: str,
    rows: Iterable[TableRow],
    *,
    every_h: float,
    now: datetime,
    dry: bool,
    again: bool,
) -> Taken:
    """Take the rows that hold a gravity into a vessel. Raises Refused."""
    log = [
        LogRow(row.at, float(row.fields["sg"]), float(row.fields["temp_c"]) if "temp_c" in row.fields else None)
        for row in rows
        if "sg" in row.fields
    ]
    return take_log(store, vessel, by, log, every_h=every_h, now=now, dry=dry, again=again)


def offsets_of(store: CellarStore, vessel: str, by: str) -> list[SensorOffset]:
    """What hand readings tell of this sensor, in this vessel."""
    return [one for one in kept_vessel(store, vessel).facts.sensors if one.name == by]


def offset_lines(offsets: Iterable[SensorOffset], units: Units) -> list[str]:
    """A sentence each."""
    return [f"  {offset_text(one, units)}" for one in offsets]


def offsets_json(offsets: Iterable[SensorOffset]) -> dict[str, Any]:
    """The same for scripts."""
    return {"offset": next((offset_json(one) for one in offsets), None)}


def _as_json(store: CellarStore, done: SensorDone, *, dry: bool) -> dict[str, Any]:
    parts = [
        {**taken_json(taken, refused, dry=dry), **offsets_json(offsets_of(store, taken.vessel, done.name))}
        for taken, refused in done.taken
    ]
    return {"sensor": done.name, "vessels": parts, "faults": done.faults}
