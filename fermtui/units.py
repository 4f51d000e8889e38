"""What people type and read: litres, gallons, grams, ounces, °C, °F, SG, °Bx, decimal comma. Inside all is metric."""

import math
import re
from typing import Any, NamedTuple

from fermtui.must.limits import OutOfRange

GALLON_L = 3.785411784  # US liquid gallon, 231 cubic inches, exact
IMPERIAL_GALLON_L = 4.54609  # exact
POUND_G = 453.59237  # exact
OUNCE_G = 28.349523125  # exact
FLUID_OUNCE_L = 0.0295735295625  # exact

BEYOND_ALL_GLASS_BAR = 16
"""What bottles for sparkling wine usually burst at (must/tables/pressure_lines.csv)."""

_VOLUME = {
    "l": 1.0, "litre": 1.0, "litres": 1.0, "liter": 1.0, "liters": 1.0, "ml": 0.001, "cl": 0.01, "dl": 0.1, "hl": 100.0,
    "gal": GALLON_L, "gallon": GALLON_L, "gallons": GALLON_L, "usgal": GALLON_L, "impgal": IMPERIAL_GALLON_L,
    "qt": GALLON_L / 4, "pt": GALLON_L / 8, "floz": FLUID_OUNCE_L,
}  # fmt: skip
_MASS = {
    "g": 1.0, "gram": 1.0, "grams": 1.0, "kg": 1000.0, "mg": 0.001, "lb": POUND_G, "lbs": POUND_G, "pound": POUND_G,
    "pounds": POUND_G, "oz": OUNCE_G, "ounce": OUNCE_G, "ounces": OUNCE_G,
}  # fmt: skip
_NUMBER = r"[-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+)"
_WITH_UNIT = rf"\s*({_NUMBER})\s*([^\d\s.,][^\d]*?)?\s*\Z"


class Unreadable(ValueError):
    """A quantity that cannot be read; the message is one sentence that says what would be right."""


SCALE_OF = {
    "bx": "brix", "brix": "brix", "p": "plato", "plato": "plato", "oe": "oechsle", "oechsle": "oechsle",
    "öchsle": "oechsle", "be": "baume", "bé": "baume", "baume": "baume", "baumé": "baume", "kmw": "kmw",
}  # fmt: skip
"""What stands behind a number in degrees, without its °, and the scale that it is of."""
DEGREES = {"brix": "°Bx", "plato": "°P", "oechsle": "°Oe", "baume": "°Bé", "kmw": "°KMW"}


class Units(NamedTuple):
    """What the maker reads and what a bare number means. volume: L or gal; mass: g or lb; temp: C or F;
    gravity: sg, or one of DEGREES; brix: what reads degrees Brix, refractometer or hydrometer.
    """

    volume: str = "L"
    mass: str = "g"
    temp: str = "C"
    gravity: str = "sg"
    decimal_comma: bool = False
    brix: str = "refractometer"


METRIC = Units()


def number(text: str) -> float:
    """A finite number with a point or a comma. Raises Unreadable."""
    if not re.fullmatch(rf"\s*{_NUMBER}\s*", text):
        raise Unreadable(f"{text[:40]!r} is not a number, as in 4.2")
    value = float(text.replace(",", "."))
    if not math.isfinite(value):
        raise Unreadable(f"{text[:40]!r} is not a number, as in 4.2")
    return value


def _parts(text: str, like: str) -> tuple[float, str]:
    match = re.match(_WITH_UNIT, text)
    if match is None:
        raise Unreadable(f"{text[:40]!r} cannot be read: write it like {like}")
    return number(match[1]), (match[2] or "").strip().lower().replace(" ", "").replace(".", "").replace("°", "")


def _scaled(text: str, table: dict[str, float], bare: str, like: str) -> float:
    value, unit = _parts(text, like)
    if value < 0.0:
        raise Unreadable(f"{text[:40]!r} is less than nothing: write it like {like}")
    factor = table.get(unit or bare.lower())
    if factor is None:
        raise Unreadable(f"{text[:40]!r} has the unit {unit[:20]!r}, which is none of {', '.join(sorted(table))}")
    return value * factor


def volume_l(text: str, units: Units = METRIC) -> float:
    """Litres from `4L`, `750 ml`, `1gal`; a bare number is in the maker's unit. Raises Unreadable."""
    return _scaled(text, _VOLUME, units.volume, "4.5 L or 1 gal")


def mass_g(text: str, units: Units = METRIC) -> float:
    """Grams from `500`, `1.2kg`, `3lb`; a bare number is in grams, or pounds where the maker reads lb."""
    return _scaled(text, _MASS, units.mass, "500 g or 3 lb")


