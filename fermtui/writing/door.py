"""The only door for writing: every entry of both faces goes through here. Undo is one more entry.

What is refused raises Refused with one sentence and the exit status that fits; what is returned as WrittenEntry is on
the disk.
"""

from __future__ import annotations

from datetime import datetime
from typing import Unpack

from fermtui.cellar.store import CellarStore, VesselView
from fermtui.daybook.fields import Unfit
from fermtui.writing.entries import (
    Fields,
    When,
    WrittenEntry,
    fields_of_task,
    kept_vessel,
    reason_in,
    unfit,
    write_entry,
)
from fermtui.writing.reading_check import implausibility_of
from fermtui.writing.refused import GUARD, Refused
from fermtui.writing.transfers import complete, split, top_up_from
from fermtui.writing.undo import redo as redo
from fermtui.writing.undo import strike as strike
from fermtui.writing.undo import undo as undo


def write(store: CellarStore, vessel: str, did: str, fields: Fields, **when: Unpack[When]) -> WrittenEntry:
    """Write one entry, and what belongs to it in another vessel. Raises Refused: 1 where the input is at fault, 3 where
    a guard wants a reason (`override`).
    """
    at, now, override = when["at"], when["now"], when.get("override")
    if did == "strike":
        return strike(store, vessel, str(fields.get("entry") or "") or None, at=at)
    if did in ("split", "receive") and fields.get("entry") is not None:
        return complete(store, vessel, did, fields, now=now, override=override)
    if did == "receive":
        raise Refused(
            "receive is written together with its split: write a split in the vessel that it comes from, "
            "or name a split without its receive in entry="
        )
    if did == "split":
        return split(store, vessel, fields, at=at, now=now, override=override)
    if did == "top_up" and fields.get("from"):
        return top_up_from(store, vessel, fields, at=at, now=now, override=override)
    if did == "read":
        _not_implausible(store, vessel, fields, at=at, override=override)
    return write_entry(store, vessel, did, fields, **when)


def tick(store: CellarStore, view: VesselView, task_name: str, given: Fields, **when: Unpack[When]) -> WrittenEntry:
    """Do a task, by its key or name: the planned amounts, with what is given in their place. Raises Refused."""
    did, fields = fields_of_task(store, view, task_name, given)
    return write(store, view.vessel, did, fields, **when)


def _not_implausible(store: CellarStore, vessel: str, fields: Fields, *, at: datetime, override: str | None) -> None:
    """Raise Refused where a reading is hard to believe (3, a reason overrides it) or cannot be (1)."""
    loaded = kept_vessel(store, vessel)
    if not loaded.forecast_ready and fields.get("sg") is not None:
        store.make_forecasts([vessel])
        loaded = kept_vessel(store, vessel)
    try:
        doubt = implausibility_of(store, loaded, fields, at=at)
    except Unfit as bad:
        raise unfit(vessel, bad) from None
    if doubt is not None and not reason_in(override):
        raise Refused(f"{vessel}: {doubt}", GUARD)
