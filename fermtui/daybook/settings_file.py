"""cellar.toml -> Settings, field by field: a field at fault keeps its default and becomes a problem."""

from __future__ import annotations

from datetime import date, datetime, tzinfo
from typing import TYPE_CHECKING

from fermtui.cellar.tables import table_of
from fermtui.daybook.fields import Unfit, fit_moment
from fermtui.daybook.files import UnreadableFile, read_regular
from fermtui.daybook.places import SETTINGS, Cellar
from fermtui.daybook.problem import Problem
from fermtui.daybook.settings import (
    DEMANDS,
    Appearance,
    BottleKind,
    Container,
    Hydrometer,
    Nutrients,
    Settings,
    Stock,
    SulfiteSettings,
    YeastKind,
)
from fermtui.daybook.table_reader import MOST, TableReader, TableSection
from fermtui.daybook.toml_file import FILE_MOST, Malformed
from fermtui.daybook.zone import NoZone, named_zone, system_zone
from fermtui.units import Units

if TYPE_CHECKING:
    from fermtui.cellar.cache import Cache


def settings_of(cellar: Cellar, cache: Cache | None = None) -> tuple[Settings, tuple[Problem, ...], bytes]:
    """The settings of a cellar, what is wrong with them, and the bytes of the file (for the key of a cache)."""
    try:
        data = read_regular(cellar.path / SETTINGS, FILE_MOST)
    except FileNotFoundError:
        data = b""
    except UnreadableFile as fault:
        settings, problems = read_settings(b"")
        return settings, (Problem("settings", SETTINGS, None, (str(fault),)), *problems), b""
    return (*read_settings(data, cache=cache), data)


def read_settings(
    data: bytes, path: str = SETTINGS, cache: Cache | None = None
) -> tuple[Settings, tuple[Problem, ...]]:
    """The settings in these bytes; what is missing or wrong has its default."""
    try:
        table = table_of(data, cache)
    except Malformed as fault:
        name, zone = system_zone()
        return Settings(zone, name), (Problem("no_settings", path, fault.line, (str(fault),)),)
    page = TableReader(table, data, path)
    name, zone = _zone(page)
    settings = Settings(
        zone,
        name,
        _units(page),
        _hydrometer(page),
        _containers(page),
        _bottles(page),
        _stock(page),
        _nutrients(page),
        _yeasts(page),
        _sulfite(page),
        _look(page),
        _keys(page),
        page.number(page.top, "honey_moisture_percent", 17.1, 10, 30),
        page.number(page.top, "rack_loss_percent", 4.0, 0, 50),
        page.number(page.top, "room_m3", None, 0.5, 100_000),
    )
    return settings._replace(unknown=page.unknown()), tuple(page.problems)


def _zone(page: TableReader) -> tuple[str, tzinfo]:
    given = page.words(page.top, "timezone")
    name, zone = system_zone()
    if given:
        try:
            return given, named_zone(given)
        except NoZone as fault:
            page.fault("timezone", f"{fault}; until then {name} counts")
    return name, zone


def _keys(page: TableReader) -> dict[str, str]:
    part = page.part("keys")
    given = {action: page.words(part, action) for action in part.table}
    return {action: key for action, key in given.items() if key}


def _units(page: TableReader) -> Units:
    part = page.part("units")
    mass = page.choice(part, "mass", "g", "g", "lb", "oz")
    gravity = page.choice(part, "gravity", "sg", "sg", "brix", "plato")
    return Units(
        volume=page.choice(part, "volume", "L", "L", "gal"),
        mass="lb" if mass == "oz" else mass,
        temp=page.choice(part, "temp", "C", "C", "F"),
        gravity="brix" if gravity == "plato" else gravity,
        decimal_comma=page.flag(part, "decimal_comma", default=False),
    )


