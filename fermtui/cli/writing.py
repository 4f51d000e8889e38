"""`fermtui tick`, `write`, `strike`, `undo` and `redo`: entries by command."""

from __future__ import annotations

import sys
from datetime import date, datetime
from typing import Any, NamedTuple

from fermtui import clock
from fermtui.cellar.store import CellarStore
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import at_of, folder_of, print_json, store_of, tell_problems
from fermtui.cli.files_out import telling
from fermtui.daybook.fields import Unfit
from fermtui.daybook.files import NotWritten
from fermtui.daybook.lines import Scalar
from fermtui.replay.stabilised import free_so2_mg_per_l, total_so2_mg_per_l
from fermtui.wording.amounts import sulfite_text
from fermtui.wording.cautions import caution_lines
from fermtui.wording.findings import finding_text
from fermtui.wording.plain import plain
from fermtui.writing import door, entries
from fermtui.writing.confirmation import written_text
from fermtui.writing.entries import WrittenEntry
from fermtui.writing.field_input import fields_from_words
from fermtui.writing.refused import Refused
from fermtui.writing.task_names import task_named
from fermtui.writing.undo import strike_all_by


def run(call: Call) -> int:
    """Write one entry and say what stands on the disk now. Raises Refused."""
    store, now = store_of(call)
    at = at_of(call, store, now)
    if call.command == "strike" and "by" in call.options:
        return _strike_by(call, store, at)
    commands = {"tick": _tick, "write": _write, "strike": _strike, "undo": _undo, "redo": _undo}[call.command]
    tell(commands(call, store, at, now), store, call)
    return 0


def words_of(call: Call) -> dict[str, str]:
    """key=value operands, with --text and --override among them; both are not given twice."""
    words = dict(call.pairs)
    for name in ("text", "override"):
        if name in call.options:
            if name in words:
                raise WrongUsage(f"{name} is given twice: give it once")
            words[name] = call.options[name]
    return words


def _fields(
    did: str, words: dict[str, str], store: CellarStore, today: date
) -> tuple[dict[str, Scalar | None], str | None]:
    override = words.pop("override", None)
    try:
        given = fields_from_words(did, words, store.settings.zone, store.settings.units, today)
    except Unfit as bad:
        raise Refused(str(bad)) from None
    return dict(given), override


def _write(call: Call, store: CellarStore, at: datetime, now: datetime) -> WrittenEntry:
    if len(call.operands) != 2:
        raise WrongUsage("write takes a vessel, what was done, and key=value: `fermtui write damson degas`")
    vessel, did = folder_of(store, call.operands[0]), call.operands[1]
    fields, override = _fields(did, words_of(call), store, now.date())
    return door.write(store, vessel, did, fields, at=at, now=now, override=override)


def _tick(call: Call, store: CellarStore, at: datetime, now: datetime) -> WrittenEntry:
    if len(call.operands) < 2:
        raise WrongUsage("tick takes a vessel and a task: `fermtui tick damson dose-2`")
    vessel, name = folder_of(store, call.operands[0]), " ".join(call.operands[1:])
    entries.kept_vessel(store, vessel)
    store.prepare_forecasts([vessel])  # the readings that are asked for hang on it
    seen = store.see(store.vessels[vessel], now)
    task = task_named(seen, name)
    fields, override = _fields(task.do, words_of(call), store, now.date())
    return door.tick(store, seen, task.key, fields, at=at, now=now, override=override)


def _strike(call: Call, store: CellarStore, at: datetime, _now: datetime) -> WrittenEntry:
    if not 1 <= len(call.operands) <= 2 or call.pairs:
        raise WrongUsage("strike takes a vessel, and the key of an entry where it is not the last one")
    entry = call.operands[1] if len(call.operands) == 2 else None
    return door.strike(store, folder_of(store, call.operands[0]), entry, at=at)


