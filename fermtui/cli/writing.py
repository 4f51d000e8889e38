"""`fermtui tick`, `write` and `strike`: entries by command."""

from __future__ import annotations

import sys
from datetime import date, datetime
from typing import Any

from fermtui.cellar.store import Watched
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.named import folder_of
from fermtui.cli.session import at_of, print_json, tell_problems, watched_of
from fermtui.daybook.fields import Unfit
from fermtui.daybook.lines import Scalar
from fermtui.wording.cautions import caution_lines
from fermtui.wording.findings import finding_text
from fermtui.wording.said import written_text
from fermtui.writing import entries as acts
from fermtui.writing.entries import Written
from fermtui.writing.field_input import fields_from_words
from fermtui.writing.refused import Refused
from fermtui.writing.task_names import picked


def run(call: Call) -> int:
    """Write one entry and say what stands on the disk now. Raises Refused."""
    watched, now = watched_of(call)
    at = at_of(call, watched, now)
    doing = {"tick": _tick, "write": _write, "strike": _strike}[call.command]
    tell(doing(call, watched, at, now), watched, call)
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
    did: str, words: dict[str, str], watched: Watched, today: date
) -> tuple[dict[str, Scalar | None], str | None]:
    override = words.pop("override", None)
    try:
        given = fields_from_words(did, words, watched.settings.zone, watched.settings.units, today)
    except Unfit as bad:
        raise Refused(str(bad)) from None
    return dict(given), override


def _write(call: Call, watched: Watched, at: datetime, now: datetime) -> Written:
    if len(call.operands) != 2:
        raise WrongUsage("write takes a vessel, what was done, and key=value: `fermtui write damson degas`")
    vessel, did = folder_of(watched, call.operands[0]), call.operands[1]
    fields, override = _fields(did, words_of(call), watched, now.date())
    return acts.write(watched, vessel, did, fields, at=at, now=now, override=override)


def _tick(call: Call, watched: Watched, at: datetime, now: datetime) -> Written:
    if len(call.operands) < 2:
        raise WrongUsage("tick takes a vessel and a task: `fermtui tick damson dose-2`")
    vessel, name = folder_of(watched, call.operands[0]), " ".join(call.operands[1:])
    acts.kept_vessel(watched, vessel)
    watched.promise([vessel])  # the readings that are asked for hang on it
    seen = watched.see(watched.kept[vessel], now)
    task = picked(seen, name)
    fields, override = _fields(task.do, words_of(call), watched, now.date())
    return acts.tick(watched, seen, task.key, fields, at=at, now=now, override=override)


def _strike(call: Call, watched: Watched, at: datetime, _now: datetime) -> Written:
    if not 1 <= len(call.operands) <= 2 or call.pairs:
        raise WrongUsage("strike takes a vessel, and the key of an entry where it is not the last one")
    entry = call.operands[1] if len(call.operands) == 2 else None
    return acts.strike(watched, folder_of(watched, call.operands[0]), entry, at=at)


def tell(done: Written, watched: Watched, call: Call) -> None:
    """Say what was written; advice and cautions on stderr."""
    units = watched.settings.units
    for name in (done.vessel, *done.also):
        if (kept := watched.kept.get(name)) is not None:
            tell_problems(watched.problems_of(kept))
    for finding in done.findings:
        print(f"fermtui: {finding_text(finding, units)}", file=sys.stderr)
    for line in caution_lines(done.cautions):
        print(f"fermtui: {line}", file=sys.stderr)
    if "json" in call.options:
        print_json(written_json(done))
    else:
        print(written_text(done, units))
    watched.save()


def written_json(done: Written) -> dict[str, Any]:
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
