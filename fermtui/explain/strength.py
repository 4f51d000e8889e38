"""Gravity, strength, sugar spent: how each comes out of the ledger."""

from __future__ import annotations

from fermtui.explain.explained import Explained, Input
from fermtui.must.composition import EXTRACT_PER_ETHANOL, Must
from fermtui.must.density import RHO_ETHANOL_20, RHO_WATER_20
from fermtui.must.strength import FRUIT_REL_SD, HONEY_REL_SD, YIELD_REL_SD

DENSITY = "OIML R 22 (ethanol and water) and ICUMSA SPS-4 (sugar and water), joined over the water that they share"
BALLING = "Balling, as quoted in Speers, Brewing Calculations (2015)"
GLASS = "glass that swells by 25e-6 per °C: ISO 1768:1975"


def corrected_gravity(
    sg: float, *, reading: float, temp_c: float, calibrated_c: float, offset_sg: float, abv_percent: float
) -> Explained:
    """A hydrometer reading brought to SG 20/20."""
    return Explained(
        "gravity at 20 °C",
        sg,
        "SG",
        "density = (reading - what it shows too much) x water at calibration / (1 + 25e-6 x (sample - calibration)); "
        "the water, sugar and alcohol of that density at the sample's temperature are found, and reckoned at 20 °C",
        (
            Input("reading", reading, "SG"),
            Input("sample", temp_c, "°C"),
            Input("calibration", calibrated_c, "°C"),
            Input("shows too much", -offset_sg),
            Input("alcohol", abv_percent, "% vol"),
        ),
        f"{DENSITY}; {GLASS}",
    )


def refracted_gravity(sg: float, sd_sg: float, *, brix: float, original: float | None) -> Explained:
    """A refractometer reading brought to SG 20/20, with or without alcohol in it."""
    if original is None:
        how = "the reading is the sugar in per cent by mass, and its density follows"
    else:
        how = "the fermented part of the original must is found at which sugar and alcohol bend light as much as read"
    inputs = (Input("reading", brix, "°Bx"), Input("original gravity", original, "SG"), Input("give or take", sd_sg))
    source = "refractive indices of the CRC Handbook, added up (nobody has published the three together: a hydrometer "
    return Explained("gravity at 20 °C", sg, "SG", how, inputs, f"{source}is better); {DENSITY}")


def strength(must: Must, name: str = "strength") -> Explained:
    """% vol from what the ledger holds."""
    return Explained(
        name,
        must.abv_percent,
        "% vol",
        f"100 x alcohol / {RHO_ETHANOL_20 / 1000:.5f} g/mL / volume at 20 °C",
        (Input("alcohol", must.ethanol_g, "g"), Input("volume", must.volume_l, "L")),
        f"density of alcohol at 20 °C: OIML R 22; volume: {DENSITY}",
    )


def alcohol(must: Must, fermented_g: float, *, from_sg: float | None = None) -> Explained:
    """Grams of ethanol from the extract that has fermented."""
    return Explained(
        "alcohol",
        must.ethanol_g,
        "g",
        f"fermented extract / {EXTRACT_PER_ETHANOL}; so much extract is taken as fermented that what is left has the "
        "gravity that was measured",
        (Input("fermented extract", fermented_g, "g"), Input("from", from_sg, "SG"), Input("now", must.sg, "SG")),
        BALLING,
    )


def fortified(ethanol_g: float, must: Must) -> Explained:
    """Grams of ethanol that came with spirit and not from a ferment."""
    return Explained(
        "alcohol of spirit",
        ethanol_g,
        "g",
        f"litres of spirit x its strength x {RHO_ETHANOL_20 / 1000:.5f} g/mL, less its share of what was taken out "
        "since; the volume is that of the mixture, which takes up less room than its parts",
        (Input("all alcohol", must.ethanol_g, "g"), Input("volume", must.volume_l, "L")),
        f"strength as on the label or in the table of substances; {DENSITY}",
    )


def plus_minus(
    value: float, *, og_sd: float = 0.001, sg_sd: float = 0.001, fruit_sugar_g: float = 0.0, unmeasured_g: float = 0.0
) -> Explained:
    """The uncertainty of a strength."""
    inputs = [
        Input("original gravity, give or take", og_sd),
        Input("gravity, give or take", sg_sd),
        Input("alcohol from extract, give or take", 100 * YIELD_REL_SD, "%"),
    ]
    if fruit_sugar_g:
        inputs.append(Input("sugar of fruit", fruit_sugar_g, "g"))
        inputs.append(Input("of which, give or take", 100 * FRUIT_REL_SD, "%"))
    if unmeasured_g:
        inputs.append(Input("honey fed and not measured", unmeasured_g, "g"))
        inputs.append(Input("of which, give or take", 100 * HONEY_REL_SD, "%"))
    return Explained(
        "strength, give or take",
        value,
        "% vol",
        "each uncertainty times what it moves the strength by, squared, added up, and the root of it: two times in "
        "three the truth lies within",
        tuple(inputs),
        "first-order propagation; the single uncertainties are common practice, no source",
    )


def sugar_spent(percent: float, g0: float, sg: float) -> Explained:
    """How much of the way to water's gravity is done."""
    return Explained(
        "sugar spent",
        percent,
        "%",
        "(G0 - gravity) / (G0 - 1), kept in 0 to 100: 100 % is the gravity of water, reached while some extract is "
        "left, for alcohol is lighter than water and hides it",
        (Input("G0, with nothing fermented", g0, "SG"), Input("gravity", sg, "SG")),
        "the trade's measure; by gravity, as the hydrometer shows it, not by weight of sugar",
    )


def extract_left(must: Must) -> Explained:
    """All that still weighs like sugar, alcohol allowed for."""
    return Explained(
        "real extract left",
        must.sugar_g_per_l,
        "g/L",
        "what weighs like sugar / volume, the lightness of the alcohol allowed for; in a dry mead it is what yeast "
        "cannot eat",
        (
            Input("extract", must.sugar_g, "g"),
            Input("alcohol", must.ethanol_g, "g"),
            Input("volume", must.volume_l, "L"),
        ),
        f"the ledger: {DENSITY}",
    )


def mixture(name: str, value: float, unit: str, must: Must, temp_c: float = 20.0) -> Explained:
    """Gravity or density of so much water, sugar and alcohol."""
    return Explained(
        name,
        value,
        unit,
        "(water + sugar + alcohol) / (volume of sugar water + volume of alcohol water - volume of the water)"
        + (f", over water's {RHO_WATER_20:.2f} kg/m3" if unit == "SG" else ""),
        (
            Input("water", must.water_g, "g"),
            Input("sugar", must.sugar_g, "g"),
            Input("alcohol", must.ethanol_g, "g"),
            Input("temperature", temp_c, "°C"),
        ),
        DENSITY,
    )
