"""The sums of acid, blending and cellar work: what each is for, what it takes, and where it is done."""

from __future__ import annotations

from collections.abc import Mapping

from fermtui.bench.kind import Kind, maybe
from fermtui.bench.options import Option

ACIDS = ("tartaric", "malic", "citric", "lactic")
MEANS = (*ACIDS, "bicarbonate", "potassium carbonate", "chalk")
ADDITIVES = ("bentonite", "tannin", "oak chips", "oak cubes")
_VOLUME = Option("volume", "volume", "4L", "volume")
_ABV = Option("abv", "percent", "12", "strength")
_NOW = Option("gravity", "gravity", "1.000", "gravity now")
_END = Option("end", "gravity", "1.000", "gravity that it ends at", "1.000")


MORE_KINDS: Mapping[str, Kind] = {
    "acid": Kind(
        "titratable acid as other acids, and grams for a wanted one",
        (
            Option("now", "g_per_l", "4.5g/L", "titratable acid now"),
            Option("as", "word", "tartaric", "the acid that it is told as", "tartaric", choices=ACIDS),
            maybe("to", "g_per_l", "6g/L", "titratable acid wanted"),
            maybe("volume", "volume", "4L", "volume, for the grams"),
            maybe("with", "word", "malic", "what to change it with")._replace(choices=MEANS),
        ),
        "acid_sum",
    ),
    "blend": Kind(
        "two meads poured together, by volume or to a strength or gravity",
        (
            maybe("volume", "volume", "4L", "volume of the first"),
            _NOW._replace(says="gravity of the first"),
            _ABV._replace(says="strength of the first"),
            maybe("with-volume", "volume", "1L", "volume of the second"),
            Option("with-gravity", "gravity", "1.020", "gravity of the second"),
            Option("with-abv", "percent", "14", "strength of the second"),
            maybe("to-abv", "percent", "13", "strength wanted"),
            maybe("to", "gravity", "1.005", "gravity wanted"),
        ),
        "blends",
    ),
    "fortify": Kind(
        "spirit into mead, to a strength or by volume",
        (
            _VOLUME,
            _NOW,
            _ABV,
            Option("spirit-abv", "percent", "40", "strength of the spirit"),
            maybe("to-abv", "percent", "18", "strength wanted"),
            maybe("spirit", "volume", "0.5L", "spirit that is poured in"),
        ),
        "blends",
    ),
    "unknown": Kind(
        "strength of a mead whose original gravity is not known",
        (
            maybe("gravity", "gravity", "1.000", "what the hydrometer shows now, at 20 °C"),
            maybe("brix", "number", "7.1", "what the refractometer shows now"),
            maybe("distillate", "gravity", "0.984", "gravity of the distillate, made up to the sample's volume"),
            maybe("boiled", "gravity", "1.016", "gravity after boiling half off and making up with water"),
        ),
        "blends",
    ),
    "yeast": Kind(
        "dry yeast for a must, and water to wake it",
        (_VOLUME, Option("gravity", "gravity", "1.095", "gravity before fermenting")),
        "cellar_work",
    ),
    "additive": Kind(
        "finings, tannin or oak: from and to, and for a trial",
        (_VOLUME, Option("kind", "word", "bentonite", "what goes in", choices=ADDITIVES)),
        "cellar_work",
    ),
    "pasteurise": Kind(
        "what heat does to yeast: units, and minutes that they take",
        (
            Option("temp", "temp", "65C", "temperature of the drink itself"),
            maybe("minutes", "number", "15", "how long"),
            Option("units", "number", "50", "pasteurising units wanted", "50"),
        ),
        "cellar_work",
    ),
    "keg": Kind(
        "pressure for wanted volumes of CO2 in a keg",
        (
            Option("fizz", "number", "2.5", "CO2 wanted, in volumes", reasonable=(1.0, 5.0)),
            Option("temp", "temp", "5C", "temperature of the keg"),
        ),
        "cellar_work",
    ),
    "freeze": Kind("where a mead begins to freeze", (_NOW, _ABV), "cellar_work"),
    "energy": Kind(
        "energy, alcohol and sugar of a glass",
        (
            Option("glass", "bottle", "150mL", "the glass", "150mL"),
            _ABV,
            Option("sugar", "g_per_l", "10g/L", "sugar", "0"),
            Option("acid", "g_per_l", "5g/L", "acid", "5"),
        ),
        "cellar_work",
    ),
    "size": Kind(
        "what a vessel holds, by tape or by weight of water",
        (
            maybe("water", "mass", "4.98kg", "water that fills it"),
            Option("temp", "temp", "20C", "temperature of the water", "20C"),
            maybe("around", "number", "62", "tape around it, cm"),
            maybe("height", "number", "30", "inner height, cm"),
            Option("wall", "number", "4", "thickness of the wall, mm", "4"),
        ),
        "cellar_work",
    ),
    "scales": Kind(
        "one density as SG, Plato, Oechsle, Baumé and KMW",
        (
            maybe("gravity", "gravity", "1.090", "SG"),
            maybe("plato", "number", "21.6", "degrees Plato of a hydrometer"),
            maybe("oechsle", "number", "90", "degrees Oechsle"),
            maybe("baume", "number", "12", "degrees Baumé"),
            maybe("kmw", "number", "18.3", "degrees KMW"),
        ),
        "cellar_work",
    ),
    "potential": Kind("a table: what strength each gravity comes to", (_END,), "cellar_work"),
}
