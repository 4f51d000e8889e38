"""Sentences about an entry that is typed, was just written, or was taken out by somebody else."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from fermtui.cellar.store import View
from fermtui.daybook.lines import entry_of_line
from fermtui.daybook.strikes import behind
from fermtui.units import Units, show_gravity, show_number, show_temp
from fermtui.wording.dates import day_text
from fermtui.wording.fields import as_written
from fermtui.wording.kinds import done_text
from fermtui.wording.plain import plain

if TYPE_CHECKING:
    from fermtui.daybook.vessel_file import VesselFile
    from fermtui.writing.entries import WrittenEntry
    from fermtui.writing.reading_check import InterpretedReading


def reading_meaning(reading: InterpretedReading, units: Units) -> str:
    """What a typed reading means: gravity at 20 °C, strength, change since the last, breaks that it passes."""
    parts = [reading.understood] if reading.understood else []
    if reading.sg is not None:
        parts.append(f"{show_gravity(reading.sg, units, 4)} at {show_temp(20.0, units)}")
        if reading.after.abv_percent is not None and reading.after.day is not None:
            strength = show_number(reading.after.abv_percent, 1, units)
            parts.append(f"{strength} % ± {show_number(reading.after.abv_plus_minus or 0.0, 1, units)}")
        if reading.before is not None and reading.before.sg is not None:
            parts.append(_change(reading.sg - reading.before.sg, reading.before.at, reading.at))
        parts += [f"{name} passed" for name in reading.passed]
    elif "temp_c" in reading.fields:
        parts.append(show_temp(float(reading.fields["temp_c"]), units))
    if "ph" in reading.fields:
        parts.append(f"pH {as_written(reading.fields['ph'], units)}")
    if "free_so2_mg_per_l" in reading.fields:
        parts.append(f"free SO2 {as_written(reading.fields['free_so2_mg_per_l'], units)} mg/L")
    return " · ".join(parts)


def _change(change_sg: float, since: datetime, at: datetime) -> str:
    points, since = round(abs(change_sg) * 1000), since.astimezone(at.tzinfo)
    if since.date() == at.date():
        when = f"{since:%H:%M}"
    else:
        when = day_text(since.date()) if (at - since).days >= 7 else f"{since:%A}"
    if points == 0:
        return f"as at {when}" if since.date() == at.date() else f"as on {when}"
    return f"{'down' if change_sg < 0 else 'up'} {points} {'point' if points == 1 else 'points'} since {when}"


def written_line(done: WrittenEntry, view: View) -> str:
    """What has just been written: the vessel by its name, and the entry."""
    return f"{_name(view, done.vessel)}: {done_text(done.did, done.fields, view.settings.units)}"


def undone_line(view: View, file: VesselFile, key: str) -> tuple[bool, str]:
    """Whether the entry that a strike is about stands now, and that entry with its vessel and its day."""
    by_key = {one.key: one for one in file.entries}
    name, entry = _name(view, file.name), by_key.get(key)
    if entry is None:
        return False, name
    about, _ = behind(entry, by_key)
    at = about.at.astimezone(view.settings.zone)
    words = f"{name}: {done_text(about.did, about.written, view.settings.units)}, {day_text(at.date())} {at:%H:%M}"
    return about.key not in file.struck, words


def lost_text(lost: Sequence[tuple[str, str]], view: View) -> str:
    """What was written in this session (vessel, line) and is in no daybook any more."""
    vessel, line = lost[0]
    entry = entry_of_line(line)
    more = f" and {len(lost) - 1} more" if len(lost) > 1 else ""
    what = done_text(entry.did, entry.written, view.settings.units)
    return f"an editor saved over {_name(view, vessel)}, {what}{more}"


def _name(view: View, folder: str) -> str:
    vessel = view.vessel(folder)
    return plain(vessel.name if vessel else folder, 30)
