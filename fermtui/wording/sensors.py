"""How far a sensor is off, in a sentence."""

from __future__ import annotations

from fermtui.replay.facts import SensorOffset
from fermtui.units import Units, show_number
from fermtui.wording.plain import plain


def offset_text(sensor: SensorOffset, units: Units) -> str:
    """`float-1 shows 2.8 ± 0.5 points too much by 4 hand readings; follow_hand = true ... takes that off`."""
    points = show_number(abs(1000.0 * sensor.offset_sg), 1, units)
    near = show_number(1000.0 * sensor.sd_sg, 1, units)
    way = "much" if sensor.offset_sg >= 0.0 else "little"
    name = plain(sensor.name, 40)
    text = f"{name} shows {points} ± {near} points too {way} by {counted(sensor.pairs, 'hand reading')} near its own"
    if sensor.applied:
        return f"{text}; that is taken off"
    if abs(sensor.offset_sg) < 2.0 * sensor.sd_sg:
        return text
    return f"{text}; follow_hand = true under its [[sensor]] in cellar.toml takes that off"


def counted(count: int, noun: str) -> str:
    """`1 row`, `9,950 rows`."""
    return f"{count:,} {noun}{'' if count == 1 else 's'}"
