"""List the cautions that belong to a moment, in short."""

from __future__ import annotations

from collections.abc import Iterable

from fermtui.must.cautions import Moment, cautions
from fermtui.units import METRIC, Units
from fermtui.wording.said import in_units

# Common practice, no source: a lot that burst once will burst again.
BURST = (
    "Burst: the whole lot may go. Gloves and eye protection, chill the rest upright, open it over a sink, "
    "and move no warm bottle."
)


def caution_lines(moments: Iterable[str], units: Units = METRIC) -> list[str]:
    """Return the cautions of these moments, each once, a line each."""
    lines: dict[str, None] = {}
    for moment in moments:
        for caution in cautions(_moment(moment)):
            lines[in_units(caution.text, units)] = None
    return list(lines)


def _moment(name: str) -> Moment:
    return name  # type: ignore[return-value]  # an unknown moment raises KeyError, on purpose
