"""`fermtui demo [DIR]`: a copy of the sample cellar, its dates moved so that its story is today's."""

from __future__ import annotations

import sys

from fermtui import clock
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.open_screens import open_screen
from fermtui.daybook.files import expanded
from fermtui.wording.plain import plain
from fermtui.writing.refused import Refused
from fermtui.writing.sample import new_copy, sample_path, sample_zone


def run(call: Call) -> int:
    """Copy and open. Without DIR the copy lies in a new folder for temporary files, and is said on leaving."""
    if len(call.operands) > 1 or call.pairs:
        raise WrongUsage("demo takes one folder or none: `fermtui demo ~/mead-demo`")
    zone = sample_zone(sample_path())  # its days are days of its own zone, wherever this computer stands
    now = clock.now(zone)
    today = clock.read_when(call.options["on"], zone, now).date() if "on" in call.options else now.date()
    target = expanded(call.operands[0]) if call.operands else None
    if target is not None and target.exists() and any(target.iterdir() if target.is_dir() else [target]):
        raise Refused(f"{target} is not empty: name a new folder for the demo")
    place = new_copy(today, target)
    status = open_screen(call, place)
    if target is None:
        print(f"fermtui: this copy of the sample cellar stays in {plain(place, 400)}", file=sys.stderr)
    return status
