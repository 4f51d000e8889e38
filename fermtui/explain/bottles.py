"""Bottles and pressure: how each comes about."""

from __future__ import annotations

from fermtui.explain.explained import Explained, Input
from fermtui.must.bottles import HEADSPACE_SHARE, MEAD_FACTOR, BottleCount, Priming, residual_volumes

WEISS = (
    f"solubility of CO2: Weiss (1974), times {MEAD_FACTOR:g} for mead, as measured in a sparkling wine and a lager "
    "(PMC8047704, table 1); ideal gas above; IUPAC atomic weights"
)


def bottles(count: BottleCount, volume_l: float, loss_percent: float) -> Explained:
    """Full bottles out of a volume."""
    return Explained(
        "bottles",
        count.count,
        "bottles",
        "whole bottles in volume x (1 - loss)",
        (
            Input("volume", volume_l, "L"),
            Input("loss to lees", loss_percent, "%"),
            Input("size", count.size_ml, "mL"),
            Input("left over", count.left_l, "L"),
        ),
        "arithmetic; the loss is an estimate without a source (3 to 6 % for the lees, 1 to 2 % for a racking)",
    )


def pressure(
    bar: float,
    *,
    sugar_g_per_l: float,
    temp_c: float,
    bottle_ml: float,
    start: str,
    sealed_now: bool = False,
    dry: bool = False,
) -> Explained:
    """Excess pressure once the sugar has fermented in the bottle; `dry` where it counts down to 1.000."""
    return Explained(
        f"pressure at {temp_c:g} °C{', if it were sealed now' if sealed_now else ''}",
        bar,
        "bar",
        "(CO2 of the sugar + CO2 that it held when sealed) / (what mead and headspace hold for each bar), less 1 atm",
        (
            Input(f"sugar that can ferment{', down to 1.000' if dry else ''}", sugar_g_per_l, "g/L"),
            Input("temperature", temp_c, "°C"),
            Input("bottle", bottle_ml, "mL"),
            Input("headspace", bottle_ml * HEADSPACE_SHARE, "mL"),
            Input("mead when sealed", start),
        ),
        f"{WEISS}. A figure for warnings in a stiff, sealed bottle, never a permission",
    )


def priming(
    made: Priming, *, volume_l: float, volumes: float, warmest_c: float, kind: str, most_volumes: float
) -> Explained:
    """Sugar for a wanted fizz; `most_volumes` is what the glass bears at 20 and at 30 °C."""
    return Explained(
        f"priming {kind}",
        made.sugar_g,
        "g",
        "(CO2 wanted - CO2 that the mead holds from its warmest day) x volume / CO2 of the sugar",
        (
            Input("CO2 wanted", volumes, "volumes"),
            Input("CO2 held", made.residual_volumes, "volumes"),
            Input("which water would hold", residual_volumes(warmest_c, 1.0), "volumes"),
            Input("most that the glass bears", most_volumes, "volumes"),
            Input("pressure at 20 °C", made.bar_at_20c, "bar"),
            Input("pressure at 30 °C", made.bar_at_30c, "bar"),
            Input("warmest since the ferment", warmest_c, "°C"),
            Input("volume", volume_l, "L"),
        ),
        WEISS,
    )
