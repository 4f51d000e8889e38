"""What amounts are, and how they are rounded: as a kitchen scale and a jug can give them."""

from __future__ import annotations

from collections.abc import Mapping

# By the field names of an entry; `instead` holds the grams of another dose by name.
Amounts = dict[str, float | str | bool | Mapping[str, float]]


def grams(mass_g: float) -> float:
    """To 0.01 g below one gram, to 0.1 g below 100, else to the gram."""
    return round(mass_g, 2 if mass_g < 1 else 1 if mass_g < 100 else 0)


def litres(volume_l: float) -> float:
    """To the centilitre."""
    return round(volume_l, 2)
