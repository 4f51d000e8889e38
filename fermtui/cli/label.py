"""`fermtui label VESSEL`: text to print for each lot of its bottles."""

from __future__ import annotations

import sys

from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import folder_of, print_json, store_of, vessel_of
from fermtui.reports.label import LAW, SULFITE, boxed, label_json, label_lines
from fermtui.reports.lots import contains_sulfites
from fermtui.writing.refused import Refused


def run(call: Call) -> int:
    """Print a label for each lot; what local law has to say about it goes to stderr."""
    if len(call.operands) != 1 or call.pairs:
        raise WrongUsage("label takes a vessel: `fermtui label damson-26`")
    store, now = store_of(call)
    vessel = store.see(vessel_of(store, folder_of(store, call.operands[0])), now)
    lots = vessel.facts.lots
    if not lots:
        raise Refused(f"{vessel.vessel} has no bottles yet: a label is for what has been bottled")
    if "json" in call.options:
        print_json({"labels": [label_json(vessel, lot, store.settings) for lot in lots]})
    else:
        print("\n\n".join("\n".join(boxed(label_lines(vessel, lot, store.settings))) for lot in lots))
    if not all(contains_sulfites(vessel.facts, lot) for lot in lots):
        print(f"fermtui: {SULFITE}", file=sys.stderr)
    print(f"fermtui: {LAW}", file=sys.stderr)
    store.save()
    return 0
