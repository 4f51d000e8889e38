"""What an `add` or a `top_up` brings into the ledger: its name is free text, and sugar of any name would ferment."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

from fermtui.must.composition import (
    EXTRACT_PER_ETHANOL,
    Must,
    from_gravity,
    from_gravity_and_abv,
)
from fermtui.must.fruit import fruit_parts, is_fruit
from fermtui.must.honey import honey_must, water_must
from fermtui.must.limits import OutOfRange
from fermtui.must.substances import Poured, Substance, poured, substance, with_alcohol

if TYPE_CHECKING:
    from fermtui.daybook.kinds import Add, TopUp

HONEY_G_PER_L = 1420.0
ASKED_FROM_G = 50.0
ASKED_FROM_L = 0.05
"""Less of something unknown holds too little sugar to matter in a vessel of some litres: our limit, no source."""
SPIRIT_ABV = 20.0
"""What is stronger was distilled or fortified, and did not ferment so far: from memory."""


class Brought(NamedTuple):
    """What an entry brings. `must` None where the ledger counts nothing; of its extract `unfermentable_g` never
    ferments; `fortified_g` is extract that its alcohol stands for though none fermented. `sugar`: some of it may
    ferment. `note`: what had to be assumed, empty where nothing.
    """

    must: Must | None
    unfermentable_g: float = 0.0
    fortified_g: float = 0.0
    sugar: bool = False
    note: str = ""


def words_of(what: str | None) -> frozenset[str]:
    """The words of a text in small letters."""
    return frozenset(re.findall(r"[a-z]+", (what or "").casefold()))


def asks_for_sugar(what: str | None, mass_g: float | None, volume_l: float | None, sugar_g: float | None) -> bool:
    """Whether so much of something goes in of which nobody knows how much sugar it holds."""
    much = (mass_g or 0.0) > ASKED_FROM_G or (volume_l or 0.0) > ASKED_FROM_L
    return much and sugar_g is None and substance(what) is None and not is_fruit(what or "")


def brought_by_add(entry: Add, moisture_percent: float, there: Must | None) -> Brought:
    """The water, sugar and alcohol (g) of an `add`; `there` is what stands in the vessel, for mead that goes to it.

    Something with sugar of which no amount was written brings an empty must: an addition all the same.
    """
    mass_g, litres = entry.mass_g or 0.0, entry.volume_l or 0.0
    what = (entry.what or "").strip()
    row = substance(what)
    abv = entry.abv_percent
    if entry.sugar_g is not None:
        return _sugar_as_given(row, mass_g, litres, entry.sugar_g, abv)
    if abv is not None and (mass_g or litres) and (row is None or row.group in ("mead", "free")):
        return _by_strength(what, row, _litres_of(mass_g, litres, abv), abv, there)
    if row is None:
        return _fruit_or_unknown(what, mass_g, litres)
    if row.group == "mead":
        litres = litres or mass_g / 1000.0
        return _like_what_is_there(litres, there) if litres else Brought(Must(), sugar=True, note=_no_amount(what))
    if row.group == "honey":
        honey = honey_must(mass_g or litres * HONEY_G_PER_L, moisture_percent)
        return Brought(honey, sugar=True, note="" if honey.sugar_g else _no_amount(what))
    if row.group == "free" and litres <= ASKED_FROM_L:
        return Brought(None)
    if not mass_g and not litres:
        return Brought(Must() if row.sugar_percent else None, sugar=row.sugar_percent > 0.0, note=_no_amount(what))
    return _of_row(row, mass_g, litres, abv)


def _no_amount(what: str) -> str:
    return f"{what.lower()[:40]} of no amount written: it is not in the sums"


def _of_row(row: Substance, mass_g: float, litres: float, abv_percent: float | None) -> Brought:
    if row.group == "water":
        return Brought(water_must(litres or mass_g / row.g_per_l))
    found: Poured = poured(row, mass_g, litres, abv_percent)
    fortified_g = found.must.ethanol_g * EXTRACT_PER_ETHANOL if row.group == "spirit" else 0.0
    return Brought(found.must, found.unfermentable_g, fortified_g, row.sugar_percent > 0.0)


def _litres_of(mass_g: float, litres: float, abv_percent: float) -> float:
    """Litres of a drink of which the volume or else the mass is known."""
    return litres or mass_g / with_alcohol(1.0, abv_percent).mass_g


def _by_strength(what: str, row: Substance | None, litres: float, abv_percent: float, there: Must | None) -> Brought:
    if row is not None and row.group == "mead" and there is not None and abv_percent <= SPIRIT_ABV:
        note = "mead of unknown gravity was added: counted as standing where what was there stood"
        return Brought(from_gravity_and_abv(litres, there.sg, abv_percent), sugar=True, note=note)
    if abv_percent > SPIRIT_ABV:
        return _drink(litres, abv_percent, 0.0)
    note = f"how much sugar {what.lower()[:40]} holds is not known: counted by its strength alone"
    return _drink(litres, abv_percent, 0.0)._replace(sugar=True, note=note)


def _drink(litres: float, abv_percent: float, sugar_g: float) -> Brought:
    """So much of a drink by its strength; of what is stronger than a ferment goes the alcohol was poured in."""
    must = with_alcohol(litres, abv_percent, sugar_g)
    fortified_g = must.ethanol_g * EXTRACT_PER_ETHANOL if abv_percent > SPIRIT_ABV else 0.0
    return Brought(must, 0.0, fortified_g, sugar_g > 0.0)


def _sugar_as_given(
    row: Substance | None, mass_g: float, litres: float, sugar_g: float, abv_percent: float | None
) -> Brought:
    """The maker's own figure of the sugar; the rest of it as its row has it, of what is unknown the rest is water."""
    if row is None or row.group in ("honey", "mead", "free"):
        if abv_percent is not None and (mass_g or litres):
            return _drink(_litres_of(mass_g, litres, abv_percent), abv_percent, sugar_g)
        must = with_alcohol(litres, 0.0, sugar_g) if litres else Must(0.0, sugar_g, 0.0)
        return Brought(must, sugar=sugar_g > 0.0)
    found = poured(row, mass_g, litres, abv_percent)
    must = found.must._replace(sugar_g=sugar_g + found.unfermentable_g)
    fortified_g = must.ethanol_g * EXTRACT_PER_ETHANOL if row.group == "spirit" else 0.0
    return Brought(must, found.unfermentable_g, fortified_g, sugar_g > 0.0)


