"""`fermtui calendar`: what is to come, for a calendar program."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import datetime, timedelta

from fermtui.cellar.store import CellarStore, VesselView
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import tell_problems, whole_view
from fermtui.cli.files_out import put_out
from fermtui.daybook.places import PAST, past_names
from fermtui.daybook.vessel_bytes import vessel_bytes
from fermtui.reports.calendar import calendar_bytes
from fermtui.reports.stock_use import since
from fermtui.writing.refused import Refused

LATELY = timedelta(days=90)


def run(call: Call) -> int:
    """Write the file to standard output or to --out; problems on stderr, exit 0 all the same."""
    if call.operands or call.pairs:
        raise WrongUsage("calendar takes no operands: `fermtui calendar --out mead.ics`")
    if "json" in call.options:
        raise WrongUsage("calendar writes iCalendar only: `fermtui due --json` has the tasks as JSON")
    store, view = whole_view(call)
    data = calendar_bytes(view, _put_away_lately(store, view.now))
    if b"BEGIN:VEVENT" not in data:
        raise Refused("no task has a date yet, so there is nothing to put into a calendar")  # RFC 5545: never empty
    written = put_out(data, call.options.get("out"))
    if written is not None:
        # Whole lines: a vessel's name may hold these words too.
        to_come = data.count(b"\r\nBEGIN:VEVENT\r\n") - data.count(b"\r\nSTATUS:CANCELLED\r\n")
        print(f"{to_come} event{'' if to_come == 1 else 's'} to come in {written}", file=sys.stderr)
    tell_problems(view.all_problems)
    store.save()
    return 0


def _put_away_lately(store: CellarStore, now: datetime) -> Iterator[VesselView]:
    """Vessels that may still have tasks in somebody's calendar."""
    for name in past_names(store.cellar):
        if since(vessel_bytes(store.cellar, name, PAST).daybook, (now - LATELY).date()):
            yield store.see(store.keep_one(name, PAST), now)