def temp_c(text: str, units: Units = METRIC) -> float:
    """°C from `21`, `21C`, `68F`. Raises Unreadable."""
    value, unit = _parts(text, "21 C or 70 F")
    unit = unit or units.temp.lower()
    if unit == "k":
        return value - 273.15
    if unit not in ("c", "f"):
        raise Unreadable(f"{text[:40]!r} is no temperature: write it like 21 C or 70 F")
    return (value - 32.0) / 1.8 if unit == "f" else value


def percent(text: str) -> float:
    """A percentage, its sign optional. Raises Unreadable."""
    value, unit = _parts(text, "12.5")
    if unit not in ("", "%", "%vol", "%abv", "percent"):
        raise Unreadable(f"{text[:40]!r} is no percentage: write it like 12.5")
    return value


def per_litre_g(text: str) -> float:
    """Grams a litre from `4`, `4g/L`, `400 mg/l`. Raises Unreadable."""
    value, unit = _parts(text, "4 g/L")
    factor = {"": 1.0, "g/l": 1.0, "mg/l": 0.001, "ppm": 0.001}.get(unit)
    if factor is None:
        raise Unreadable(f"{text[:40]!r} is no concentration: write it like 4 g/L")
    return value * factor


def per_litre_mg(text: str) -> float:
    """Milligrams a litre from `30`, `30 mg/L`, `0.03 g/L`. Raises Unreadable."""
    value, unit = _parts(text, "30 mg/L")
    factor = {"": 1.0, "mg/l": 1.0, "ppm": 1.0, "g/l": 1000.0}.get(unit)
    if factor is None:
        raise Unreadable(f"{text[:40]!r} is no concentration: write it like 30 mg/L")
    return value * factor


def bottle_ml(text: str, units: Units = METRIC) -> float:
    """Millilitres from `750`, `750 mL`, `0.75 L`, `12 fl oz`; a bare number from 20 on is in mL. Raises Unreadable."""
    value, unit = _parts(text, "750 mL")
    return value if not unit and value >= 20.0 else volume_l(text, units) * 1000.0


def room_m3(text: str) -> float:
    """Cubic metres from `30`, `30 m3`, `900 ft3`. Raises Unreadable."""
    match = re.fullmatch(rf"\s*({_NUMBER})\s*(m3|m³|ft3|ft³|l)?\s*", text.lower())
    if match is None:
        raise Unreadable(f"{text[:40]!r} is no room size: write it like 30 m3")
    factor = {"ft3": 0.028316846592, "ft³": 0.028316846592, "l": 0.001}.get(match[2] or "m3", 1.0)
    return number(match[1]) * factor


def gravity_sg(text: str, units: Units = METRIC) -> float:
    """SG from `1.042`, `1,042`, `1042`, `10 bx` (unfermented), `10 P`, `42 Oe`, `6 Be`, `9 KMW`. Raises Unreadable."""
    value, unit = _parts(text, "1.042, 1042 or 10.4 bx")
    scale = SCALE_OF.get(unit) or (units.gravity if not unit and is_degrees(value, units) else None)
    if scale is not None:
        return _sg_of_degrees(scale, value, text)
    if unit not in ("", "sg"):
        raise Unreadable(f"{text[:40]!r} is no gravity: write it like 1.042, 1042 or 10.4 bx")
    sg = value / 1000.0 if 900.0 <= value <= 1300.0 else value
    if not 0.95 <= sg <= 1.3:
        raise Unreadable(f"{text[:40]!r} is no gravity between 0.950 and 1.300: write it like 1.042 or 1042")
    return sg


def is_degrees(value: float, units: Units) -> bool:
    """Whether a bare number is in the degrees that the maker reads, and no SG."""
    return units.gravity != "sg" and not (0.95 <= value <= 1.3 or 900.0 <= value <= 1300.0)


def _sg_of_degrees(scale: str, value: float, text: str) -> float:
    if scale == "brix" and not 0.0 <= value <= 50.0:
        raise Unreadable(f"{text[:40]!r} is outside 0 to 50 degrees: write it like 10.4 bx")
    try:
        return sg_of_shown(value, Units(gravity=scale))
    except OutOfRange as why:
        raise Unreadable(f"{text[:40]!r} cannot be: {why}") from None


def _shown(value: float, places: int, units: Units) -> str:
    text = f"{value:.{places}f}"
    if float(text) == 0.0:
        text = text.lstrip("-")
    return text.replace(".", ",") if units.decimal_comma else text


