"""cellar.toml as people write it."""

from __future__ import annotations

import re
import time
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from fermtui.daybook.places import Cellar
from fermtui.daybook.settings import (
    Appearance,
    BottleKind,
    Container,
    Nutrients,
    Settings,
    YeastKind,
    default_text,
    read_settings,
    settings_of,
)
from fermtui.daybook.zone import SystemZone, named_zone, system_zone
from fermtui.must import bottles, honey, nutrients, preservatives
from fermtui.units import Units
from fermtui.wording.problems import problem_text
from fermtui.wording.problems import reason as reason_of

PAGE = """\
timezone = "Europe/Vienna"
room_m3 = 24
rack_loss_percent = 5

[units]
volume = "gal"
mass = "oz"
temp = "F"
gravity = "plato"
decimal_comma = true

[hydrometer]
calibrated_c = 15.6
offset_sg = -0.001

[[container]]
name = "Demijohn 1"
capacity_l = 5.0

[[container]]
name = "Bucket"
capacity_l = 15

[[bottle]]
size_ml = 750
count = 24

[[bottle]]
size_ml = 330
glass = "beer"

[[yeast]]
name = "White wine yeast"
demand = "low"
tolerance_abv = 14

[stock]
counted = 2026-03-01
honey_g = 3000
fruit_g = { plum = 1500, "sour cherry" = 250.5 }
closures = { screw_cap = 20 }

[nutrients]
autolysate_n_percent = 9.5
demand_high = 1.5
dap_name = "the white powder"

[look]
theme = "nord"
ascii = true
mouse = false

[keys]
undo = "U"
"""


def read(text: str) -> tuple[Settings, list[str]]:
    settings, problems = read_settings(text.encode())
    return settings, [problem_text(problem) for problem in problems]


def test_a_page_reads_as_it_is_written() -> None:
    settings, problems = read(PAGE)
    assert problems == []
    assert settings.zone == ZoneInfo("Europe/Vienna")
    assert settings.units == Units("gal", "lb", "F", "plato", decimal_comma=True)
    assert settings.hydrometer == (15.6, -0.001, 0.001)
    assert settings.containers == (Container("Demijohn 1", 5.0), Container("Bucket", 15.0))
    assert settings.capacities_l == {"Demijohn 1": 5.0, "Bucket": 15.0}
    assert settings.bottles == (BottleKind(750.0, "still", 24), BottleKind(330.0, "beer", None))
    assert settings.yeast("white wine YEAST") == YeastKind("White wine yeast", "low", 14.0)
    assert settings.yeast(None) is None
    assert settings.stock.counted == date(2026, 3, 1)
    assert settings.stock.fruit == {"plum": 1500.0, "sour cherry": 250.5}
    assert settings.stock.closures == {"screw_cap": 20}
    assert settings.nutrients.demand_factor("high") == 1.5
    assert settings.nutrients.demand_factor("low") == 0.8
    assert settings.look == Appearance("nord", ascii=True, mouse=False)
    assert settings.keys == {"undo": "U"}
    assert (settings.room_m3, settings.rack_loss_percent) == (24.0, 5.0)
    assert settings.unknown == ()


def test_an_empty_page_is_all_defaults() -> None:
    name, zone = system_zone()
    assert read("") == (Settings(zone, name), [])


def test_the_page_of_a_new_cellar_shows_the_defaults() -> None:
    text = default_text("Europe/Vienna")
    settings, problems = read(text)
    assert problems == []
    assert settings == Settings(ZoneInfo("Europe/Vienna"), "Europe/Vienna")
    shown, problems = read(re.sub(r"^# (?=\[\[|\w+ = )", "", text, flags=re.MULTILINE))
    assert problems == []
    assert shown.unknown == ()
    assert (shown.units, shown.hydrometer, shown.sulfite) == (settings.units, settings.hydrometer, settings.sulfite)
    assert shown.honey_moisture_percent == settings.honey_moisture_percent
    assert shown.rack_loss_percent == settings.rack_loss_percent
    assert (shown.look.ascii, shown.look.mouse) == (settings.look.ascii, settings.look.mouse)
    assert shown.nutrients._replace(complex_n_percent=None, dap_name=None, autolysate_name=None, complex_name=None) == (
        Nutrients()
    )
    assert len(shown.containers) == len(shown.bottles) == len(shown.yeasts) == len(shown.keys) == 1
    assert None not in shown.stock