def _hydrometer(page: TableReader) -> Hydrometer:
    part = page.part("hydrometer")
    calibrated_c = page.number(part, "calibrated_c", 20.0, 4, 40)
    return Hydrometer(calibrated_c, page.number(part, "offset_sg", 0.0, -0.02, 0.02))


def _nutrients(page: TableReader) -> Nutrients:
    part = page.part("nutrients")
    usual = Nutrients()
    ranges = {
        "autolysate_n_percent": (1, 15), "autolysate_effect": (0.1, 4), "complex_n_percent": (1, 25),
        "inorganic_share": (0, 1), "honey_mg_per_l": (0, 500), "juice_mg_per_l": (0, 500),
        "demand_low": (0.3, 3), "demand_medium": (0.3, 3), "demand_high": (0.3, 3),
    }  # fmt: skip
    numbers = {name: page.number(part, name, getattr(usual, name), *bounds) for name, bounds in ranges.items()}
    names = {name: page.words(part, name) for name in ("dap_name", "autolysate_name", "complex_name")}
    return Nutrients(**numbers, **names)


def _sulfite(page: TableReader) -> SulfiteSettings:
    part = page.part("sulfite")
    salt = page.choice(part, "salt", "potassium", "potassium", "sodium")
    return SulfiteSettings(salt, page.number(part, "molecular_mg_per_l", 0.8, 0.3, 2))


def _look(page: TableReader) -> Appearance:
    part = page.part("look")
    ascii_only = page.flag(part, "ascii", default=False)
    return Appearance(page.words(part, "theme"), ascii_only, page.flag(part, "mouse", default=True))


def _containers(page: TableReader) -> tuple[Container, ...]:
    found: dict[str, Container] = {}
    for part in page.parts("container"):
        name, capacity_l = page.words(part, "name"), page.number(part, "capacity_l", None, 0.001, 2000)
        if not name or capacity_l is None:
            page.fault(part.where.rstrip("."), "a container needs name and capacity_l")
        elif name in found:
            page.fault(f"{part.where}name", f"there are two containers called {name!r}; the first counts")
        else:
            found[name] = Container(name, capacity_l)
    return tuple(found.values())


def _bottles(page: TableReader) -> tuple[BottleKind, ...]:
    found = []
    for part in page.parts("bottle"):
        size_ml = page.number(part, "size_ml", None, 10, 60_000)
        glass = page.choice(part, "glass", "still", "still", "beer", "sparkling")
        empties = page.checked(part, "count", None, type="whole", low=0, high=1_000_000)
        if size_ml is None:
            page.fault(part.where.rstrip("."), "a bottle needs size_ml")
        else:
            found.append(BottleKind(size_ml, glass, empties))
    return tuple(found)


def _yeasts(page: TableReader) -> tuple[YeastKind, ...]:
    found = []
    for part in page.parts("yeast"):
        name, demand = page.words(part, "name"), page.choice(part, "demand", "medium", *DEMANDS)
        tolerance_abv = page.number(part, "tolerance_abv", None, 1, 25)
        if not name:
            page.fault(part.where.rstrip("."), "a yeast needs name")
        else:
            found.append(YeastKind(name, demand, tolerance_abv))
    return tuple(found)


def _stock(page: TableReader) -> Stock:
    part = page.part("stock")
    masses = ("honey_g", "dap_g", "autolysate_g", "complex_g", "metabisulfite_g", "sorbate_g", "yeast_g")
    grams = {name: page.number(part, name, None, 0, MOST) for name in masses}
    fruit_g = page.amounts(part, "fruit_g", "number")
    closures = page.amounts(part, "closures", "whole")
    counted = _counted(page, part)
    return Stock(counted, **grams, fruit=fruit_g, closures=closures)


def _counted(page: TableReader, part: TableSection) -> date | None:
    value = part.get("counted")
    if value is None:
        return None
    try:
        counted = fit_moment("stock.counted", value)
    except Unfit as fault:
        page.fault("stock.counted", str(fault))
        return None
    return counted.date() if isinstance(counted, datetime) else counted