def show_volume(litres: float, units: Units = METRIC) -> str:
    """`4.2 L`, `1.1 gal`."""
    if units.volume == "gal":
        return f"{_shown(litres / GALLON_L, 2, units)} gal"
    return f"{_shown(litres, 2 if litres < 1 else 1, units)} L"


def show_masses(grams: list[float], units: Units = METRIC) -> list[str]:
    """Masses that stand beside each other, all in the unit of the largest: `1.20 kg`, `0.45 kg`. Where one is below an
    ounce and none above a pound, in grams."""
    most = max(grams, default=0.0)
    least = min((one for one in grams if one > 0.0), default=0.0)
    if units.mass == "lb" and (most >= POUND_G or least >= OUNCE_G):
        size, name = (POUND_G, "lb") if most >= POUND_G else (OUNCE_G, "oz")
        return [f"{_shown(one / size, 2, units)} {name}" for one in grams]
    if most >= 999.5:
        return [f"{_shown(one / 1000.0, 2, units)} kg" for one in grams]
    places = 2 if 0.0 < most < 1.0 else 1 if most < 20.0 else 0
    return [f"{_shown(one, places, units)} g" for one in grams]


def show_mass(grams: float, units: Units = METRIC) -> str:
    """`0.16 g`, `1.1 g`, `500 g`, `1.25 kg`; `1 lb 4.0 oz` where the maker reads pounds, grams below an ounce."""
    if units.mass == "lb" and grams >= OUNCE_G:
        pounds, tenths = divmod(round(10.0 * grams / OUNCE_G), 160)
        ounces = f"{_shown(tenths / 10.0, 1, units)} oz"
        return f"{pounds} lb {ounces}" if pounds else ounces
    if grams >= 999.5:
        return f"{_shown(grams / 1000.0, 2, units)} kg"
    return f"{_shown(grams, 2 if 0.0 < abs(grams) < 1.0 else 1 if grams < 20.0 else 0, units)} g"


def show_temp(celsius: float, units: Units = METRIC) -> str:
    """`19.5 °C`, `67 °F`."""
    if units.temp == "F":
        return f"{_shown(celsius * 1.8 + 32.0, 0, units)} °F"
    return f"{_shown(celsius, 1, units).removesuffix('.0').removesuffix(',0')} °C"


def show_gravity(sg: float, units: Units = METRIC, places: int = 3) -> str:
    """`1.042`, or the degrees of a must without alcohol at this gravity where the maker reads one of DEGREES.

    Below 1.000 they go on below nought, degrees Brix and Plato as far below as they would be above.
    """
    if units.gravity == "sg":
        return _shown(sg, places, units)
    return f"{show_degrees(sg, units, places)} {gravity_unit(units)}"


def show_degrees(sg: float, units: Units, places: int = 3) -> str:
    """The same without its unit, for a column that names it."""
    if units.gravity == "sg":
        return _shown(sg, places, units)
    return _shown(degrees_of(sg, units), 0 if units.gravity == "oechsle" and places < 4 else 1, units)


def degrees_of(sg: float, units: Units) -> float:
    """The degrees that the maker reads, of a gravity; SG itself where none are."""
    degrees: float = sg if units.gravity == "sg" else _scales().mark_of_sg(_hydrometer_scale(units), sg)
    return degrees


def sg_of_shown(degrees: float, units: Units) -> float:
    """The gravity of degrees that the maker reads. Raises must.limits.OutOfRange."""
    sg: float = degrees if units.gravity == "sg" else _scales().sg_of_mark(_hydrometer_scale(units), degrees)
    return sg


def _hydrometer_scale(units: Units) -> str:
    return "plato" if units.gravity == "brix" else units.gravity


def _scales() -> Any:
    from fermtui.must import hydrometer_scales  # only degrees need the chemistry behind it

    return hydrometer_scales


def gravity_unit(units: Units) -> str:
    """`SG`, or the degrees that the maker reads."""
    return DEGREES.get(units.gravity, "SG")


def show_bar(bar: float, units: Units = METRIC) -> str:
    """`9.2 bar`, `0.5 bar`, `0.14 bar`; `more than 16 bar` where no glass holds it and the figure says nothing more."""
    if bar > BEYOND_ALL_GLASS_BAR:
        return f"more than {BEYOND_ALL_GLASS_BAR} bar"
    shown = _shown(bar, 1 if abs(bar) >= 0.95 else 2, units)
    return f"{shown.removesuffix('0') if abs(bar) < 0.95 else shown} bar"


def show_number(value: float, places: int, units: Units = METRIC) -> str:
    """A bare number in the maker's decimal sign."""
    return _shown(value, places, units)
