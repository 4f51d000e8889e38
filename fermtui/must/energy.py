"""The energy of a drink: Regulation (EU) No 1169/2011, Annex XIV."""

from typing import NamedTuple

from fermtui.must.density import RHO_ETHANOL_20
from fermtui.must.limits import abv_percent, within

KJ_PER_G = {"ethanol": 29.0, "sugar": 17.0, "acid": 13.0}
KCAL_PER_G = {"ethanol": 7.0, "sugar": 4.0, "acid": 3.0}


class Energy(NamedTuple):
    """Of one glass."""

    kj: float
    kcal: float
    ethanol_g: float
    sugar_g: float


def energy(glass_ml: float, abv: float, sugar_g_per_l: float, acid_g_per_l: float) -> Energy:
    """The energy of a glass (1 to 1000 mL) of so much strength (% vol), sugar and acid (g/L). Raises OutOfRange."""
    within("glass", glass_ml, 1.0, 1000.0, "mL", "a glass holds less than a litre")
    within("sugar", sugar_g_per_l, 0.0, 500.0, "g/L", "syrup begins there")
    within("acid", acid_g_per_l, 0.0, 30.0, "g/L", "no mead is as sour")
    grams = {
        "ethanol": glass_ml / 1000.0 * abv_percent(abv) / 100.0 * RHO_ETHANOL_20,
        "sugar": glass_ml / 1000.0 * sugar_g_per_l,
        "acid": glass_ml / 1000.0 * acid_g_per_l,
    }
    kj = sum(KJ_PER_G[name] * mass for name, mass in grams.items())
    kcal = sum(KCAL_PER_G[name] * mass for name, mass in grams.items())
    return Energy(kj, kcal, grams["ethanol"], grams["sugar"])
