"""`fermtui sync`: the maker's own git brings the cellar's computers together."""

from __future__ import annotations

import sys

from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import print_json
from fermtui.daybook.places import open_cellar
from fermtui.sync.exchange import sync
from fermtui.sync.git import NotSynced
from fermtui.wording.plain import plain
from fermtui.wording.problems import problem_text
from fermtui.writing.refused import Refused


def run(call: Call) -> int:
    """Say in one line what came and what went; what is for the maker to settle goes to stderr."""
    if call.operands or call.pairs:
        raise WrongUsage("sync takes no operands: the remote is the one of the cellar's own git repository")
    try:
        done = sync(open_cellar(call.options.get("cellar")))
    except NotSynced as fault:
        raise Refused(plain(fault, 400)) from None
    notes = (*done.notes, *map(problem_text, done.waiting))
    if "json" in call.options:
        print_json({"came": done.came, "went": done.went, "remote": done.remote, "notes": list(notes)})
    else:
        print(plain(done.line, 400))
    for note in notes:
        print(f"fermtui: {plain(note, 400)}", file=sys.stderr)
    return 0