def _strike_by(call: Call, store: CellarStore, at: datetime) -> int:
    """Take back all that a sensor read in a vessel."""
    if len(call.operands) != 1 or call.pairs:
        raise WrongUsage("strike --by takes a vessel: `fermtui strike damson --by float-1`")
    vessel, by = folder_of(store, call.operands[0]), call.options["by"]
    keys = strike_all_by(store, vessel, by, at=at)
    done = f"{vessel}: took back {len(keys)} readings by {plain(by, 40)}"
    with telling(done):
        if "json" in call.options:
            print_json({"vessel": vessel, "by": by, "struck": len(keys), "entries": list(keys)})
        else:
            print(f"{done}; `fermtui import {vessel} FILE --by {plain(by, 40)} --again` takes them in anew")
    store.save()
    return 0


def _undo(call: Call, store: CellarStore, at: datetime, _now: datetime) -> WrittenEntry:
    if len(call.operands) > 1 or call.pairs:
        raise WrongUsage(f"{call.command} takes a vessel, or none for what was done last in the whole cellar")
    step = door.undo if call.command == "undo" else door.redo
    return step(store, folder_of(store, call.operands[0]) if call.operands else None, at=at)


def tell(done: WrittenEntry, store: CellarStore, call: Call) -> None:
    """Say what was written; advice and cautions on stderr."""
    with telling(f"entry {done.key} is written to {done.vessel}"):
        _tell(done, store, call)
    renew_pages(store)
    store.save()


def renew_pages(store: CellarStore) -> None:
    """Write the pages anew where cellar.toml names a folder; the entry stands on the disk whether or not that works."""
    if not store.settings.page.out or store.upto is not None:
        return
    from fermtui.reports.site import renew_site  # with its templates: most cellars have no pages

    try:
        renew_site(store, clock.now(store.settings.zone))
    except NotWritten as fault:
        print(f"fermtui: {plain(fault, 400)}; the entry is written", file=sys.stderr)


def _tell(done: WrittenEntry, store: CellarStore, call: Call) -> None:
    units = store.settings.units
    for name in (done.vessel, *done.also):
        if (loaded := store.vessels.get(name)) is not None:
            tell_problems(store.problems_of(loaded))
    for finding in done.findings:
        print(f"fermtui: {finding_text(finding, units)}", file=sys.stderr)
    for line in caution_lines(done.cautions, units):
        print(f"fermtui: {line}", file=sys.stderr)
    so2 = _so2(done, store)
    if "json" in call.options:
        print_json({**written_json(done), **({} if so2 is None else {"so2": so2._asdict()})})
    else:
        print(written_text(done, units))
        if so2 is not None:
            print(f"then {sulfite_text(so2.free_at_most_mg_per_l, so2.total_mg_per_l)}")


class Sulfur(NamedTuple):
    """SO2 in a vessel after a dose, mg/L, and how much of it is counted as bound."""

    free_at_most_mg_per_l: float
    total_mg_per_l: float
    bound_percent: float


def _so2(done: WrittenEntry, store: CellarStore) -> Sulfur | None:
    """The SO2 that is in it after a dose of sulfite; None after anything else."""
    loaded = store.vessels.get(done.vessel)
    if done.did != "sulfite" or loaded is None:
        return None
    total = total_so2_mg_per_l(loaded.facts)
    free = min(total, free_so2_mg_per_l(loaded.facts))
    return Sulfur(round(free, 1), round(total, 1), round(100 * (1 - free / total), 1)) if total > 0.0 else None


def written_json(done: WrittenEntry) -> dict[str, Any]:
    """What was written, as scripts read it."""
    return {
        "vessel": done.vessel,
        "entry": done.key,
        "did": done.did,
        "at": done.at.isoformat(),
        "fields": {name: _plain(value) for name, value in done.fields.items()},
        "also": list(done.also),
    }


def _plain(value: Any) -> Any:
    if hasattr(value, "isoformat"):
        return value.isoformat()
    return value if isinstance(value, str | bool | int) or value is None else float(value)
