"""Sulfite and sorbate: what keeps a finished mead, in grams, with the ceilings and the ways out where no dose helps.

SO2 is mg/L throughout. pK of sulfurous acid: OIV-MA-AS323-04C, table I. Sorbate: T. Underhill, Making Better Wines.
"""

from math import sqrt
from typing import Literal, NamedTuple

from fermtui.must import limits
from fermtui.must.csv_tables import bilinear, grid, limit
from fermtui.must.limits import OutOfRange, within

Level = Literal["fine", "free above 50", "total above 200", "total above 350"]
Unprotected = Literal["too weak", "pH too high", "malolactic"]
Way = Literal["acid", "ferment drier", "cold", "heat before bottling"]

SO2_SHARE = {"potassium": 0.576, "sodium": 0.674}
"""Of the metabisulfites by mass, from IUPAC atomic weights; what stood open for a year holds less."""
SORBIC_SHARE = 0.7464
"""Of potassium sorbate by mass, from IUPAC atomic weights."""
PLAIN_PK = 1.81
"""Water near 20 °C; the pK behind the printed table of UC Cooperative Extension (1982)."""
MOLECULAR_USUAL = 0.8
"""mg/L of molecular SO2, for mead and dry white (several sources; 0.5 for red)."""
IONIC_STRENGTH = 0.038
"""The value that OIV-MA-AS323-04C takes for wine."""
DEBYE_A_20C = 0.5056
DEBYE_A_PER_C = 0.00076
DEBYE_B = 1.6
"""Memory, not seen: with them the correction is 0.075 at 20 °C, where the method is said to take off about 0.08."""
PK_TABLE_FROM_C = 20.0
PK_COLDEST_C = 10.0
"""Below the table its slope from 20 to 25 °C is carried on, no further than ten degrees: our limit, no source."""
MUST_SO2_MG_PER_L = 50.0
"""On raw fruit or juice before pitching: common practice, no source."""

PITCH_AFTER_SULFITE_H = 24.0
SWEETEN_AFTER_SORBATE_DAYS = 2.0
"""Waiting times: common practice, no source."""

WEAKEST_FOR_SORBATE = 10.0
HIGHEST_PH_FOR_SORBATE = 3.5
"""Where Underhill's table ends. Its other edges are on the safe side: at lower pH or more alcohol less would do."""


class SulfiteDose(NamedTuple):
    """Metabisulfite for a wanted molecular SO2."""

    free_so2_mg_per_l: float
    """Free SO2 that the mead must hold: the larger of the two below."""
    free_so2_by_oiv_mg_per_l: float
    """By the OIV's pK, for strength and temperature."""
    free_so2_by_plain_pk_mg_per_l: float
    """By the fixed pK 1.81 of the printed table of 1982, which knows neither alcohol nor warmth."""
    molecular_percent: float
    """Of free SO2, by the source that counts."""
    temp_used_c: float
    """Not below 10 °C."""
    extrapolated: bool
    """Whether that is below 20 °C, where the table of the pK begins."""
    add_so2_mg_per_l: float
    metabisulfite_g: float
    free_after_mg_per_l: float
    total_after_mg_per_l: float
    bound_percent: float
    """Of the total afterwards."""
    level: Level


class SorbateDose(NamedTuple):
    """Potassium sorbate for a finished, clear mead that holds sulfite."""

    potassium_sorbate_g: float
    sorbic_acid_mg_per_l: float
    capped: bool
    """Whether the table asked for more than the 200 mg/L of the law."""
    ph_used: float
    abv_used_percent: float
    """The table's edge where the mead lies beyond it on the safe side."""


class WaysOut(NamedTuple):
    """No dose of sorbate protects this mead; what would."""

    because: tuple[Unprotected, ...]
    ways: tuple[Way, ...]


def pk_so2(temp_c: float = 20.0, abv_percent: float = 0.0) -> float:
    """Return the mixed pK of sulfurous acid at 10 to 40 °C and 0 to 20 % vol.

    Bilinear in OIV-MA-AS323-04C table I, less the ionic strength term A sqrt(I) / (1 + B sqrt(I)) with I = 0.038.
    From 20 down to 10 °C the slope of the table's first 5 °C is carried on; colder (to -5 °C) counts as 10 °C and
    stronger (to 25 %) as 20 %. Raises OutOfRange.
    """
    limits.temp_c(temp_c)
    limits.abv_percent(abv_percent)
    table, root = grid("so2", "pkt"), sqrt(IONIC_STRENGTH)
    debye_a = DEBYE_A_20C + DEBYE_A_PER_C * (max(temp_c, PK_TABLE_FROM_C) - PK_TABLE_FROM_C)
    pk = bilinear(table, abv_percent, temp_c)
    below_c = PK_TABLE_FROM_C - max(temp_c, PK_COLDEST_C)
    if below_c > 0.0:
        next_c = table[1][1]
        pk -= below_c * (bilinear(table, abv_percent, next_c) - pk) / (next_c - PK_TABLE_FROM_C)
    return pk - debye_a * root / (1 + DEBYE_B * root)


