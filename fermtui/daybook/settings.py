"""cellar.toml: every setting once, with type, range, default and note; how it is read, and the text of a new one.

Named tuples, because a frozen dataclass takes six times as long to make, and these stand on the path to the first text.
"""

from collections.abc import Callable, Mapping
from datetime import date, tzinfo
from types import MappingProxyType
from typing import Annotated, Any, NamedTuple

from fermtui.daybook.files import UnreadableFile, read_regular
from fermtui.daybook.places import SETTINGS, Cellar
from fermtui.daybook.problem import Problem
from fermtui.daybook.table_reader import MOST, TableReader, TableSection
from fermtui.daybook.toml_file import FILE_MOST, Malformed, parse_toml
from fermtui.daybook.zone import NoZone, named_zone, system_zone
from fermtui.units import DEGREES, Units

DEMANDS = ("low", "medium", "high")
SENSOR_UNITS = ("sg", "plato", "oechsle", "baume", "kmw", "kg/m3", "g/ml")
DATES = ("iso", "day-first", "month-first")
SENSOR_COLUMNS = ("time", "sg", "temp", "vessel")
_NONE: Mapping[str, Any] = MappingProxyType({})
Row = Mapping[str, Any]


def _row(kind: str, note: str = "", like: str | None = None, **spec: Any) -> Row:
    """How a setting is checked, what is said of it, and an example (as TOML) where the default is none."""
    return {"type": kind, "note": note, "like": like, **spec}


def _number(low: float, high: float, note: str = "", like: str | None = None) -> Row:
    return _row("number", note, like, low=low, high=high)


def _one_of(*choices: str, note: str = "") -> Row:
    return _row("one_of", note or f"or {', '.join(choices[1:])}", choices=choices)


def _words(note: str = "", like: str | None = None) -> Row:
    return _row("words", note, like, most=80)


def _grams(like: str) -> Row:
    return _number(0, MOST, like=like)


class Hydrometer(NamedTuple):
    """The temperature (°C) that it is marked for, what it shows too much (SG) in pure water, the step of its scale."""

    calibrated_c: Annotated[float, _number(4, 40, "the temperature printed on it, in °C (60 °F is 15.6)")] = 20.0
    offset_sg: Annotated[float, _number(-0.02, 0.02, "what it shows too much in pure water at that temperature")] = 0.0
    resolution_sg: Annotated[float, _number(0.0001, 0.005, "the step of its scale; 0.002 is common")] = 0.001


class Container(NamedTuple):
    """Something to ferment in, filled to the brim with `capacity_l`."""

    name: Annotated[str, _words(like='"Demijohn 1"')]
    capacity_l: Annotated[float, _number(0.001, 2000, like="5.0")]


class BottleKind(NamedTuple):
    """A size of bottle that the maker uses; `empties` None where nobody counted."""

    size_ml: Annotated[float, _number(10, 60_000, like="750")]
    glass: Annotated[str, _one_of("still", "beer", "sparkling")] = "still"
    empties: Annotated[int | None, _row("whole", like="24", low=0, high=1_000_000, name="count")] = None


class YeastKind(NamedTuple):
    """A yeast under the name that the maker gave it; tolerance in % vol."""

    name: Annotated[str, _words(like='"white wine yeast"')]
    demand: Annotated[str, _one_of(*DEMANDS, note=", ".join(DEMANDS))] = "medium"
    tolerance_abv: Annotated[float | None, _number(1, 25, like="14")] = None


class Sensor(NamedTuple):
    """A sensor that logs gravity by itself; `fermtui import` takes in what it logged, thinned.

    `file` is a table or a folder of tables; `columns` maps time, sg, temp and vessel to the titles of its columns.
    `vessel` is the folder of the vessel that it floats in, None where a column names it. `offset_sg` is what it shows
    too much; with `follow_hand` it is corrected by the hand readings near its own.
    """

    name: Annotated[str, _words(like='"float-1"')]
    file: Annotated[str, _row("words", "a table, or a folder of tables", '"~/logs/float-1.csv"', most=1000)]
    vessel: Annotated[str | None, _row("vessel", "or columns.vessel, where a column names it", '"damson-26"')] = None
    columns: Annotated[
        Mapping[str, str],
        _row("titles", "only where its titles say something else", '{ time = "created_at", sg = "field1" }'),
    ] = _NONE
    unit: Annotated[str, _one_of(*SENSOR_UNITS)] = "sg"
    temp: Annotated[str, _one_of("C", "F")] = "C"
    dates: Annotated[str, _one_of(*DATES, note="how it writes 3/4/2026: day-first or month-first")] = "iso"
    every_h: Annotated[float, _number(0.25, 168, "one reading, the median, in so many hours")] = 12.0
    offset_sg: Annotated[float, _number(-0.05, 0.05, "what it shows too much")] = 0.0
    follow_hand: Annotated[bool, _row("flag", "corrected by your hand readings within 12 hours of its own")] = False
    temp_corrected: Annotated[bool, _row("flag", "its gravity is at 20 °C already")] = False