def _fruit_or_unknown(what: str, mass_g: float, litres: float) -> Brought:
    if is_fruit(what):
        parts = fruit_parts(what, mass_g or litres * 1000.0)
        return Brought(Must(parts.water_g, parts.sugar_g, 0.0), sugar=True)
    if not asks_for_sugar(what, mass_g, litres, None):
        return Brought(None)
    note = f"how much sugar {what.lower()[:40]} holds is not known: counted as {'water' if litres else 'nothing'}"
    return Brought(water_must(litres) if litres else Must(), sugar=True, note=note)


def brought_by_top_up(entry: TopUp, moisture_percent: float, there: Must | None) -> Brought:
    """The water, sugar and alcohol (g) of a `top_up`: by the gravity and strength given, else by what it is called,
    else as mead like that which is there.
    """
    litres, sg, abv = entry.volume_l or 0.0, entry.sg, entry.abv_percent
    row = None if entry.from_ is not None else substance(entry.with_)
    if sg is not None and abv is not None:
        strong, note = abv > SPIRIT_ABV, ""
        try:
            must = from_gravity_and_abv(litres, sg, abv, spirit=strong)
        except OutOfRange as refused:
            if not strong:
                raise
            must, note = with_alcohol(litres, abv), f"{refused}; counted by its strength"
        unfermentable_g = 0.0 if row is None else litres * row.g_per_l * row.unfermentable_percent / 100.0
        fortified_g = must.ethanol_g * EXTRACT_PER_ETHANOL if strong else 0.0
        return Brought(must, min(unfermentable_g, must.sugar_g), fortified_g, must.sugar_g > 0.0, note)
    if row is not None and row.group not in ("mead", "honey"):
        if sg is not None and row.group == "alcoholic":
            return Brought(from_gravity_and_abv(litres, sg, row.abv_percent), sugar=True)
        if sg is not None and sg >= 1.0 and row.group == "sugary":
            return Brought(from_gravity(litres, sg), sugar=True)
        return _of_row(row, 0.0, litres, abv)
    if row is not None and row.group == "honey":
        return Brought(honey_must(litres * HONEY_G_PER_L, moisture_percent), sugar=True)
    if abv is not None and abv > SPIRIT_ABV:
        must = with_alcohol(litres, abv)
        return Brought(must, 0.0, must.ethanol_g * EXTRACT_PER_ETHANOL)
    is_mead = entry.from_ is not None or row is not None
    if sg is not None and sg >= 1.0 and abv is None and not is_mead:
        return Brought(from_gravity(litres, sg), sugar=True)
    if there is None:
        return Brought(water_must(litres))
    if abv is not None:
        note = "topped up with mead of unknown gravity: counted as standing where what was there stood"
        return Brought(from_gravity_and_abv(litres, there.sg, abv), sugar=True, note=note)
    if sg is not None:
        note = "topped up with mead of unknown strength: counted as being as strong as what was there"
        return Brought(from_gravity_and_abv(litres, sg, there.abv_percent), sugar=True, note=note)
    return _like_what_is_there(litres, there)


def _like_what_is_there(litres: float, there: Must | None) -> Brought:
    if there is None:
        return Brought(water_must(litres))
    share = litres / there.volume_l
    must = Must(there.water_g * share, there.sugar_g * share, there.ethanol_g * share)
    note = "topped up with mead of unknown gravity and strength: counted as being like what was there"
    return Brought(must, sugar=True, note=note)