def molecular_share(ph: float, temp_c: float = 20.0, abv_percent: float = 0.0) -> float:
    """Return the molecular part of free SO2, 0 to 1, at pH 2 to 7. Source as in `pk_so2`. Raises OutOfRange."""
    return _share(limits.ph(ph), pk_so2(temp_c, abv_percent))


def molecular_share_plain(ph: float) -> float:
    """Return the molecular part of free SO2 by the fixed pK 1.81 (UC Cooperative Extension 1982), pH 2 to 7."""
    return _share(limits.ph(ph), PLAIN_PK)


def free_so2_needed_mg_per_l(
    ph: float, temp_c: float = 20.0, abv_percent: float = 0.0, molecular_mg_per_l: float = MOLECULAR_USUAL
) -> float:
    """Return the free SO2 that holds the wanted molecular SO2 (0 to 5 mg/L). Raises OutOfRange.

    The larger of what the OIV's constants and the printed table of UC Cooperative Extension (1982) ask for: too little
    keeps nothing, and both stay below what is tasted in a mead acid enough to keep.
    """
    return _molecular(molecular_mg_per_l) / _safer_share(ph, temp_c, abv_percent)


def _safer_share(ph: float, temp_c: float, abv_percent: float) -> float:
    return min(molecular_share(ph, temp_c, abv_percent), molecular_share_plain(ph))


def sulfite_dose(
    volume_l: float,
    ph: float,
    abv_percent: float,
    temp_c: float = 20.0,
    *,
    molecular_mg_per_l: float = MOLECULAR_USUAL,
    free_mg_per_l: float = 0.0,
    total_mg_per_l: float | None = None,
    salt: str = "potassium",
    bound_share: float = 0.0,
) -> SulfiteDose:
    """Return the metabisulfite that brings `volume_l` to the wanted molecular SO2.

    `free_mg_per_l` and `total_mg_per_l` are what it holds already (total: at least the free). `bound_share` (0 to
    0.9) is the part of an addition that binds at once: editable, no source, 0 by default; measure a day later.
    Nothing is taken off where enough is in. Raises OutOfRange.
    """
    limits.volume_l(volume_l)
    limits.mg_per_l("free SO2", free_mg_per_l)
    total = free_mg_per_l if total_mg_per_l is None else limits.mg_per_l("total SO2", total_mg_per_l)
    within("bound share", bound_share, 0, 0.9, "", "some of an addition stays free")
    needed = free_so2_needed_mg_per_l(ph, temp_c, abv_percent, molecular_mg_per_l)
    add = max(needed - free_mg_per_l, 0.0) / (1 - bound_share)
    free_after = free_mg_per_l + add * (1 - bound_share)
    total_after = max(total, free_mg_per_l) + add
    return SulfiteDose(
        free_so2_mg_per_l=needed,
        free_so2_by_oiv_mg_per_l=molecular_mg_per_l / molecular_share(ph, temp_c, abv_percent),
        free_so2_by_plain_pk_mg_per_l=molecular_mg_per_l / molecular_share_plain(ph),
        molecular_percent=100 * _safer_share(ph, temp_c, abv_percent),
        temp_used_c=max(temp_c, PK_COLDEST_C),
        extrapolated=temp_c < PK_TABLE_FROM_C,
        add_so2_mg_per_l=add,
        metabisulfite_g=add * volume_l / 1000 / _so2_share(salt),
        free_after_mg_per_l=free_after,
        total_after_mg_per_l=total_after,
        bound_percent=100 * (1 - free_after / total_after) if total_after > 0.0 else 0.0,
        level=sulfite_level(free_after, total_after),
    )


