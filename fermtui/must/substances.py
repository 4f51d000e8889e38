"""What things are by their names: how much sugar, water and alcohol goes in with them (tables/substances.csv).

Names are free text in several languages. The longest name of the table that stands in the text counts, and what
stands before `in`, `with` and the like counts before what stands behind: oak chips soaked in must are oak.
"""

import re
import unicodedata
from collections.abc import Sequence
from functools import cache, lru_cache
from typing import Literal, NamedTuple, get_args

from fermtui.must.composition import EMPTY, Must
from fermtui.must.csv_tables import Row, rows
from fermtui.must.density import RHO_ETHANOL_20, curve_at, mixture_volume
from fermtui.must.limits import within
from fermtui.must.root_finding import find_root

Group = Literal["water", "sugary", "inert", "alcoholic", "spirit", "mead", "honey", "free"]
STRONGEST_ABV = 96.5
"""Spirit as strong as it can be distilled, in % vol: from memory."""
JOINS = frozenset({
    "in", "with", "from", "for", "without", "soaked", "steeped", "infused", "mit", "aus", "ohne", "fuer", "dans",
    "avec", "sans", "pour", "con", "sin", "en", "para", "senza", "per", "w", "z", "bez", "do",
})  # fmt: skip
_SPELLED_OUT = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "ł": "l", "œ": "oe", "æ": "ae", "ø": "o"})


class Substance(NamedTuple):
    """One row. Percentages are g/100 g as bought, `abv_percent` is % vol, density g/L at 20 °C."""

    key: str
    called: str
    group: Group
    sugar_percent: float
    unfermentable_percent: float
    water_percent: float
    abv_percent: float
    g_per_l: float
    source: str

    @property
    def sugar_free(self) -> bool:
        """Whether no sugar that ferments is in it."""
        return self.sugar_percent == 0.0 and self.group in ("free", "water", "inert", "spirit")


class Poured(NamedTuple):
    """What goes into the ledger; of its extract `unfermentable_g` never ferments."""

    must: Must
    unfermentable_g: float


def substance(what: str | None) -> Substance | None:
    """The row that a name means, or None for what the table does not know."""
    return _look_up((what or "")[:200])


@lru_cache(maxsize=512)
def _look_up(what: str) -> Substance | None:
    words = folded(what)
    joined = next((place for place, word in enumerate(words) if word in JOINS and place), len(words))
    return _longest(words[:joined]) or _longest(words)


def folded(text: str) -> tuple[str, ...]:
    """The words of a text in plain small letters: `Süßstoff` is `suessstoff`, `crème` is `creme`."""
    plain = unicodedata.normalize("NFC", text).casefold().translate(_SPELLED_OUT)
    plain = "".join(sign for sign in unicodedata.normalize("NFKD", plain) if not unicodedata.combining(sign))
    return tuple(re.findall(r"[^\W\d_]+", plain))


def _longest(words: Sequence[str]) -> Substance | None:
    phrases, endings = _names()
    for size in range(min(5, len(words)), 0, -1):
        here = {" ".join(words[at : at + size]) for at in range(len(words) - size + 1)}
        if found := sorted(here & phrases.keys(), key=lambda name: (-len(name), name)):
            return phrases[found[0]]
    ends = [(len(end), row) for end, row in endings.items() for word in words if word.endswith(end) and word != end]
    return max(ends, key=lambda one: (one[0], one[1].key))[1] if ends else None


@cache
def _names() -> tuple[dict[str, Substance], dict[str, Substance]]:
    phrases: dict[str, Substance] = {}
    endings: dict[str, Substance] = {}
    for row in rows("substances"):
        found = _substance(row)
        for name in row["words"].split(";"):
            (endings if name.startswith("*") else phrases)[name.lstrip("*")] = found
    return phrases, endings


@cache
def substances() -> tuple[Substance, ...]:
    """All rows, in the order of the table."""
    return tuple(map(_substance, rows("substances")))


def _substance(row: Row) -> Substance:
    group = row["group"]
    if group not in get_args(Group):
        raise ValueError(f"substances.csv: {row['key']} is of no known group, {group!r}")
    return Substance(
        key=row["key"],
        called=row["called"],
        group=group,  # type: ignore[arg-type]  # narrowed by the test
        sugar_percent=float(row["sugar_percent"]),
        unfermentable_percent=float(row["unfermentable_percent"]),
        water_percent=float(row["water_percent"]),
        abv_percent=float(row["abv_percent"]),
        g_per_l=float(row["g_per_l"]),
        source=row["source"],
    )


def poured(of: Substance, mass_g: float = 0.0, volume_l: float = 0.0, abv_percent: float | None = None) -> Poured:
    """What so many grams, or litres where those are 0, bring; `abv_percent` where the label says another strength.

    Not for mead and honey, of which the table does not know what is in them. Raises OutOfRange.
    """
    strength = of.abv_percent if abv_percent is None else abv_percent
    litres = volume_l or mass_g / of.g_per_l
    weight_g = mass_g or litres * of.g_per_l
    unfermentable_g = weight_g * of.unfermentable_percent / 100.0
    extract_g = weight_g * of.sugar_percent / 100.0 + unfermentable_g
    if strength > 0.0:
        return Poured(with_alcohol(litres, strength, extract_g), unfermentable_g)
    water_g = weight_g * of.water_percent / 100.0
    if of.group == "free":  # a slurry or a solution is water, near enough
        water_g = 0.0 if not volume_l else volume_l * 998.2
    return Poured(Must(water_g, extract_g, 0.0), unfermentable_g)


def with_alcohol(volume_l: float, abv_percent: float, extract_g: float = 0.0) -> Must:
    """Litres at 20 °C of a drink of so many % vol (0 to 96.5) and grams of extract: the water is what room is left,
    by the density tables. Raises OutOfRange.
    """
    within("strength", abv_percent, 0.0, STRONGEST_ABV, "% vol", "no still goes further")
    within("volume", volume_l, 0.0, 50_000.0, "L", "it is the volume of a drink in litres")
    if volume_l == 0.0:
        return EMPTY
    ethanol_g = abv_percent / 100.0 * volume_l * RHO_ETHANOL_20
    curve = curve_at(20.0)

    def too_big(water_g: float) -> float:
        return mixture_volume(water_g, extract_g, ethanol_g, curve) / volume_l - 1.0

    water_g = find_root(too_big, 0.0, 1000.0 * volume_l, close=1e-9)
    return Must(0.0 if water_g is None else water_g, extract_g, ethanol_g)

