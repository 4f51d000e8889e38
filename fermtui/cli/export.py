"""`fermtui export [VESSEL]`: readings and entries as CSV, or with --json."""

from __future__ import annotations

import sys

from fermtui.cellar.store import CellarStore
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import file_of, folder_of, store_of, tell_problems, vessel_of
from fermtui.cli.files_out import put_out
from fermtui.cli.show import entry_json
from fermtui.daybook.places import past_names
from fermtui.daybook.problem import Problem
from fermtui.reports.export import Exported, csv_text
from fermtui.wording.plain import json_text, plain


def run(call: Call) -> int:
    """One vessel, or all, past ones too. A damaged one that was named exits 1, after all that is good was written."""
    if len(call.operands) > 1 or call.pairs:
        raise WrongUsage("export takes one vessel or none: `fermtui export damson --out damson.csv`")
    store, _now = store_of(call)
    names = call.operands or (*store.names(), *past_names(store.cellar))
    problems: list[Problem] = []
    vessels = [_one(store, name, problems) for name in names]
    if "json" in call.options:
        text = json_text({"vessels": [_as_json(one) for one in vessels]}) + "\n"
    else:
        text = csv_text(vessels)
    written = put_out(text.encode("utf-8", "replace"), call.options.get("out"))
    if written is not None:
        count = sum(len(one.file.entries) for one in vessels)
        print(f"{count} entries of {len(vessels)} vessels in {plain(written, 400)}", file=sys.stderr)
    tell_problems(problems)
    store.save()
    return 1 if problems and call.operands else 0


def _one(store: CellarStore, typed: str, problems: list[Problem]) -> Exported:
    name = folder_of(store, typed)
    loaded = vessel_of(store, name)
    problems += loaded.problems
    return Exported(name, file_of(store, name), loaded.facts)


def _as_json(one: Exported) -> dict[str, object]:
    return {
        "vessel": one.vessel,
        "readings": [
            {
                "entry": r.key, "at": r.at.isoformat(), "sg_at_20c": None if r.sg is None else round(r.sg, 5),
                "temp_c": r.temp_c, "ph": r.ph, "free_so2_mg_per_l": r.free_so2_mg_per_l,
            }
            for r in one.facts.readings
        ],
        "entries": [entry_json(entry, one.file) for entry in one.file.entries],
    }  # fmt: skip