def must_sulfite_g(volume_l: float, so2_mg_per_l: float = MUST_SO2_MG_PER_L, salt: str = "potassium") -> float:
    """Return the metabisulfite for raw fruit or juice, to be pitched 24 h later (common practice, no source)."""
    return limits.volume_l(volume_l) * limits.mg_per_l("SO2", so2_mg_per_l) / 1000 / _so2_share(salt)


def so2_added_mg_per_l(metabisulfite_g: float, volume_l: float, salt: str = "potassium") -> float:
    """Return the total SO2 that a dose puts into `volume_l`."""
    return limits.mass_g("metabisulfite", metabisulfite_g) * _so2_share(salt) * 1000 / limits.volume_l(volume_l)


def as_solution_ml(grams: float, g_per_100_ml: float = 10.0) -> float:
    """Return the mL of a stock solution (1 to 20 g in 100 mL) that holds `grams`: a tenth of a gram is hard to weigh.

    Common practice, no source: made fresh, since sulfite in water fades.
    """
    within("stock solution", g_per_100_ml, 1, 20, "g in 100 mL", "weaker waters the mead and stronger does not keep")
    return limits.mass_g("salt", grams) / g_per_100_ml * 100


def sulfite_level(free_mg_per_l: float, total_mg_per_l: float) -> Level:
    """Return the highest line that is passed: free 50 (taste), total 200 (OIV, dry), total 350 (27 CFR 4.22: stop)."""
    if total_mg_per_l > limit("so2_total_us"):
        return "total above 350"
    if total_mg_per_l > limit("so2_total_dry"):
        return "total above 200"
    return "free above 50" if free_mg_per_l > limit("so2_free_tasted") else "fine"


def sorbate_dose(volume_l: float, ph: float, abv_percent: float, *, malolactic: bool = False) -> SorbateDose | WaysOut:
    """Return the potassium sorbate for `volume_l`, or the ways out where the table knows no dose.

    Bilinear inside 10 to 14 % vol and pH 3.1 to 3.5 (Underhill). Stronger mead gets the 14 % row and more acid mead
    the pH 3.1 column: more than it needs, so on the safe side. Never above 200 mg/L sorbic acid (OIV II.3.4.5).
    Weaker, less acid, or after a malolactic ferment (geranium smell): WaysOut. Raises OutOfRange.
    """
    limits.volume_l(volume_l)
    limits.ph(ph)
    limits.abv_percent(abv_percent)
    because = _unprotected(ph, abv_percent, malolactic)
    if because:
        acid: tuple[Way, ...] = ("acid",) if "pH too high" in because else ()
        return WaysOut(because, (*acid, "ferment drier", "cold", "heat before bottling"))
    table = grid("sorbate", "ml_per_l")
    asked_mg_per_l = 30 * bilinear(table, abv_percent, ph) * SORBIC_SHARE
    sorbic_mg_per_l = min(asked_mg_per_l, limit("sorbic_acid"))
    return SorbateDose(
        potassium_sorbate_g=sorbic_mg_per_l / SORBIC_SHARE * volume_l / 1000,
        sorbic_acid_mg_per_l=sorbic_mg_per_l,
        capped=sorbic_mg_per_l < asked_mg_per_l,
        ph_used=max(ph, table[1][0]),
        abv_used_percent=min(abv_percent, table[0][-1]),
    )


def sorbic_acid_mg_per_l(potassium_sorbate_g: float, volume_l: float) -> float:
    """Return the sorbic acid that a dose of potassium sorbate puts into `volume_l`."""
    return limits.mass_g("sorbate", potassium_sorbate_g) * SORBIC_SHARE * 1000 / limits.volume_l(volume_l)


def _unprotected(ph: float, abv_percent: float, malolactic: bool) -> tuple[Unprotected, ...]:  # noqa: FBT001 - private
    found: list[Unprotected] = []
    if malolactic:
        found.append("malolactic")
    if abv_percent < WEAKEST_FOR_SORBATE:
        found.append("too weak")
    if ph > HIGHEST_PH_FOR_SORBATE:
        found.append("pH too high")
    return tuple(found)


def _share(ph: float, pk: float) -> float:
    return 1 / (1 + 10 ** (ph - pk))


def _molecular(value: float) -> float:
    return within("molecular SO2", value, 0, 5, "mg/L", "0.5 to 0.8 is usual and above 2 it stings the nose")


def _so2_share(salt: str) -> float:
    if salt not in SO2_SHARE:
        raise OutOfRange(f"salt {salt[:40]!r} is not known: metabisulfite is of potassium or sodium")
    return SO2_SHARE[salt]
