"""Carbon dioxide and the air of the room: how each comes about."""

from __future__ import annotations

from fermtui.explain.explained import Explained, Input
from fermtui.must.air import CO2_G_PER_G_ETHANOL, RoomAir


def carbon_dioxide(co2_g: float, ethanol_g: float, *, from_sg: float, to_sg: float, volume_l: float) -> Explained:
    """CO2 that a ferment gives off."""
    return Explained(
        "CO2 given off",
        co2_g,
        "g CO2",
        f"alcohol made x {CO2_G_PER_G_ETHANOL}: one molecule of CO2 for each of alcohol",
        (
            Input("alcohol made", ethanol_g, "g"),
            Input("from", from_sg, "SG"),
            Input("to", to_sg, "SG"),
            Input("volume", volume_l, "L"),
        ),
        "IUPAC atomic weights; alcohol by Balling",
    )


def room(air: RoomAir, room_m3: float, temp_c: float) -> Explained:
    """The level of CO2 in a closed room."""
    return Explained(
        "CO2 in the closed room",
        air.level_ppm,
        "ppm",
        "CO2 / 44.009 g/mol x R x T / room, on top of the 420 ppm outdoors; nothing leaves the room: the worst case",
        (Input("CO2", air.co2_g, "g CO2"), Input("room", room_m3, "m3"), Input("temperature", temp_c, "°C")),
        "ideal gas; lines: OSHA 5,000 ppm (8 h), NIOSH 30,000 (15 min) and 40,000 (danger to life)",
    )
