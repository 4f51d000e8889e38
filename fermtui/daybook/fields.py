"""One row a field of an entry: what it is called, its unit, its bounds, how its value is told, and an example.

Forms, the commands' key=value and their help, the sentences about an entry and the checks of a line come from here.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from typing import Literal, NamedTuple

TEXT_MOST = 2000
GRAVITY = (0.95, 1.3)
TEMP_C = (-10.0, 100.0)
SOME_VOLUME_L = (0.001, 2000.0)
MASS_G = (0.0, 2_000_000.0)
FIRST_YEAR, LAST_YEAR = 1970, 2200
KEY = re.compile(r"[A-Za-z0-9_-]{1,80}\Z")
NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,79}\Z")
Reads = Literal["number", "whole", "words", "one_of", "key", "vessel", "moment"]
Unit = Literal["", "L", "mL", "g", "mg", "°C", "%", "% vol", "SG", "°Bx", "mg/L", "h", "days", "µm"]


class Unfit(ValueError):
    """A value that cannot be; the message is one sentence, with `fields` (as the file names them) at its `{}`."""

    def __init__(self, sentence: str, *fields: str) -> None:
        self.sentence, self.fields = sentence, fields
        super().__init__(self.text(str))

    @property
    def field(self) -> str:
        """The field at fault, empty where it is none."""
        return self.fields[0] if self.fields else ""

    def text(self, name_of: Callable[[str], str]) -> str:
        """The sentence with the fields under other names."""
        return self.sentence.replace("{}", " or ".join(map(name_of, self.fields)), 1) if self.fields else self.sentence


class Field(NamedTuple):
    """One field. `label` names it in a form, `name` in a sentence (`the volume`); `told` is how a line of the daybook
    tells its value ("" not at all); `low` and `high` are in `unit` and included; `example` is what may be typed.
    """

    label: str
    name: str
    told: str
    reads: Reads
    unit: Unit
    low: float
    high: float
    choices: tuple[str, ...]
    example: str


def _number(label: str, name: str, told: str, unit: Unit, low: float, high: float, example: str) -> Field:
    return Field(label, name, told, "number", unit, low, high, (), example)


def _count(label: str, name: str, told: str, low: float, high: float, example: str) -> Field:
    return Field(label, name, told, "whole", "", low, high, (), example)


def _words(label: str, told: str, example: str, reads: Reads = "words", name: str = "") -> Field:
    return Field(label, name or label, told, reads, "", 0, TEXT_MOST, (), example)


def _one_of(label: str, told: str, *choices: str, name: str = "") -> Field:
    listed = " or ".join(part for part in (", ".join(choices[:-1]), choices[-1]) if part)
    return Field(label, name or label, told, "one_of", "", 0, TEXT_MOST, choices, listed)


# A row named kind.field holds for that kind alone.
FIELDS: dict[str, Field] = {
    "volume_l": _number("volume", "the volume", "{}", "L", *SOME_VOLUME_L, "4.2"),
    "add.volume_l": _number("volume", "the volume", "{}", "L", 0, 2000, "0.1"),
    "level.volume_l": _number("volume measured", "the volume", "{}", "L", 0, 2000, "4.2"),
    "rack.volume_l": _number("volume after", "the volume", "{}", "L", *SOME_VOLUME_L, "4.2"),
    "honey_g": _number("honey", "honey", "{} honey", "g", 0.1, 2_000_000, "1200, or 1.2kg"),
    "mix.honey_g": _number("honey", "honey", "{} honey", "g", *MASS_G, "1200, or 1.2kg"),
    "honey_moisture_percent": _number("honey's moisture", "the honey's moisture", "", "%", 10, 30, "17.1"),
    "water_l": _number("water", "water", "{} water", "L", 0, 2000, "3.3"),
    "juice_l": _number("juice", "juice", "{} juice", "L", 0, 2000, "2"),
    "juice_sg": _number("gravity of the juice", "the gravity of the juice", "", "SG", *GRAVITY, "1.050"),
    "yeast": _words("yeast", "{}", "the name you know it by"),
    "yeast_g": _number("yeast", "yeast", "{} yeast", "g", 0, 10_000, "2.5"),
    "temp_c": _number("temperature", "the temperature", "{}", "°C", *TEMP_C, "20, or 68F"),
    "dap_g": _number("DAP", "DAP", "{} DAP", "g", 0, 10_000, "0.7"),
    "autolysate_g": _number("autolysate", "autolysate", "{} autolysate", "g", 0, 10_000, "1.8"),
    "complex_g": _number("complex nutrient", "complex nutrient", "{} complex nutrient", "g", 0, 10_000, "1.0"),
    "what": _words("what", "{}", ""),
    "add.what": _words("what", "{}", "tartaric acid"),
    "pull.what": _one_of("what", "{}", "fruit", "spice", "oak"),
    "mass_g": _number("mass", "the mass", "{}", "g", *MASS_G, "500, or 1.1lb"),
    "fruit.mass_g": _number("pitted mass", "the mass", "{}", "g", 0.1, 2_000_000, "500, or 1.1lb"),
    "kind": _words("kind", "{}", "plum"),
    "treatment": _words("treatment", "{}", "frozen"),
    "loss_l": _number("lost with it", "what is lost with it", "{} lost", "L", 0, 2000, "0.2"),
    "pad_um": _number("pad", "the pad", "{} pad", "µm", 0.1, 100, "1"),
    "into": _words("into", "into {}", "the same container"),
    "split.into": _words("into", "into {}", "a new vessel, or one at work", "vessel"),
    "with": _words("with", "{}", "mead, water"),
    "from": _words("from vessel", "from {}", "the name of its folder", "vessel", name="from"),
    "sg": _number("gravity", "the gravity", "{}", "SG", *GRAVITY, "1.042"),
    "top_up.sg": _number("gravity", "the gravity", "{}", "SG", 0.79, 1.45, "1.042"),
    "brix": _number("refractometer", "Brix", "{}", "°Bx", -5, 60, "8.4"),
    "ph": _number("pH", "pH", "pH {}", "", 1, 10, "3.4"),
    "free_so2_mg_per_l": _number("free SO2", "free SO2", "free SO2 {}", "mg/L", 0, 1000, "25"),
    "sample_ml": _number("sample", "the sample", "{} sample", "mL", 0, 5000, "100"),
    "by": _words("sensor", "by {}", "the name it has in cellar.toml"),
    "read.count": _count("rows", "the count of rows", "median of {} rows", 1, 10_000_000, "48"),
    "spread_sg": _number("scatter of the rows", "the scatter", "", "SG", 0, 0.1, "0.0004"),
    "abv_percent": _number("strength", "the strength", "{}", "% vol", 0, 96, "12"),
    "forced_test.sg": _number("gravity at its end", "the gravity", "ended at {}", "SG", *GRAVITY, "0.996"),
    "days": _number("for", "days", "after {}", "days", 0, 365, "7"),
    "hours": _number("for", "hours", "for {}", "h", 0, 10_000, "24"),
    "metabisulfite_g": _number("metabisulfite", "metabisulfite", "{} metabisulfite", "g", 0, 10_000, "0.4"),
    "salt": _one_of("salt", "", "potassium", "sodium"),
    "sorbate_g": _number("potassium sorbate", "potassium sorbate", "{} sorbate", "g", 0, 10_000, "0.9"),
    "entry": _words("entry", "", "20260318T181500123-k3f9x2", "key"),
    "strike.entry": _words("entry", "{}", "20260318T181500123-k3f9x2", "key"),
    "water_g": _number("water", "water", "", "g", *MASS_G, "3800"),
    "sugar_g": _number("sugar", "sugar", "", "g", *MASS_G, "120"),
    "add.sugar_g": _number("sugar in it", "the sugar in it", "{} sugar in it", "g", *MASS_G, "120, or 0.1kg"),
    "ethanol_g": _number("alcohol", "alcohol", "", "g", *MASS_G, "300"),
    "pitched": _words("pitched", "", "2026-03-18", "moment"),
    "so2_mg": _number("SO2", "SO2", "", "mg", 0, 10_000_000, "100"),
    "sorbate_mg": _number("sorbate", "sorbate", "", "mg", 0, 10_000_000, "500"),
    "sweetened_g": _number("sweetening", "sweetening", "", "g", *MASS_G, "100"),
    "strike.by": _one_of("by", "", "undo", "redo"),
    "count": _count("bottles", "the count", "{} bottles", 1, 10_000, "5"),
    "size_ml": _number("bottle size", "the bottle size", "of {}", "mL", 10, 60_000, "750"),
    "glass": _one_of("glass", "{}", "still", "sparkling", "beer"),
    "closure": _words("closure", "{}", "screw cap"),
    "priming_g": _number("priming sugar", "priming sugar", "{} priming sugar", "g", 0, 100_000, "25"),
    "priming_kind": _one_of(
        "priming with", "", "sucrose", "dextrose", "honey", name="the kind of priming sugar"
    ),
    "left_l": _number("left over", "what is left over", "{} left", "L", 0, 2000, "0.3"),
    "rest": _one_of("the rest was", "the rest {}", "drunk", "given", "poured away", name="what became of the rest"),
    "look": _words("look", "{}", "clear, gold"),
    "smell": _words("smell", "{}", ""),
    "taste": _words("taste", "{}", ""),
    "score": _number("score", "score", "{} of 20", "", 0, 20, "14.5 of 20"),
    "why": _one_of("why", "{}", "drunk", "given", "burst"),
    "text": _words("note", "{}", "", name="text"),
    "task": _words("task", "", "dose-2", "key"),
    "override": _words("override", "", "why all the same"),
    "until": _words("until", "until {}", "2026-03-18, tomorrow or +3", "moment"),
    "reason": _words("reason", "{}", ""),
}


def field_of(did: str, name: str) -> Field:
    """The row of a field as the kind `did` has it. Raises KeyError where it has none."""
    return FIELDS.get(f"{did}.{name}") or FIELDS[name]


def fit(
    name: str, value: object, reads: Reads, low: float = 0.0, high: float = TEXT_MOST, choices: tuple[str, ...] = ()
) -> object:
    """Check one value against what its field holds; `high` is the most characters of words.

    Returns float, int, str, date or datetime. Raises Unfit with a sentence that says what would be right.
    """
    if reads in ("number", "whole"):
        return fit_number(name, value, low, high, whole=reads == "whole")
    if reads == "moment":
        return fit_moment(name, value)
    if not isinstance(value, str):
        raise Unfit("{} is text in quotes", name)
    if reads == "one_of" and value not in choices:
        raise Unfit(f"{{}} is one of {', '.join(choices)}, not {value[:40]!r}", name)
    if reads == "key" and not KEY.match(value):
        raise Unfit("{} is the key of an entry (letters, digits and hyphens)", name)
    if reads == "vessel" and not NAME.match(value):
        raise Unfit("{} is a vessel's folder name (letters, digits and hyphens)", name)
    if reads == "words" and len(value) > high:
        raise Unfit(f"{{}} holds {len(value)} characters; {high:g} is the most", name)
    return value


def fit_number(name: str, value: object, low: float, high: float, *, whole: bool = False) -> float | int:
    """A finite number from `low` to `high`, or Unfit."""
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        raise Unfit("{} is a number without quotes", name)
    if isinstance(value, int) and abs(value) >= 2**63:  # float() and str() of a huge int may fail
        raise Unfit(f"{{}} is a number from {low:g} to {high:g}", name)
    given = float(value)
    if not math.isfinite(given) or not low <= given <= high:
        raise Unfit(f"{{}} is a number from {low:g} to {high:g}, not {str(value)[:40]}", name)
    if whole:
        if given != int(given):
            raise Unfit(f"{{}} is a whole number, not {str(value)[:40]}", name)
        return int(given)
    return given


def fit_moment(name: str, value: object) -> date | datetime:
    """A date or an instant with offset between the years 1970 and 2200, or Unfit."""
    if not isinstance(value, date):
        raise Unfit("{} is a date (2026-03-18) or a time with offset (2026-03-18T20:15:00+01:00)", name)
    if not FIRST_YEAR <= value.year <= LAST_YEAR:
        raise Unfit(f"{{}} lies between the years {FIRST_YEAR} and {LAST_YEAR}, not {value.year}", name)
    if isinstance(value, datetime) and value.tzinfo is None:
        raise Unfit("{} is a time without its offset; write it as in 2026-03-18T20:15:00+01:00", name)
    return value


def fit_instant(name: str, value: object) -> datetime:
    """An instant with its offset, or Unfit."""
    if not isinstance(value, datetime) or value.tzinfo is None:
        raise Unfit("{} is a time with its offset, as in 2026-03-18T20:15:00+01:00", name)
    fit_moment(name, value)
    return value
