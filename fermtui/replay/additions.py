"""What an `add` brings into the ledger: its `what` is free text, and sugar of any name would ferment in the bottle."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from fermtui.must.composition import Must
from fermtui.must.honey import USUAL_JUICE_SG, honey_must, juice_must, water_must

if TYPE_CHECKING:
    from fermtui.daybook.kinds import Add
    from fermtui.must.composition import Must

SUGARS = frozenset({"sugar", "sugars", "sucrose", "dextrose", "glucose", "fructose", "candy"})
SYRUPS = frozenset({"syrup", "molasses", "treacle", "agave", "nectar", "concentrate", "caramel"})
JUICES = frozenset({"juice", "cider", "must"})
HONEY_G_PER_L = 1420.0
SUGAR_G_PER_L = 850.0  # heaped in a cup: common practice, no source
SYRUP_SUGAR_SHARE = 0.67  # an ordinary syrup or concentrate: estimate, no source
SYRUP_G_PER_L = 1330.0  # the density of sugar water of that share
WATER_G_PER_L = 998.2


def words_of(what: str | None) -> frozenset[str]:
    """The words of a text in small letters."""
    return frozenset(re.findall(r"[a-z]+", (what or "").casefold()))


def brings_sugar(what: str | None) -> bool:
    """Whether it holds, by its name, sugar that ferments."""
    return bool(words_of(what) & (SUGARS | SYRUPS | JUICES | {"honey"}))


def added_must(entry: Add, moisture_percent: float) -> Must | None:
    """The water and sugar (g) that it brings; None for what the ledger does not count, as acid or oak.

    Empty where it is something with sugar of which no amount was written: an addition all the same.
    """
    words, mass_g, litres = words_of(entry.what), entry.mass_g or 0.0, entry.volume_l or 0.0
    if (entry.what or "").strip().casefold() == "water":
        return water_must(litres or mass_g / WATER_G_PER_L)
    if not brings_sugar(entry.what):
        return None
    if words & SYRUPS:
        mass_g = mass_g or litres * SYRUP_G_PER_L
        return Must(mass_g * (1.0 - SYRUP_SUGAR_SHARE), mass_g * SYRUP_SUGAR_SHARE, 0.0)
    if words & JUICES:
        return juice_must(litres or mass_g / (WATER_G_PER_L * USUAL_JUICE_SG), USUAL_JUICE_SG)
    if "honey" in words:
        return honey_must(mass_g or litres * HONEY_G_PER_L, moisture_percent)
    return Must(0.0, mass_g or litres * SUGAR_G_PER_L, 0.0)
