"""The two files of a vessel -> what they say: replayed and judged, from the first line on or from where it was left."""

from __future__ import annotations

from datetime import datetime

from fermtui.cellar.parsed import ParsedVessel
from fermtui.daybook.head import Head
from fermtui.daybook.lines import added_entries, line_number
from fermtui.daybook.places import DAYBOOK
from fermtui.daybook.problem import Problem
from fermtui.daybook.settings import Settings
from fermtui.daybook.strikes import live
from fermtui.daybook.transfers import transfers_in
from fermtui.daybook.vessel_bytes import VesselBytes
from fermtui.daybook.vessel_file import parse_vessel
from fermtui.replay.state import Measures
from fermtui.schedule.standing import Judged, judged, judged_on


def from_files(
    files: VesselBytes, measures: Measures, settings: Settings, upto: datetime | None
) -> tuple[ParsedVessel, bool]:
    """What the files say up to then, and whether that is all that they say."""
    file = parse_vessel(files)
    whole = upto is None or all(e.at <= upto for e in file.entries)
    standing = file.live
    if upto is not None and not whole:
        standing, _, _ = live([e for e in file.entries if e.at <= upto])
    head = file.head or Head(name=files.name)
    problems = file.problems
    path = f"{files.place}/{files.name}/{DAYBOOK}"
    facts, rest, against = judged(head, standing, measures, settings, files.name)
    against = tuple(one._replace(line=line_number(files.daybook, one.key)) for one in against)
    strange = [e for e in standing if e.did == "unknown"]
    problems += tuple(
        Problem("unknown_kind", path, line_number(files.daybook, e.key), (str(e.extra.get("did"))[:40],))
        for e in strange
    )
    transfers = tuple(half._replace(line=line_number(files.daybook, half.key)) for half in transfers_in(standing))
    good, length = file.head is not None, len(files.daybook)
    return ParsedVessel(head, good, facts, problems, transfers, against, rest, length), whole


def added_to(
    known: ParsedVessel, files: VesselBytes, measures: Measures, settings: Settings, upto: datetime | None
) -> ParsedVessel | None:
    """What the files say where the daybook was only added to since `known`; else None.

    Also None where what was added changes what came before it, or something stands against the vessel.
    """
    if known.problems or known.standing != ():
        return None
    more = added_entries(files.daybook, known.length)
    if more is None or (upto is not None and any(entry.at > upto for entry in more)):
        return None
    on = judged_on(known.head, Judged(known.facts, known.rest), more, measures, settings, files.name)
    if on is None:
        return None
    poured = (half._replace(line=line_number(files.daybook, half.key)) for half in transfers_in(more))
    return known._replace(
        facts=on.facts, rest=on.rest, length=len(files.daybook), transfers=(*known.transfers, *poured)
    )
