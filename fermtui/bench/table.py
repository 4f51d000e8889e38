"""Every sum with what it takes: the one table behind the commands, their help and the bench screen."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC
from importlib import import_module

from fermtui.bench.kind import Kind, maybe
from fermtui.bench.more_kinds import MORE_KINDS
from fermtui.bench.options import GivenOptions, Option, WrongOptions
from fermtui.bench.result import Sum
from fermtui.daybook.settings import DEMANDS, Settings
from fermtui.must.final_gravity import STRONGEST_ABV


def _of_settings(name: str, kind: str, like: str, says: str, setting: str) -> Option:
    return Option(name, kind, like, says, setting=setting)


_VOLUME = Option("volume", "volume", "4L", "volume")
_MOISTURE = _of_settings("moisture", "percent", "17.1", "water in 100 g of honey", "honey_moisture_percent")._replace(
    reasonable=(13.0, 23.0)
)
_ROOM_TEMP = Option("temp", "temp", "20C", "temperature", "20C")
_GLASS_KINDS = ("still", "beer", "sparkling")
_GLASS = Option("glass", "word", "still", "what the bottle is made for", "still", choices=_GLASS_KINDS)
_PRIMING = ("sucrose", "dextrose", "honey")
_SIZE = Option("size", "bottle", "750mL", "bottle size", "750mL")


SUMS: Mapping[str, Kind] = {
    "correct": Kind(
        "a reading at a temperature, brought to 20 °C",
        (
            maybe("gravity", "gravity", "1.042", "what the hydrometer shows"),
            maybe("temp", "temp", "25C", "temperature of the sample"),
            _of_settings("calibrated", "temp", "60F", "temperature that it is marked for", "hydrometer.calibrated_c"),
            Option("abv", "percent", "8", "alcohol in it by then", "0"),
            _of_settings(
                "offset", "number", "0.002", "what it shows too much in water: 0.002 for 1.002", "hydrometer.offset_sg"
            ),
            maybe("brix", "number", "9.4", "a refractometer reading instead (temp: only without compensation)"),
            maybe("original", "gravity", "1.095", "original gravity of a must read by refractometer"),
        ),
        "gravity",
    ),
    "strength": Kind(
        "strength between two gravities, nothing added in between",
        (
            Option("from", "gravity", "1.095", "original gravity"),
            Option("to", "gravity", "1.000", "gravity now"),
            Option("read-to", "number", "0.001", "how well the hydrometer is read, SG", "0.001"),
        ),
        "gravity",
    ),
    "honey": Kind(
        "honey and water for a must",
        (
            _VOLUME,
            maybe("gravity", "gravity", "1.095", "gravity wanted"),
            maybe("abv", "percent", "12", "strength wanted once it stands at end; with gravity: by feeding"),
            Option("end", "gravity", "1.000", "gravity that it ends at", "1.000"),
            _MOISTURE,
            maybe("index", "number", "1.4900", "refractive index of the honey at 20 °C, instead of moisture"),
            maybe("juice-gravity", "gravity", "1.048", "gravity of a juice that takes the place of water"),
            maybe("juice", "volume", "2L", "how much juice; left out, all of the water"),
            maybe("feed-at", "gravity", "1.015", "feed each time that it has fallen to this"),
            maybe("feed-to", "gravity", "1.030", "and lift it to this"),
        ),
        "sugar",
    ),
    "nitrogen": Kind(
        "what the yeast needs, in grams of nutrient",
        (
            _VOLUME,
            Option("gravity", "gravity", "1.095", "gravity before fermenting, fruit included"),
            Option("demand", "word", "high", "nitrogen demand of the yeast", "medium", choices=DEMANDS),
            maybe("factor", "number", "1.1", "factor in place of the demand's own"),
            _of_settings("own", "mg_per_l", "20 mg/L", "what the honey brings", "nutrients.honey_mg_per_l"),
            Option("juice", "volume", "1L", "apple juice in it", "0L"),
            _of_settings("inorganic", "percent", "50", "share of the nitrogen from DAP", "nutrients.inorganic_share"),
            _of_settings(
                "autolysate-n",
                "percent",
                "8",
                "nitrogen of the autolysate, by its label",
                "nutrients.autolysate_n_percent",
            ),
            _of_settings(
                "effect", "number", "1", "part of that nitrogen that counts", "nutrients.autolysate_effect"
            )._replace(reasonable=(0.4, 4.0)),
            Option("complex", "percent", "0", "share of the nitrogen from a complex nutrient", "0"),
            maybe("complex-n", "percent", "12", "nitrogen of the complex nutrient, by its label")._replace(
                setting="nutrients.complex_n_percent"
            ),
            Option("doses", "number", "2", "number of equal doses", "2"),
            Option("spent", "percent", "20", "sugar spent by now, for a late dose", "0"),
            Option("abv", "percent", "4", "strength by now, for a late dose", "0"),
            Option("dap-given", "grams", "1.1g", "DAP that is in already", "0g"),
            maybe("yeast", "grams", "5g", "dry yeast to be woken"),
        ),
        "nitrogen",
    ),
    "sulfite": Kind(
        "metabisulfite that keeps a finished mead",
        (
            _VOLUME,
            Option("ph", "ph", "3.4", "pH", reasonable=(2.8, 4.2)),
            Option("abv", "percent", "12", "strength"),
            _ROOM_TEMP,
            _of_settings("molecular", "mg_per_l", "0.8 mg/L", "molecular SO2 wanted", "sulfite.molecular_mg_per_l"),
            Option("free", "mg_per_l", "10 mg/L", "free SO2 that is in already", "0"),
            maybe("total", "mg_per_l", "40 mg/L", "total SO2 that is in already"),
            _of_settings("salt", "word", "potassium", "which metabisulfite", "sulfite.salt")._replace(
                choices=("potassium", "sodium")
            ),
            Option("bound", "percent", "0", "part that binds at once", "0"),
        ),
        "preservative_sums",
    ),
    "sorbate": Kind(
        "potassium sorbate for a finished, clear mead that holds sulfite",
        (
            _VOLUME,
            Option("ph", "ph", "3.3", "pH", reasonable=(2.8, 4.2)),
            Option("abv", "percent", "12", "strength"),
            maybe("malolactic", "flag", "", "it went through a malolactic ferment"),
        ),
        "preservative_sums",
    ),
    "sweeten": Kind(
        "honey for a wanted sweetness",
        (
            _VOLUME,
            Option("from", "gravity", "0.998", "gravity now"),
            Option("to", "gravity", "1.010", "gravity wanted"),
            Option("abv", "percent", "12", "strength now"),
            _MOISTURE,
        ),
        "sugar",
    ),
    "fruit": Kind(
        "what fruit brings and the room that it takes",
        (
            Option("kind", "word", "plum", "fruit"),
            Option("mass", "mass", "500g", "mass of fruit"),
            _VOLUME,
            Option("gravity", "gravity", "1.000", "gravity now"),
            maybe("abv", "percent", "12", "strength now; left out below 1.000, the least that stands there"),
            Option("end", "gravity", "1.000", "gravity that it ends at, with the fruit", "1.000"),
            Option("treatment", "word", "frozen", "how it is made ready", "raw"),
            maybe("as-bought", "flag", "", "the mass is with stones, peel and stems"),
            maybe("capacity", "volume", "5L", "of the vessel, for the room left"),
        ),
        "fruit_sum",
    ),
    "bottles": Kind(
        "how many bottles, sugar for fizz, closures",
        (
            _VOLUME,
            Option("loss-percent", "percent", "5", "loss to the lees", "5", reasonable=(0.0, 25.0)),
            _SIZE,
            Option("rackings", "number", "1", "further rackings, 2 % each", "0"),
            Option("fruit-loss", "volume", "0.2L", "mead that leaves with pulled fruit", "0L"),
            maybe("years", "number", "1", "planned age, for the closures"),
            _GLASS,
            maybe("fizz", "number", "2.5", "CO2 wanted, in volumes")._replace(reasonable=(1.0, 6.0)),
            Option("warmest", "temp", "20C", "warmest that it has been since its ferment ended", "20C"),
            Option("prime-with", "word", "honey", "priming sugar", "sucrose", choices=_PRIMING),
        ),
        "bottle_sums",
    ),
    "pressure": Kind(
        "pressure of sugar that ferments in a sealed bottle",
        (
            Option("sugar", "g_per_l", "4g/L", "sugar that can ferment"),
            _ROOM_TEMP,
            _SIZE,
            Option("start", "word", "saturated", "mead when sealed", "saturated", choices=("saturated", "degassed")),
            _GLASS,
        ),
        "bottle_sums",
    ),
    "air": Kind(
        "carbon dioxide of a ferment in a closed room",
        (
            _VOLUME,
            Option("gravity", "gravity", "1.095", "gravity before fermenting"),
            _of_settings("room", "room", "30m3", "size of the room", "room_m3"),
            Option("end", "gravity", "1.000", "gravity that it ends at", "1.000"),
            maybe("now", "gravity", "1.040", "gravity now, for what is still to come"),
            _ROOM_TEMP,
        ),
        "air_sum",
    ),
    "mixture": Kind(
        "sugar and ethanol by mass to gravity and strength, back, or a blend",
        (
            maybe("sugar-percent", "percent", "10", "sugar by mass"),
            maybe("ethanol-percent", "percent", "8", "ethanol by mass"),
            _ROOM_TEMP,
            maybe("gravity", "gravity", "1.010", "gravity, to go back; or of the first of two meads"),
            maybe("abv", "percent", "12", "strength, to go back; or of the first of two meads"),
            maybe("with-gravity", "gravity", "1.000", "gravity of the second mead"),
            maybe("with-abv", "percent", "14", "strength of the second mead"),
            maybe("to", "gravity", "1.005", "gravity wanted of the blend"),
            maybe("volume", "volume", "5L", "volume of the blend"),
        ),
        "gravity",
    ),
    **MORE_KINDS,
}


DEFAULTS = Settings(UTC, "UTC")


def solve(what: str, given: Mapping[str, str], settings: Settings = DEFAULTS) -> Sum:
    """Do one sum from its options as typed; what is left out comes from the settings.

    Raises WrongOptions (the call is off), Unreadable or OutOfRange (a value is at fault), each one sentence.
    """
    kind = SUMS.get(what)
    if kind is None:
        raise WrongOptions("there is no sum {!r}: one of " + ", ".join(SUMS), what[:40])
    options = GivenOptions(what, kind.options, given, settings)
    sum_: Sum = getattr(import_module(f"fermtui.bench.{kind.module}"), what)(options)
    return sum_._replace(asks=(*options.asks, *_too_strong(sum_)))


def _too_strong(sum_: Sum) -> tuple[str, ...]:
    """A question where a ferment would have gone beyond every yeast; blends and spirit may be as strong."""
    if sum_.what not in ("strength", "honey"):
        return ()
    found = (value for name, value in sum_.values.items() if name in ("abv_percent", "potential_abv_percent"))
    strongest = max((value for value in found if isinstance(value, float)), default=0.0)
    if strongest <= STRONGEST_ABV:
        return ()
    return (
        f"{strongest:.0f} % vol is more than yeast makes, {STRONGEST_ABV:.0f} at the most: are both gravities right?",
    )
