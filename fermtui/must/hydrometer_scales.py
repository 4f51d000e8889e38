"""What a hydrometer's scale says, if it is not marked in SG -> SG, and back: Plato, Oechsle, Baumé, KMW.

All are scales of density: the same instrument with other numbers on it. Degrees Brix may be either: a refractometer's,
or a hydrometer's that is marked so, which are degrees Plato.
"""

from math import sqrt

from fermtui.must.density import RHO_WATER_20
from fermtui.must.limits import within
from fermtui.must.refractometer import plato_from_sg, sg_from_plato

BAUME_MODULUS = 145.0
"""NBS Circular on hydrometers, 60/60 °F (from memory)."""
KMW_LINEAR, KMW_SQUARE = 4.54, 0.022
"""°Oe = KMW (4.54 + 0.022 KMW): formula published by the Klosterneuburg institute (from memory)."""
HIGHEST = {"plato": 50.0, "oechsle": 300.0, "baume": 33.0, "kmw": 53.0}
SCALES = tuple(HIGHEST)
NAMES = {"plato": "°P", "oechsle": "°Oe", "baume": "°Bé", "kmw": "°KMW"}
_LOWEST = {"plato": -10.0, "oechsle": -30.0, "baume": -5.0, "kmw": -7.0}
_WHY = "the scale and its table end there"


def sg_of_mark(scale: str, degrees: float) -> float:
    """SG of a mark on a scale of SCALES, at the temperature that the instrument is marked for. Raises OutOfRange.

    Oechsle: (SG - 1) x 1000, by definition (OIV-MA-AS2-01). Baumé: 145 / (145 - °Bé). Plato: ICUMSA SPS-4, and below
    nought, where no extract is, as far below 1.000 as above.
    """
    within(f"reading in {NAMES[scale]}", degrees, _LOWEST[scale], HIGHEST[scale], NAMES[scale], _WHY)
    if scale == "plato":
        return sg_from_plato(degrees) if degrees >= 0.0 else 2.0 - sg_from_plato(-degrees)
    if scale == "oechsle":
        return 1.0 + degrees / 1000.0
    if scale == "baume":
        return BAUME_MODULUS / (BAUME_MODULUS - degrees)
    return 1.0 + degrees * (KMW_LINEAR + KMW_SQUARE * degrees) / 1000.0


def mark_of_sg(scale: str, sg: float) -> float:
    """The mark of a gravity from 0.98 to 1.29; below 1.000 degrees Plato go as far below nought as above."""
    within("gravity", sg, 0.95, 1.3, "SG", _WHY)
    if scale == "plato":
        return plato_from_sg(sg) if sg >= 1.0 else -plato_from_sg(2.0 - sg)
    oechsle = 1000.0 * (sg - 1.0)
    if scale == "oechsle":
        return oechsle
    if scale == "baume":
        return BAUME_MODULUS - BAUME_MODULUS / sg
    return (sqrt(KMW_LINEAR**2 + 4.0 * KMW_SQUARE * oechsle) - KMW_LINEAR) / (2.0 * KMW_SQUARE)


def sg_of_density(kg_per_m3: float) -> float:
    """SG 20/20 of a density at 20 °C in kg/m3 (950 to 1300). Raises OutOfRange."""
    within("density", kg_per_m3, 950.0, 1300.0, "kg/m3", _WHY)
    return kg_per_m3 / RHO_WATER_20
