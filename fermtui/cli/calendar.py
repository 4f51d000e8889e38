"""`fermtui calendar`: what is to come, for a calendar program."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

from fermtui.cellar.store import CellarStore, VesselView
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import days_of, folder_of, tell_problems, whole_view
from fermtui.cli.files_out import put_out
from fermtui.daybook.places import DAYBOOK, HEAD, PAST, VESSELS, past_names
from fermtui.daybook.vessel_bytes import vessel_bytes
from fermtui.reports.calendar import ALARM_HOUR, Wanted, calendar_bytes
from fermtui.reports.stock_use import since
from fermtui.wording.plain import plain
from fermtui.writing.refused import Refused

LATELY = timedelta(days=90)
STAMP = re.compile(rb"^(\d{8}T\d{9})-[0-9a-z]{6}\s*=", re.MULTILINE)


def run(call: Call) -> int:
    """Write the file to standard output or to --out; problems on stderr, exit 0 all the same."""
    if call.operands or call.pairs:
        raise WrongUsage("calendar takes no operands: `fermtui calendar --out mead.ics`")
    if "json" in call.options:
        raise WrongUsage("calendar writes iCalendar only: `fermtui due --json` has the tasks as JSON")
    hour = _alarm_hour(call)
    within = days_of(call, Wanted().within)
    store, view = whole_view(call)
    gone = list(_put_away_lately(store, view.now))
    if "vessel" in call.options:
        only = folder_of(store, call.options["vessel"])
        known = [vessel for vessel in (*view.vessels, *gone) if vessel.vessel == only]
        if not known:
            raise Refused(f"there is no vessel {plain(only, 60)!r} in this cellar: `fermtui show` lists them")
        view = view._replace(vessels=tuple(vessel for vessel in view.vessels if vessel.vessel == only))
        gone = [vessel for vessel in gone if vessel.vessel == only]
    changed = {vessel.vessel: _written_at(store, vessel.vessel, VESSELS) for vessel in view.vessels}
    changed |= {vessel.vessel: _written_at(store, vessel.vessel, PAST) for vessel in gone}
    data = calendar_bytes(view, gone, Wanted(within, hour, changed, f"Mead: {store.cellar.path.name}"))
    if b"BEGIN:VEVENT" not in data:
        raise Refused("no task has a date yet, so there is nothing to put into a calendar")  # RFC 5545: never empty
    written = put_out(data, call.options.get("out"))
    if written is not None:
        # Whole lines: a vessel's name may hold these words too.
        to_come = data.count(b"\r\nBEGIN:VEVENT\r\n") - data.count(b"\r\nSTATUS:CANCELLED\r\n")
        print(f"{to_come} event{'' if to_come == 1 else 's'} to come in {plain(written, 400)}", file=sys.stderr)
    tell_problems(view.all_problems)
    store.save()
    return 0


def _alarm_hour(call: Call) -> int | None:
    """The hour of `--alarm`; None for none. Raises WrongUsage."""
    given = call.options.get("alarm", str(ALARM_HOUR))
    if given == "none":
        return None
    if not (given.isascii() and given.isdigit()) or int(given) > 23:
        raise WrongUsage("--alarm takes an hour from 0 to 23, or none, as in --alarm 7")
    return int(given)


def _written_at(store: CellarStore, name: str, place: str) -> datetime:
    """When a line was last written to the daybook, by its key, or one of the vessel's files was changed."""
    stamps = STAMP.findall(vessel_bytes(store.cellar, name, place).daybook)
    folder = store.cellar.path / place / name
    times = [path.stat().st_mtime for path in (folder / HEAD, folder / DAYBOOK) if path.exists()]
    changed = [datetime.fromtimestamp(seconds, UTC) for seconds in times]
    if stamps:
        changed.append(datetime.strptime(max(stamps).decode() + "000", "%Y%m%dT%H%M%S%f").replace(tzinfo=UTC))
    past = [at for at in changed if store.upto is None or at <= store.upto]
    return max(past, default=datetime.fromtimestamp(0, UTC))


def _put_away_lately(store: CellarStore, now: datetime) -> Iterator[VesselView]:
    """Vessels that may still have tasks in somebody's calendar."""
    for name in past_names(store.cellar):
        if since(vessel_bytes(store.cellar, name, PAST).daybook, (now - LATELY).date()):
            yield store.see(store.keep_one(name, PAST), now)
