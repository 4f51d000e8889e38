"""Titratable acid: acids told as one another, and grams for a wanted change. No pH: the buffer of a must is not known.

Equal in titratable acid by molar mass and protons: tartaric 150.09 (two), malic 134.09 (two), citric 192.12 (three),
lactic 90.08 (one). Potassium bicarbonate (100.12) takes one proton, potassium carbonate (138.21) and calcium carbonate
(100.09) two. What falls out as bitartrate besides is not counted: honey musts hold little tartrate.
"""

from collections.abc import Mapping
from types import MappingProxyType

from fermtui.must.limits import OutOfRange, volume_l, within

G_PER_PROTON: Mapping[str, float] = MappingProxyType({
    "tartaric": 150.09 / 2, "malic": 134.09 / 2, "citric": 192.12 / 3, "lactic": 90.08,
})  # fmt: skip
"""Grams of an acid for a mole of protons that are titrated."""
TAKES_PROTONS: Mapping[str, float] = MappingProxyType({
    "bicarbonate": 100.12, "potassium carbonate": 138.21 / 2, "chalk": 100.09 / 2,
})  # fmt: skip
"""Grams of a carbonate that take up a mole of protons."""
MOST_G_PER_L = 30.0


def as_acid(g_per_l: float, told_as: str, wanted: str) -> float:
    """Titratable acid told as one acid (0 to 30 g/L), in g/L of another. Raises OutOfRange."""
    within("acid", g_per_l, 0.0, MOST_G_PER_L, "g/L", "lemon juice holds 50 to 60 and no mead half of it")
    return g_per_l / G_PER_PROTON[told_as] * G_PER_PROTON[wanted]


def change_g(volume: float, now_g_per_l: float, to_g_per_l: float, told_as: str, means: str) -> float:
    """Grams of an acid or a carbonate that bring so many litres from one titratable acid to the other.

    Both in g/L of `told_as`. Raises OutOfRange, also where the means goes the other way.
    """
    protons = volume_l(volume) * (as_acid(to_g_per_l, told_as, told_as) - now_g_per_l) / G_PER_PROTON[told_as]
    if means in TAKES_PROTONS:
        if protons > 0.0:
            raise OutOfRange(f"{means} takes acid away: for more acid name tartaric, malic, citric or lactic")
        return -protons * TAKES_PROTONS[means]
    if protons < 0.0:
        raise OutOfRange(f"{means} acid adds acid: to take some away name bicarbonate, potassium carbonate or chalk")
    return protons * G_PER_PROTON[means]