class Stock(NamedTuple):
    """What stood on the shelf when it was counted. `fruit` in grams by kind, `closures` by kind."""

    counted: Annotated[date | None, _row("day", like="2026-03-01")] = None
    honey_g: Annotated[float | None, _grams("3000")] = None
    dap_g: Annotated[float | None, _grams("100")] = None
    autolysate_g: Annotated[float | None, _grams("200")] = None
    complex_g: Annotated[float | None, _grams("0")] = None
    metabisulfite_g: Annotated[float | None, _grams("50")] = None
    sorbate_g: Annotated[float | None, _grams("50")] = None
    yeast_g: Annotated[float | None, _grams("10")] = None
    fruit: Annotated[Mapping[str, float], _row("amounts", like="{ plum = 1500 }", of="number", name="fruit_g")] = _NONE
    closures: Annotated[
        Mapping[str, int], _row("amounts", like="{ screw_cap = 20, hand_cork = 10 }", of="whole")
    ] = _NONE


class Nutrients(NamedTuple):
    """What the labels say (percent nitrogen by mass), estimates without a published source, and the maker's names."""

    autolysate_n_percent: Annotated[float, _number(1, 15, "nitrogen by mass")] = 8.0
    autolysate_effect: Annotated[float, _number(0.1, 4, "the part of it that the yeast can use")] = 1.0
    complex_n_percent: Annotated[float | None, _number(1, 25, "no default: the label says it", like="10.0")] = None
    inorganic_share: Annotated[float, _number(0, 1, "of the nitrogen that is given; autolysate gives the rest")] = 0.5
    honey_mg_per_l: Annotated[float, _number(0, 500, "nitrogen that the honey brings")] = 20.0
    juice_mg_per_l: Annotated[float, _number(0, 500, "nitrogen in apple juice")] = 80.0
    demand_low: Annotated[float, _number(0.3, 3, "times the usual need")] = 0.8
    demand_medium: Annotated[float, _number(0.3, 3)] = 1.0
    demand_high: Annotated[float, _number(0.3, 3)] = 1.25
    dap_name: Annotated[str | None, _words(like='"diammonium phosphate"')] = None
    autolysate_name: Annotated[str | None, _words(like='"yeast autolysate"')] = None
    complex_name: Annotated[str | None, _words(like='"complex nutrient"')] = None

    def demand_factor(self, demand: str) -> float:
        """The factor of a demand class, low, medium or high."""
        return {"low": self.demand_low, "high": self.demand_high}.get(demand, self.demand_medium)


class SulfiteSettings(NamedTuple):
    """The salt in the jar and the molecular SO2 (mg/L) that a dose aims at."""

    salt: Annotated[str, _one_of("potassium", "sodium")] = "potassium"
    molecular_mg_per_l: Annotated[float, _number(0.3, 2)] = 0.8


class Appearance(NamedTuple):
    """How the screens look; theme None is the program's own."""

    theme: Annotated[str | None, _words(like='"textual-dark"')] = None
    ascii: Annotated[bool, _row("flag", "for terminals without braille")] = False
    mouse: Annotated[bool, _row("flag")] = True


class Pages(NamedTuple):
    """Where pages are written anew after each entry; None is nowhere."""

    out: Annotated[str | None, _words(like='"~/Sync/mead"')] = None


