"""`fermtui compare VESSEL VESSEL ...`: batches side by side."""

from __future__ import annotations

from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import file_of, folder_of, print_json, store_of, tell_problems, vessel_of
from fermtui.daybook.problem import Problem
from fermtui.reports.compare import BATCHES_MOST, as_json, batch_of, comparison
from fermtui.reports.curves import LETTERS
from fermtui.reports.document import text_lines


def run(call: Call) -> int:
    """Print the comparison; vessels at work and put away alike."""
    names = call.operands
    if not 2 <= len(names) <= BATCHES_MOST or call.pairs:
        raise WrongUsage(f"compare takes from two to {BATCHES_MOST} vessels: `fermtui compare damson-25 damson-26`")
    store, now = store_of(call)
    names = tuple(folder_of(store, name) for name in names)
    if len(set(names)) < len(names):
        raise WrongUsage("compare takes each vessel once")
    zone = store.settings.zone
    problems: list[Problem] = []
    batches = []
    for letter, name in zip(LETTERS, names, strict=False):
        vessel = store.see(vessel_of(store, name), now)
        problems += vessel.problems
        batches.append(batch_of(letter, vessel, file_of(store, name), zone))
    if "json" in call.options:
        print_json({"batches": [as_json(batch) for batch in batches]})
    else:
        print("\n".join(text_lines(f"{len(batches)} batches", comparison(batches, store.settings))))
    tell_problems(problems)
    store.save()
    return 0