def test_the_defaults_are_those_of_the_chemistry() -> None:
    usual = Nutrients()
    assert usual.autolysate_n_percent == nutrients.AUTOLYSATE_N_PERCENT
    assert usual.inorganic_share == nutrients.INORGANIC_SHARE
    assert usual.honey_mg_per_l == nutrients.HONEY_MG_PER_L
    assert usual.juice_mg_per_l == nutrients.APPLE_JUICE_MG_PER_L
    assert {demand: usual.demand_factor(demand) for demand in ("low", "medium", "high")} == nutrients.demand_factors()
    settings, _ = read("")
    assert settings.honey_moisture_percent == honey.MOISTURE_PERCENT
    assert settings.sulfite.molecular_mg_per_l == preservatives.MOLECULAR_USUAL
    assert bottles.RACKING_LOSS_PERCENT <= settings.rack_loss_percent <= bottles.FERMENT_LOSS_PERCENT


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ('timezone = "Nowhere/Land"', "line 1: 'Nowhere/Land' is no time zone"),
        ('timezone = "../../etc/passwd"', "line 1: '../../etc/passwd' is no time zone"),
        ('timezone = "/etc/localtime"', "line 1: '/etc/localtime' is no time zone"),
        ("timezone = 3", "line 1: timezone is text in quotes"),
        ('\n[units]\nvolume = "pint"', "line 3: units.volume is one of L, gal, not 'pint'"),
        ("units = 3", "line 1: units is a table"),
        ("[hydrometer]\ncalibrated_c = 400", "line 2: hydrometer.calibrated_c is a number from 4 to 40, not 400"),
        ("[hydrometer]\noffset_sg = nan", "line 2: hydrometer.offset_sg is a number"),
        ("[hydrometer]\noffset_sg = true", "line 2: hydrometer.offset_sg is a number without quotes"),
        ('[[container]]\nname = "a"', "line 1: a container needs name and capacity_l"),
        ('[[container]]\nname = "a"\ncapacity_l = 5\n[[container]]\nname = "a"\ncapacity_l = 6', "line 5: there are"),
        ('[[container]]\nname = "a"\ncapacity_l = 5\n[[container]]\nname = "b"\ncapacity_l = 0', "line 6: container.1"),
        ("[container]\na = 1", "line 1: container is written as [[container]]"),
        ("[[bottle]]\nglass = 'still'", "line 1: a bottle needs size_ml"),
        ("[[bottle]]\nsize_ml = 750\ncount = 1.5", "line 3: bottle.0.count is a whole number"),
        ("[[yeast]]\ndemand = 'low'", "line 1: a yeast needs name"),
        ("[stock]\nhoney_g = -1", "line 2: stock.honey_g is a number from 0"),
        ("[stock]\ncounted = 'today'", "line 2: stock.counted is a date"),
        ("[stock]\nfruit_g = { plum = 'two' }", "line 2: stock.fruit_g.plum is a number without quotes"),
        ("[look]\nmouse = 'no'", "line 2: look.mouse is true or false"),
        ("[keys]\nundo = 3", "line 2: keys.undo is text in quotes"),
        ("rack_loss_percent = 60", "line 1: rack_loss_percent is a number from 0 to 50, not 60"),
    ],
)
def test_a_field_at_fault_has_its_default_and_is_named(text: str, problem: str) -> None:
    settings, problems = read(text)
    assert any(problem in said for said in problems), problems
    name, zone = system_zone()
    assert settings._replace(containers=(), bottles=()) == Settings(zone, name)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"timezone = \n", "cellar.toml, line 1: this is no valid TOML"),
        (b"\n\n\xff", "cellar.toml, line 3: this is no UTF-8 text"),
        (b"a.b" * 7000 + b" = 1", "cellar.toml, line 1: the line has"),
        (b"a = " + b"[" * 3000, "cellar.toml: brackets are nested too deeply"),
        (bytes(100), "cellar.toml, line 1: this is no valid TOML"),
    ],
)
def test_a_file_at_fault_gives_defaults_and_one_problem(data: bytes, said: str) -> None:
    settings, (problem,) = read_settings(data)
    assert problem_text(problem).startswith(said)
    assert "all settings are defaults" in reason_of(problem)
    assert settings.units == Units()


def test_unknown_names_are_kept_with_their_line_and_are_no_problem() -> None:
    top = "colour = 'red'\n[units]\nvolum = 'L'\n"
    settings, problems = read(top + "[[bottle]]\nsize_ml = 750\ncolour = 'green'\n[x]\ny = 1\n")
    assert problems == []
    assert settings.unknown == (("colour", 1), ("x", 7), ("units.volum", 3), ("bottle.0.colour", 6))


def test_a_page_of_a_thousand_faults_takes_no_time() -> None:
    text = "[keys]\n" + "".join(f"k{n} = {n}\n" for n in range(5000))
    text += "[x]\n" + "".join(f"y{n} = 1\n" for n in range(999))
    started = time.process_time()
    _, problems = read(text)
    assert len(problems) == 5000
    assert time.process_time() - started < 1


def test_the_file_of_a_cellar(cellar: Cellar) -> None:
    settings, problems, data = settings_of(cellar)
    assert (settings.timezone, problems, data) == ("Europe/Vienna", (), b'timezone = "Europe/Vienna"\n')
    path = cellar.path / "cellar.toml"
    path.unlink()
    assert settings_of(cellar)[1:] == ((), b"")
    path.mkdir()
    (problem,) = settings_of(cellar)[1]
    assert problem_text(problem) == "cellar.toml: this is a folder where a file should be"


# --- zones ----------------------------------------------------------------------------------------------------------


def test_the_zone_of_this_computer(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", ":Asia/Tokyo")
    assert system_zone() == ("Asia/Tokyo", named_zone("Asia/Tokyo"))
    monkeypatch.setenv("TZ", "/usr/share/zoneinfo/Europe/Vienna")
    assert system_zone()[0] == "Europe/Vienna"
    monkeypatch.setenv("TZ", "CET-1CEST,M3.5.0,M10.5.0/3")
    assert system_zone()[0] == "local"


def test_the_unnamed_zone_of_a_computer_knows_summer_time(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "Europe/Vienna")
    time.tzset()
    try:
        zone, named = SystemZone(), ZoneInfo("Europe/Vienna")
        moment = datetime(2026, 1, 1, tzinfo=UTC)
        while moment.year == 2026:
            local = moment.astimezone(zone)
            assert local.replace(tzinfo=None) == moment.astimezone(named).replace(tzinfo=None)
            assert local.utcoffset() == moment.astimezone(named).utcoffset() or moment.month == 10
            moment += timedelta(hours=7)
        assert datetime(9999, 1, 1, tzinfo=zone).utcoffset() is not None
    finally:
        monkeypatch.undo()
        time.tzset()