class Settings(NamedTuple):
    """All of cellar.toml.

    `zone` gives every instant its day; `timezone` is its name, `local` where the system's zone has none. `keys` maps
    the program's actions to keys. `unknown` are names in the file that mean nothing to this version, with their lines.
    """

    zone: tzinfo
    timezone: str
    units: Units = Units()
    hydrometer: Hydrometer = Hydrometer()
    containers: tuple[Container, ...] = ()
    bottles: tuple[BottleKind, ...] = ()
    stock: Stock = Stock()
    nutrients: Nutrients = Nutrients()
    yeasts: tuple[YeastKind, ...] = ()
    sulfite: SulfiteSettings = SulfiteSettings()
    sensors: tuple[Sensor, ...] = ()
    look: Appearance = Appearance()
    page: Pages = Pages()
    keys: Mapping[str, str] = _NONE
    honey_moisture_percent: Annotated[float, _number(10, 30, "water in your honey")] = 17.1
    rack_loss_percent: Annotated[float, _number(0, 50, "left behind with the lees at each racking")] = 4.0
    room_m3: Annotated[
        float | None, _number(0.5, 100_000, "the room where the vessels ferment, for the caution about CO2", like="30")
    ] = None
    unknown: tuple[tuple[str, int | None], ...] = ()

    @property
    def capacities_l(self) -> dict[str, float]:
        """The capacity of each container by its name."""
        return {one.name: one.capacity_l for one in self.containers}

    def yeast(self, name: str | None) -> YeastKind | None:
        """The yeast of that name, whatever its case, or None."""
        return next((one for one in self.yeasts if name and one.name.casefold() == name.casefold()), None)


_UNITS: Mapping[str, Row] = {
    "volume": _one_of("L", "gal"),
    "mass": _one_of("g", "lb", "oz", note="or lb"),
    "temp": _one_of("C", "F"),
    "gravity": _one_of("sg", *DEGREES, note=f"or {', '.join(DEGREES)}: what your hydrometer is marked in"),
    "brix": _one_of("refractometer", "hydrometer", note="or hydrometer: what reads your degrees Brix"),
    "decimal_comma": _row("flag"),
}
_SAME_UNIT = {"oz": "lb"}


def _rows(kind: Any) -> Mapping[str, Row]:
    """The rows of a table by field, as they stand beside its fields."""
    if kind is Units:
        return _UNITS
    return {name: hint.__metadata__[0] for name, hint in kind.__annotations__.items() if hasattr(hint, "__metadata__")}


def settings_of(
    cellar: Cellar, read: Callable[[bytes], tuple[Settings, tuple[Problem, ...]]] | None = None
) -> tuple[Settings, tuple[Problem, ...], bytes]:
    """The settings of a cellar, what is wrong with them, and the bytes of the file; `read` for `read_settings`."""
    read = read or read_settings
    try:
        data = read_regular(cellar.path / SETTINGS, FILE_MOST)
    except FileNotFoundError:
        data = b""
    except UnreadableFile as fault:
        settings, problems = read(b"")
        return settings, (Problem("settings", SETTINGS, None, (str(fault),)), *problems), b""
    return (*read(data), data)


def read_settings(
    data: bytes, parse: Callable[[bytes], dict[str, Any]] = parse_toml
) -> tuple[Settings, tuple[Problem, ...]]:
    """The settings in these bytes; what is missing or wrong has its default and becomes a problem."""
    try:
        table = parse(data) if data else {}
    except Malformed as fault:
        name, zone = system_zone()
        return Settings(zone, name), (Problem("no_settings", SETTINGS, fault.line, (str(fault),)),)
    reader = TableReader(table, data, SETTINGS)
    name, zone = _zone(reader)
    units = _values(reader, reader.part("units"), Units)
    settings = Settings(
        zone,
        name,
        units=Units(**{field: _SAME_UNIT.get(value, value) for field, value in units.items()}),
        hydrometer=Hydrometer(**_values(reader, reader.part("hydrometer"), Hydrometer)),
        containers=_containers(reader),
        bottles=tuple(BottleKind(**values) for _, values in _each(reader, "bottle", BottleKind)),
        stock=Stock(**_values(reader, reader.part("stock"), Stock)),
        nutrients=Nutrients(**_values(reader, reader.part("nutrients"), Nutrients)),
        yeasts=tuple(YeastKind(**values) for _, values in _each(reader, "yeast", YeastKind)),
        sulfite=SulfiteSettings(**_values(reader, reader.part("sulfite"), SulfiteSettings)),
        sensors=_sensors(reader),
        look=Appearance(**_values(reader, reader.part("look"), Appearance)),
        page=Pages(**_values(reader, reader.part("page"), Pages)),
        keys=_keys(reader),
        **_values(reader, reader.top, Settings),
    )
    return settings._replace(unknown=reader.unknown()), tuple(reader.problems)


def _values(reader: TableReader, part: TableSection, kind: Any) -> dict[str, Any]:
    defaults = kind._field_defaults
    return {
        field: reader.value(part, row.get("name", field), defaults.get(field), row)
        for field, row in _rows(kind).items()
    }


