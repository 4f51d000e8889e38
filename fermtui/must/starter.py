"""A yeast starter for a ferment that has stalled or never began.

Common practice, no source: half a gram of dry yeast a litre, twice what a fresh must gets; the starter grows to a
twentieth of the vessel before it goes in, so that it is used to the alcohol and meets it alive.
"""

from __future__ import annotations

from typing import NamedTuple

from fermtui.must import limits
from fermtui.must.nutrients import rehydration

RESTART_YEAST_G_PER_L = 0.5
LEAST_YEAST_G = 2.0
STARTER_SHARE = 0.05


class Starter(NamedTuple):
    """`water_ml` wakes the yeast; `volume_l` is how far it grows, must from the vessel included."""

    yeast_g: float
    water_ml: float
    volume_l: float


def starter(volume_l: float) -> Starter:
    """Return the starter for a vessel of this volume. Raises OutOfRange for a volume that cannot be."""
    limits.volume_l(volume_l)
    yeast_g = max(LEAST_YEAST_G, RESTART_YEAST_G_PER_L * volume_l)
    woken = rehydration(yeast_g)
    return Starter(yeast_g, woken.water_ml, max(STARTER_SHARE * volume_l, woken.water_ml / 500.0))
