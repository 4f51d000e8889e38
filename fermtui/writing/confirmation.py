"""What was just written or taken back, in one line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fermtui.units import METRIC, Units
from fermtui.wording.kinds import done_text
from fermtui.wording.plain import plain

if TYPE_CHECKING:
    from fermtui.writing.entries import WrittenEntry


def written_text(done: WrittenEntry, units: Units = METRIC) -> str:
    """`damson: read 1.042 at 21 °C, Wed 18 Mar 20:15`; for a strike, what it took back."""
    also = f" (and in {', '.join(plain(name, 40) for name in done.also)})" if done.also else ""
    if done.did == "strike":
        return f"{done.vessel}: took back {done.took or 'an entry'}{also}"
    when = f"{done.at:%a} {done.at.day} {done.at:%b %H:%M}"
    fields = {name: value for name, value in done.fields.items() if value is not None}
    return f"{done.vessel}: {done_text(done.did, fields, units)}, {when}{also}"
