"""What the titles of a table's columns mean, in the words of several languages, or as the maker says."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

MEASURES = ("sg", "brix", "temp_c", "ph", "free_so2_mg_per_l")
GRAVITIES = ("sg", "brix", "plato", "oechsle", "baume", "kmw", "kg_m3", "g_ml")
GIVEN = {"time": "at", "sg": "sg", "temp": "temp", "vessel": "vessel"}
"""What `--columns` and `columns` in cellar.toml may name, and the column that it is."""
_TITLES: Mapping[str, str] = {
    "at": "at, when, datetime, date time, date and time, timestamp, time stamp, created at, recorded at, measured at, "
    "logged at, reading time, timepoint, time point, epoch, epoch s, epoch seconds, unix, unixtime, unix time, ts, "
    "datum uhrzeit, datum zeit, datum und uhrzeit, zeitpunkt, zeitstempel, date heure, date et heure, horodatage, "
    "fecha hora, fecha y hora, data ora, data e ora, datum tijd, tijdstip, tidpunkt, tidspunkt, dato tid",
    "date": "date, day, datum, tag, jour, fecha, data, giorno, dag, dato",
    "time": "time, hour, uhrzeit, zeit, heure, hora, ora, tijd, tid, klockslag, klokkeslett",
    "sg": "sg, gravity, gravity sg, specific gravity, hydrometer, density, relative density, dichte, relative dichte, "
    "spezifisches gewicht, densité, densité relative, densidad, densidad relativa, densità, densità relativa, "
    "dichtheid, soortelijk gewicht, densitet, relativ densitet, tetthet, tæthed, densidade",
    "brix": "brix, bx, refractometer, refraktometer, réfractomètre, refractómetro, rifrattometro",
    "plato": "plato, p, grad plato, degrees plato, extract, extrakt",
    "oechsle": "oechsle, öchsle, oe, grad oechsle, mostgewicht",
    "baume": "baume, baumé, be, bé",
    "kmw": "kmw, babo",
    "kg_m3": "density kg m3, dichte kg m3, densité kg m3, densidad kg m3, densità kg m3, kg m3, density g l, "
    "dichte g l",
    "g_ml": "density g ml, dichte g ml, density g cm3, dichte g cm3, densité g ml, densité g cm3, g ml, g cm3",
    "temp": "temp, temperature, temperatur, température, temperatura, temperatuur, temp.",
    "temp_c": "temp c, temperature c, temperatur c, température c, temperatura c, temperatuur c, celsius",
    "temp_f": "temp f, temperature f, temperatur f, température f, temperatura f, fahrenheit",
    "ph": "ph, ph wert, ph value",
    "free_so2_mg_per_l": "free so2, so2, free so2 mg per l, free so2 mg l",
    "sample_ml": "sample ml, sample",
    "text": "text, note, notes, comment, comments, remark, notiz, bemerkung, notitie, nota, note s",
    "did": "did",
    "struck": "struck",
    "by": "by",
}
NAMES: Mapping[str, str] = {title: name for name, titles in _TITLES.items() for title in titles.split(", ")}
_OF_THE_SCALE = re.compile(r" (?:20|15|15 6|60)(?: ?[cf])?(?: (?:20|15|60)(?: ?[cf])?)?\Z")


class NoTable(ValueError):
    """The file as a whole cannot be used; the message is one sentence."""


def columns_of(header: Iterable[str], given: Mapping[str, str]) -> tuple[dict[str, int], tuple[str, ...]]:
    """Which column holds what, and the titles that mean nothing here. Raises NoTable.

    `given` names the columns for time, sg, temp or vessel by their titles; the others go by what they are called.
    """
    titles = [title.strip().lstrip("\ufeff") for title in header]
    wanted = {plain_title(title): GIVEN[name] for name, title in given.items()}
    missing = [title for title in given.values() if plain_title(title) not in map(plain_title, titles)]
    if missing:
        raise NoTable(f"no column is called {missing[0][:40]!r}: there are {', '.join(titles)[:200]}")
    places: dict[str, int] = {}
    unused: list[str] = []
    for at, title in enumerate(titles):
        plain = plain_title(title)
        name = wanted.get(plain) or NAMES.get(plain) or NAMES.get(_OF_THE_SCALE.sub("", plain))
        if plain not in wanted and name is not None and (name in wanted.values() or _said(name, wanted)):
            name = None  # the maker named another column for it
        if name is None:
            if title:
                unused.append(title)
        elif name in places:
            raise NoTable(f"two columns mean {name}: {title[:40]!r} is the second; leave one, or say --columns")
        else:
            places[name] = at
    if "at" not in places and "date" not in places and "time" in places:
        places["at"] = places.pop("time")  # a logger's `time` holds the day too
    if "at" not in places and "date" not in places:
        raise NoTable("no column says when: one of them must be called date or at, or be named, as in time=TITLE")
    if not places.keys() & {*MEASURES, *GRAVITIES, "temp", "temp_f"}:
        raise NoTable(
            "no column holds a reading: they are called sg, brix, temp_c, ph or free_so2_mg_per_l, or named, as in "
            "sg=TITLE"
        )
    return places, () if "did" in places else tuple(unused)  # an export of ours: its other columns are known


def _said(name: str, wanted: Mapping[str, str]) -> bool:
    """Whether it would be a second column for something that the maker named."""
    said = set(wanted.values())
    same = ({"at", "date", "time"}, set(GRAVITIES), {"temp", "temp_c", "temp_f"})
    return any(name in group and said & group for group in same)


def plain_title(title: str) -> str:
    """A title in small letters, without brackets, signs and double spaces: `SG (20°C)` is `sg 20 c`."""
    bare = title.strip().lower().replace("²", "2").replace("³", "3").replace("₂", "2")
    return " ".join(re.sub(r"[()\[\]:,_°/.\ufeff-]", " ", bare).split())
