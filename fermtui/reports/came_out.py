"""What a batch came to that is to be made again: numbers, tastings and notes, to stand beside the new plan."""

from __future__ import annotations

from datetime import datetime
from typing import Any, NamedTuple

from fermtui.cellar.store import CellarStore
from fermtui.daybook.kinds import Note
from fermtui.daybook.settings import Settings
from fermtui.daybook.vessel_file import read_vessel
from fermtui.reports.compare import Batch, as_json, batch_of
from fermtui.units import show_gravity, show_number
from fermtui.wording.plain import plain

NOTES_MOST = 4
NOTE_MOST = 200


class CameOut(NamedTuple):
    """One batch: its numbers and tastings, and its newest notes, `2026-03-12: racked too early`."""

    batch: Batch
    noted: tuple[str, ...]


def came_out(store: CellarStore, vessel: str, now: datetime) -> CameOut | None:
    """What a vessel at work or put away came to; None where there is none, or where it was never pitched."""
    loaded = store.load_one(vessel)
    if loaded is None or loaded.facts.pitched_at is None:
        return None
    zone = store.settings.zone
    file = read_vessel(store.cellar, loaded.name, loaded.place)
    notes = [
        f"{entry.at.astimezone(zone):%Y-%m-%d}: {plain(entry.text, NOTE_MOST)}"
        for entry in file.live
        if isinstance(entry, Note) and entry.text and entry.at <= now
    ]
    return CameOut(batch_of("A", store.see(loaded, now), file, zone), tuple(notes[-NOTES_MOST:]))


def came_out_rows(found: CameOut, settings: Settings) -> list[tuple[str, str]]:
    """Label and value: how it ran, how it tasted, what was noted; the newest tasting first."""
    batch = found.batch
    rows = [("last time", _ran(batch, settings))]
    scores = ", ".join(f"{score:g}" for score in batch.scores)
    tasted = ([f"{scores} of 20"] if scores else []) + list(reversed(batch.notes))
    if tasted:
        rows.append(("tasted", "; ".join(tasted)))
    if found.noted:
        rows.append(("noted", "; ".join(reversed(found.noted))))
    return rows


def _ran(batch: Batch, settings: Settings) -> str:
    units = settings.units
    last = batch.fg if batch.fg is not None else batch.last_sg
    gravities = " to ".join(show_gravity(sg, units) for sg in (batch.og, last) if sg is not None)
    parts = [f"{plain(batch.name, 40)}: {gravities}" if gravities else plain(batch.name, 40)]
    if batch.abv_percent is not None:
        parts.append(f"{show_number(batch.abv_percent, 1, units)} % vol")
    if batch.days_to_dry is not None:
        parts.append(f"dry in {batch.days_to_dry:.0f} days")
    if batch.bottles:
        parts.append("1 bottle" if batch.bottles == 1 else f"{batch.bottles} bottles")
    return ", ".join(parts)


def came_out_json(found: CameOut) -> dict[str, Any]:
    """The same as scripts read it, as in `compare --json`, with the notes and without the curve."""
    values = {name: value for name, value in as_json(found.batch).items() if name not in ("curve", "notes")}
    return {**values, "tastings": list(found.batch.notes), "notes": list(found.noted)}
