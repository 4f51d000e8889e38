"""The maker's units and own defaults of the bench, straight from the bytes of cellar.toml.

Read here again and not through `Settings`: all of the settings take longer to load than a sum takes. What is missing
or wrong counts as not said; `fermtui check` is what complains about it.
"""

from __future__ import annotations

from collections.abc import Mapping

from fermtui.units import METRIC, Units

Usual = Mapping[str, Mapping[str, str]]
_NUMBERS = (
    # table, field, least, most, what it is written as, and the sums with their option
    ("", "honey_moisture_percent", 10, 30, "{} %", ("honey.moisture", "sweeten.moisture")),
    ("", "room_m3", 0.5, 100_000, "{} m3", ("air.room",)),
    ("hydrometer", "calibrated_c", 4, 40, "{} C", ("correct.calibrated",)),
    ("hydrometer", "offset_sg", -0.02, 0.02, "{}", ("correct.offset",)),
    ("nutrients", "honey_mg_per_l", 0, 500, "{} mg/L", ("nitrogen.own",)),
    ("nutrients", "autolysate_n_percent", 1, 15, "{} %", ("nitrogen.autolysate-n",)),
    ("nutrients", "autolysate_effect", 0.1, 4, "{}", ("nitrogen.effect",)),
    ("nutrients", "complex_n_percent", 1, 25, "{} %", ("nitrogen.complex-n",)),
    ("sulfite", "molecular_mg_per_l", 0.1, 2, "{} mg/L", ("sulfite.molecular",)),
)


def of_the_maker(data: bytes) -> tuple[Units, Usual]:
    """Units, and for each sum the options with values of the maker's own. Never raises."""
    import tomllib

    try:
        table = tomllib.loads(data.decode("utf-8-sig"))
    except (ValueError, RecursionError):
        return METRIC, {}
    usual: dict[str, dict[str, str]] = {}
    for part, field, low, high, like, targets in _NUMBERS:
        value = _number(_part(table, part).get(field), low, high)
        if value is not None:
            for target in targets:
                _set(usual, target, like.format(value))
    nutrients, sulfite = _part(table, "nutrients"), _part(table, "sulfite")
    share = _number(nutrients.get("inorganic_share"), 0, 1)
    if share is not None:
        _set(usual, "nitrogen.inorganic", f"{100 * float(share):.4f} %")
    if sulfite.get("salt") in ("potassium", "sodium"):
        _set(usual, "sulfite.salt", str(sulfite["salt"]))
    return _units(_part(table, "units")), usual


def _part(table: Mapping[str, object], name: str) -> Mapping[str, object]:
    part = table.get(name, {}) if name else table
    return part if isinstance(part, dict) else {}


def _number(value: object, low: float, high: float) -> str | None:
    if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
        return None
    # Never with an exponent: the readers of the bench do not take one.
    return f"{value:.6f}".rstrip("0").rstrip(".")


def _set(usual: dict[str, dict[str, str]], target: str, text: str) -> None:
    what, option = target.split(".")
    usual.setdefault(what, {})[option] = text


def _units(part: Mapping[str, object]) -> Units:
    gravity = part.get("gravity")
    return Units(
        volume="gal" if part.get("volume") == "gal" else "L",
        mass="lb" if part.get("mass") in ("lb", "oz") else "g",
        temp="F" if part.get("temp") == "F" else "C",
        gravity="brix" if gravity in ("brix", "plato") else "sg",
        decimal_comma=part.get("decimal_comma") is True,
    )
