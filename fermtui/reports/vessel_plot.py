"""What the gravity plot of one vessel shows."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, tzinfo
from typing import TYPE_CHECKING

from fermtui.cellar.store import VesselView
from fermtui.daybook.kinds import Read
from fermtui.daybook.vessel_file import VesselFile
from fermtui.reports.plot_scale import PlotData, Zoom
from fermtui.schedule.met_at import sg_at_spent
from fermtui.units import METRIC, Units, show_gravity
from fermtui.wording.kinds import KINDS

if TYPE_CHECKING:
    from fermtui.forecast.forecast import BandRow

ONE_THIRD = 1 / 3


def plot_data(
    view: VesselView,
    file: VesselFile,
    now: datetime,
    zone: tzinfo,
    zoom: Zoom = "all",
    units: Units = METRIC,
    *,
    band_rows: Sequence[BandRow] | None = None,
) -> PlotData:
    """Readings, band, targets and events of a vessel; the struck ones as they were typed.

    `band_rows` are the rows of the band where they are at hand already, for reckoning them takes a while.
    """
    facts = view.facts
    readings = [(r.at.astimezone(zone), r.sg, False) for r in facts.readings if r.sg is not None]
    readings += [
        (entry.at.astimezone(zone), entry.sg, True)
        for entry in file.entries
        if isinstance(entry, Read) and entry.key in file.struck and entry.sg is not None
    ]
    targets: list[tuple[float, str]] = [(facts.end, f"end {show_gravity(facts.end, units)}")]
    if facts.g0 is not None and view.stage in ("must", "fermenting"):
        third = sg_at_spent(facts.g0, ONE_THIRD)
        targets.append((third, f"third break {show_gravity(third, units)}"))
    drawn = band_rows if band_rows is not None else view.forecast.band() if view.forecast else []
    band = [(row.at.astimezone(zone), row.low, row.likely, row.high) for row in drawn]
    events = [
        (act.at.astimezone(zone), KINDS[act.did].mark) for act in facts.acts if act.did in KINDS and KINDS[act.did].mark
    ]
    ahead = tuple(row for row in band if row[0] >= (readings[-1][0] if readings else now))
    drawn_readings, clock = tuple(sorted(readings)), now.astimezone(zone)
    return PlotData(clock, drawn_readings, ahead, tuple(targets), tuple(events), zoom, units=units)