def _zone(reader: TableReader) -> tuple[str, tzinfo]:
    given = reader.value(reader.top, "timezone", None, _words())
    name, zone = system_zone()
    if given:
        try:
            return given, named_zone(given)
        except NoZone as fault:
            reader.fault("timezone", f"{fault}; until then {name} counts")
    return name, zone


def _keys(reader: TableReader) -> dict[str, str]:
    part = reader.part("keys")
    given = {action: reader.value(part, action, None, _words()) for action in part.table}
    return {action: key for action, key in given.items() if key}


def _each(reader: TableReader, name: str, kind: Any) -> list[tuple[TableSection, dict[str, Any]]]:
    """The tables [[name]] that hold what such a one needs; the others become problems."""
    needed = [field for field in kind._fields if field not in kind._field_defaults]
    found = []
    for part in reader.parts(name):
        values = _values(reader, part, kind)
        if any(values[field] in (None, "") for field in needed):
            reader.fault(part.where.rstrip("."), f"a {name} needs {' and '.join(needed)}")
        else:
            found.append((part, values))
    return found


def _containers(reader: TableReader) -> tuple[Container, ...]:
    found: dict[str, Container] = {}
    for part, values in _each(reader, "container", Container):
        one = Container(**values)
        if one.name in found:
            reader.fault(f"{part.where}name", f"there are two containers called {one.name!r}; the first counts")
        else:
            found[one.name] = one
    return tuple(found.values())


def _sensors(reader: TableReader) -> tuple[Sensor, ...]:
    found: dict[str, Sensor] = {}
    for part, values in _each(reader, "sensor", Sensor):
        one = Sensor(**values)
        odd = next((name for name in one.columns if name not in SENSOR_COLUMNS), None)
        if one.name in found:
            reader.fault(f"{part.where}name", f"there are two sensors called {one.name!r}; the first counts")
        elif odd is not None:
            reader.fault(f"{part.where}columns.{odd}", f"columns has no {odd[:40]!r}: {', '.join(SENSOR_COLUMNS)}")
        elif one.vessel is None and "vessel" not in one.columns:
            reader.fault(part.where.rstrip("."), 'a sensor needs vessel, or columns = { vessel = "TITLE" }')
        else:
            found[one.name] = one
    return tuple(found.values())


_COLUMN = 34
_PAGE: tuple[tuple[str, Any, str], ...] = (
    ("[units]", Units, "what you read and type; files and JSON are metric always"),
    ("[hydrometer]", Hydrometer, ""),
    ("[[container]]", Container, "What you ferment in: capacity filled to the brim. One such block for each."),
    ("[[bottle]]", BottleKind, "The bottles that you use; count is how many empty ones you have."),
    (
        "[[yeast]]",
        YeastKind,
        "Yeasts under the names that you give them; the packet says nitrogen demand and alcohol tolerance.",
    ),
    ("[stock]", Stock, "what you counted, and when; use since then is subtracted"),
    ("[nutrients]", Nutrients, "estimates without a published source: the label goes first"),
    ("[sulfite]", SulfiteSettings, ""),
    ("[[sensor]]", Sensor, "What logs gravity by itself; `fermtui import` takes it in. One such block for each."),
    ("[look]", Appearance, ""),
    ("[page]", Pages, "a folder for pages to read on a phone; `fermtui page` writes them"),
)


def default_text(timezone: str | None = None) -> str:
    """The cellar.toml of a new cellar: every setting with its default or an example as a comment, to be edited.

    The zone of this computer is written out unless another is given: days must not change on travels.
    """
    name = timezone or system_zone()[0]
    zone = f'timezone = "{name}"' if name != "local" else '# timezone = "Europe/Vienna"'
    lines = [
        "# Settings of this cellar, yours to edit. What stands behind a # is the default or an example.",
        "",
        _noted(zone, "a task's day is a day of this zone"),
        *_default_lines(Settings),
    ]
    for header, kind, note in _PAGE:
        block = header.startswith("[[")
        lines += ["", *([f"# {note}", f"# {header}"] if block else [_noted(header, note)]), *_default_lines(kind)]
    lines += ["", _noted("[keys]", "action = key; the help screen lists the actions"), '# undo = "u"']
    return "\n".join(lines) + "\n"


def _default_lines(kind: Any) -> list[str]:
    import json  # only a new cellar needs it

    defaults = kind._field_defaults
    return [
        _noted(f"# {row.get('name', field)} = {row.get('like') or json.dumps(defaults[field])}", row["note"])
        for field, row in _rows(kind).items()
    ]


def _noted(text: str, note: str) -> str:
    return f"{text:<{_COLUMN}}# {note}" if note else text
