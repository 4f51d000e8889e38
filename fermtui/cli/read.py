"""`fermtui read VESSEL TEXT`: a reading, as typed on the reading line."""

from __future__ import annotations

import sys

from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import at_of, folder_of, store_of
from fermtui.cli.writing import tell
from fermtui.units import Unreadable
from fermtui.writing import door, entries
from fermtui.writing.reading_line import read_line
from fermtui.writing.refused import Refused


def run(call: Call) -> int:
    """Write the reading. An implausible one exits 3 unless override= gives a reason. Raises Refused."""
    if not call.operands or len(call.operands) + len(call.pairs.keys() - {"override", "text", "task"}) < 2:
        raise WrongUsage("read takes a vessel and a reading: `fermtui read damson 1.042 21`")
    store, now = store_of(call)
    typed_name, *words = call.operands
    vessel = folder_of(store, typed_name)
    words += [f"{name}={value}" for name, value in call.pairs.items() if name not in ("override", "text", "task")]
    loaded = entries.kept_vessel(store, vessel)
    try:
        typed = read_line(" ".join(words), at_of(call, store, now), store.settings.units)
    except Unreadable as bad:
        raise Refused(str(bad)) from None
    if typed.understood:
        print(f"fermtui: understood as {typed.understood}", file=sys.stderr)
    store.prepare_forecasts([loaded.name])
    fields: dict[str, object] = dict(typed.fields)
    for name in ("text", "task"):
        if (value := call.pairs.get(name, call.options.get(name))) is not None:
            fields[name] = value
    override = call.pairs.get("override", call.options.get("override"))
    done = door.write(store, vessel, "read", fields, at=typed.at, now=now, override=override)  # type: ignore[arg-type]
    tell(done, store, call)
    return 0
