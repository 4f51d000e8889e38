"""The strength of a mead whose original gravity nobody knows: by two instruments, a distillate, or boiling off.

Density by OIML R 22 and ICUMSA, refractive index by the CRC Handbook; the distillate as in OIV-MA-AS312-01 in outline.
"""

from __future__ import annotations

from math import hypot

from fermtui.must.composition import Must, from_gravity, from_gravity_and_abv
from fermtui.must.limits import OutOfRange
from fermtui.must.refractometer import refractive_index
from fermtui.must.root_finding import find_root

READ_SG = 0.0005
READ_BRIX = 0.2
MOST_PERCENT = 25.0
_SMALL = 1e-9


def by_refractometer(sg: float, brix: float) -> tuple[float, float]:
    """(strength in % vol, give or take) from the SG 20/20 and the refractometer's °Bx at 20 °C, both now."""
    strength = _two_readings(sg, brix)
    by_sg = _two_readings(sg + READ_SG, brix) - strength
    by_brix = _two_readings(sg, brix + READ_BRIX) - strength
    return strength, hypot(by_sg, by_brix)


def _two_readings(sg: float, brix: float) -> float:
    index = refractive_index(brix)

    def must_of(ethanol_percent: float) -> Must:
        """What has this refractive index with so much ethanol by mass."""
        top = find_root(lambda sugar: refractive_index(sugar, ethanol_percent) - index, 0.0, 50.0, close=_SMALL)
        sugar = 0.0 if top is None else top
        return Must(100.0 - sugar - ethanol_percent, sugar, ethanol_percent)

    found = find_root(lambda ethanol: must_of(ethanol).sg - sg, 0.0, MOST_PERCENT, close=1e-7)
    if found is None or refractive_index(0.0, found) > index + 1e-6:
        raise OutOfRange(
            f"no mead reads {sg:.4f} on the hydrometer and {brix:g} °Bx on the refractometer: read both again at 20 °C"
        )
    return must_of(found).abv_percent


def by_distillate(sg: float) -> tuple[float, float]:
    """(strength, give or take) from the SG 20/20 of all the distillate, made up with water to the sample's volume."""
    strength = _strength_of_spirit(sg)
    return strength, abs(_strength_of_spirit(sg - READ_SG) - strength)


def _strength_of_spirit(sg: float) -> float:
    found = find_root(lambda part: Must(100.0 - part, 0.0, part).sg - sg, 0.0, 40.0, close=1e-7)
    if found is None:
        raise OutOfRange(f"a distillate of {sg:.4f} cannot be: spirit and water lie between 0.94 and 1.000")
    return Must(100.0 - found, 0.0, found).abv_percent


def by_boiling(sg: float, boiled_sg: float) -> tuple[float, float]:
    """(strength, give or take) from the SG 20/20 before boiling half of it off, and after making up with water."""
    if boiled_sg < sg:
        raise OutOfRange(f"without its alcohol it cannot be lighter, {boiled_sg:.4f} after {sg:.4f}: swap them")
    strength = _boiled(sg, boiled_sg)
    return strength, hypot(_boiled(sg - READ_SG, boiled_sg) - strength, _boiled(sg, boiled_sg + READ_SG) - strength)


def _boiled(sg: float, boiled_sg: float) -> float:
    extract_g = from_gravity(1.0, max(1.0, boiled_sg)).sugar_g
    found = find_root(lambda abv: from_gravity_and_abv(1.0, sg, abv).sugar_g - extract_g, _least(sg), 30.0, close=1e-4)
    if found is None:
        raise OutOfRange(f"no mead of {sg:.4f} has {boiled_sg:.4f} without its alcohol: made up to the same volume?")
    return found


def _least(sg: float) -> float:
    """The least strength that a mead of this gravity can have: none from 1.000 on."""
    if sg >= 1.0:
        return 0.0
    found = find_root(lambda part: Must(100.0 - part, 0.0, part).sg - sg, 0.0, 40.0, close=1e-7)
    return 0.0 if found is None else Must(100.0 - found, 0.0, found).abv_percent + 0.05
