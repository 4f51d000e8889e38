"""From what is wanted to honey, water, doses and dates; nothing is written before it is asked for."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from fermtui.cellar.store import CellarStore
from fermtui.daybook.places import Cellar
from fermtui.writing.planning import Preview, like, preview, write_plan
from fermtui.writing.wanted import PlanUnfit, Wanted

NOW = datetime(2026, 3, 1, 18, 30, tzinfo=UTC)
SETTINGS = """
timezone = "Europe/Vienna"
[[container]]
name = "Demijohn"
capacity_l = 5.0
[[container]]
name = "Bucket"
capacity_l = 12.0
[[yeast]]
name = "White wine yeast"
demand = "high"
tolerance_abv = 12
"""
PAGES = {
    "cellar.toml": SETTINGS,
    "vessels/rowan/vessel.toml": 'name = "Rowan"\ncontainer = "Bucket"\n[plan]\nvolume_l = 9\ngravity = 1.08',
    "vessels/rowan/daybook.toml": 'a = { at = 2026-02-01T18:30:00+01:00, did = "pitch" }',
    "vessels/drunk/vessel.toml": 'name = "Drunk"\ncontainer = "Demijohn"\n[plan]\nvolume_l = 4\ngravity = 1.08',
    "vessels/drunk/daybook.toml": """
a = { at = 2025-02-01T18:30:00+01:00, did = "pitch" }
b = { at = 2025-09-01T18:30:00+02:00, did = "bottle", count = 5, size_ml = 750 }
""",
    "past/elder-25/vessel.toml": """
name = "Elder"
schedule = "fruit-when-dry"
style = "dry"
[plan]
volume_l = 4.5
abv_percent = 11
gravity = 1.085
sweet = true
spice = "clove"
age_months = 9
yeast = { name = "White wine yeast", demand = "low" }
fruit = { kind = "elderberry", mass_g = 700, treatment = "frozen" }
doses = { dap_g = 99 }
""",
}


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> CellarStore:
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "cache"))
    for name, text in PAGES.items():
        path = tmp_path / "cellar" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return CellarStore(Cellar(tmp_path / "cellar"), lambda: NOW)


@pytest.fixture
def plan(store: CellarStore) -> Callable[..., Preview]:
    def made(**wanted: Any) -> Preview:
        return preview(store, Wanted(**{"name": "Sloe", "volume_l": 4.0, "gravity": 1.099, **wanted}), NOW)

    return made


def test_honey_and_water_by_hand(plan: Callable[..., Preview]) -> None:
    # 4 L at 1.099 weigh 4 x 1.099 x 0.9982 = 4.388 kg. 23.52 % of that is sugar (sucrose tables: 1.0990 is 23.5 °Bx),
    # 1.032 kg; honey of 17.1 % water holds 82.9 % of it: 1.245 kg. The rest, 3.143 kg, is water: 3.149 L.
    made = plan()
    assert made.honey_g == pytest.approx(1245, rel=0.005)
    assert made.water_l == pytest.approx(3.149, rel=0.005)
    assert made.gravity == pytest.approx(1.099, abs=1e-4)
    # 99 points times 0.134 (the published factor table of 1.090 to 1.100): 13.3 % vol.
    assert made.end_abv_percent == pytest.approx(13.3, abs=0.15)


def test_drier_honey_needs_less_of_it(plan: Callable[..., Preview]) -> None:
    assert plan(honey_moisture_percent=20.0).honey_g == pytest.approx(1032 / 0.80, rel=0.005)


def test_from_a_strength(plan: Callable[..., Preview]) -> None:
    made = plan(gravity=None, abv_percent=12.0)
    assert made.end_abv_percent == pytest.approx(12.0, abs=0.02)
    assert 1.087 < made.gravity < 1.093
    sweet = plan(gravity=None, abv_percent=12.0, end=1.010)
    assert sweet.gravity == pytest.approx(made.gravity + 0.010, abs=0.002)


@pytest.mark.parametrize("strength", [{"gravity": 1.090}, {"gravity": None, "abv_percent": 12.0}])
def test_with_juice_in_place_of_water(plan: Callable[..., Preview], strength: dict[str, Any]) -> None:
    # 2 L of juice at 1.050 hold about 2 x 1.048 kg x 12.4 % = 260 g of sugar: 313 g of honey less.
    plain, juicy = plan(**strength), plan(**strength, juice_l=2.0, juice_sg=1.050)
    assert juicy.juice_l == 2.0
    assert plain.honey_g - juicy.honey_g == pytest.approx(313, rel=0.04)
    assert juicy.water_l < plain.water_l - 1.5
    assert juicy.head.plan.juice_l == 2.0


def test_yeast_and_doses(plan: Callable[..., Preview]) -> None:
    assert plan().yeast_g == 2.0
    assert plan(volume_l=9.0, container=None).yeast_g == pytest.approx(4.5)
    made = plan(yeast="white WINE yeast")  # as the cellar knows it
    assert made.head.plan.yeast.demand == "high"
    assert made.head.plan.yeast.tolerance_abv == 12
    assert made.doses is not None
    usual = plan().doses
    assert usual is not None
    assert made.doses.dap_g > usual.dap_g
    assert any("more than the yeast takes" in note for note in made.notes)


def test_fruit_and_the_room_that_it_takes(plan: Callable[..., Preview]) -> None:
    bare = plan(capacity_l=5.0)
    made = plan(capacity_l=5.0, fruit="plum", fruit_g=500.0)
    assert bare.room_l == pytest.approx(1.0)
    assert made.room_l is not None
    assert 0.45 < made.room_l < 0.55  # half a kilogram takes about half a litre
    assert made.head.schedule == "fruit-when-dry"
    unweighed = plan(fruit="plum")
    assert unweighed.head.plan.fruit is not None
    assert unweighed.head.plan.fruit.mass_g == 480  # a pound to the US gallon: common practice, no source
    tight = plan(volume_l=4.8, container="Demijohn", fruit="plum", fruit_g=500.0)
    assert any("do not fit" in note for note in tight.notes)


def test_room_for_foam(plan: Callable[..., Preview]) -> None:
    assert plan(volume_l=4.0, container="Demijohn").notes == ()
    assert any("foam" in note for note in plan(volume_l=4.1, container="Demijohn").notes)


def test_a_container_that_is_taken_is_named_and_one_that_was_emptied_is_free(plan: Callable[..., Preview]) -> None:
    assert any("Bucket is taken by Rowan" in note for note in plan(container="Bucket").notes)
    assert plan(container="Demijohn").notes == ()


def test_the_dates_are_those_of_pitching_now(plan: Callable[..., Preview]) -> None:
    dates = {task.key: task.likely for task in plan().tasks}
    assert str(dates["dose-1"]) == "2026-03-03 00:00:00+01:00"
    assert str(dates["dose-2"]) == "2026-03-06 00:00:00+01:00"


@pytest.mark.parametrize(
    ("wanted", "says"),
    [
        ({"gravity": None}, "how strong"), ({"volume_l": 0.0}, "how much"), ({"volume_l": 2500.0}, "2000"),
        ({"gravity": 1.002}, "no sugar"), ({"gravity": None, "abv_percent": 40.0}, "spirit"),
        ({"end": 1.2}, "nothing to ferment"), ({"end": 1.098}, "nothing to ferment"),
        ({"sweet_to": 0.99}, "drier than its end"), ({"fruit": "unicorn"}, "not in the table"),
        ({"fruit": "plum", "treatment": "sung to"}, "treatment"), ({"fruit_g": 500.0}, "say which fruit"),
        ({"treatment": "raw"}, "say which fruit"), ({"juice_sg": 1.05}, "how much juice"),
        ({"juice_l": 9.0}, "take less"), ({"schedule": "nope"}, "no such schedule"),
        ({"schedule": "../x"}, "named with"),
        ({"container": "Barrel"}, "not in cellar.toml"),
        ({"volume_l": 5.5, "container": "Demijohn"}, "do not fit into 5 L"),
        ({"capacity_l": 3.0}, "do not fit into 3 L"), ({"demand": "huge"}, "low, medium or high"),
        ({"tolerance_abv": 99.0}, "1 to 25"), ({"name": "  "}, "needs a name"), ({"folder": "a/b"}, "letters"),
        ({"folder": "Rowan"}, "already"), ({"folder": "elder-25"}, "already"),
        ({"honey_moisture_percent": 90.0}, "moisture"),
        ({"name": "x" * 501}, "501 characters"), ({"temp_c": 200.0}, "temp_c"), ({"co2_volumes": 9.0}, "sparkling"),
    ],
)  # fmt: skip
def test_what_cannot_be_planned_is_told_in_a_sentence(
    plan: Callable[..., Preview], tmp_path: Path, wanted: dict[str, Any], says: str
) -> None:
    with pytest.raises(PlanUnfit, match=r"^[^\n]+$") as why:
        plan(**wanted)
    assert says in str(why.value)
    assert sorted(one.name for one in (tmp_path / "cellar/vessels").iterdir()) == ["drunk", "rowan"]


def test_a_second_vessel_of_one_name_gets_a_number(plan: Callable[..., Preview], store: CellarStore) -> None:
    assert write_plan(store, plan()) == "sloe"
    assert plan().folder == "sloe-2"
    assert plan(name="Elder 25").folder == "elder-25-2"  # also where the other one was put away
    assert plan(name="Früh & süß").folder == "fruh-suss"


def test_what_is_written_is_what_was_shown(plan: Callable[..., Preview], store: CellarStore, tmp_path: Path) -> None:
    made = plan(container="Demijohn", fruit="plum", fruit_g=500.0, treatment="frozen", temp_c=19.0, sweet_to=1.010)
    assert not (tmp_path / "cellar/vessels/sloe").exists()
    write_plan(store, made)
    table = tomllib.loads((tmp_path / "cellar/vessels/sloe/vessel.toml").read_text())
    assert table["name"] == "Sloe"
    assert table["plan"]["fruit"] == {"kind": "plum", "mass_g": 500.0, "treatment": "frozen"}
    assert (table["plan"]["sweet"], table["plan"]["end"], table["plan"]["temp_c"]) == (1.01, 1.0, 19.0)
    assert store.vessels["sloe"].head == made.head


def test_like_a_past_batch(store: CellarStore) -> None:
    old = like(store, "elder-25")
    again = preview(store, replace(old, name="Elder 26"), NOW)
    head, past = again.head, store.load_one("elder-25")
    assert past is not None
    assert again.gravity == pytest.approx(1.085, abs=1e-4)
    assert (head.schedule, head.style) == ("fruit-when-dry", "dry")
    assert head.plan.fruit == past.head.plan.fruit
    assert (head.plan.sweet, head.plan.spice, head.plan.age_months) == (True, "clove", 9)
    assert head.plan.yeast.demand == "low"
    assert head.plan.abv_percent is None  # of gravity and strength one follows from the other
    assert again.doses is not None
    assert again.doses.dap_g < 20  # reckoned anew
    stronger = preview(store, replace(old, name="E", gravity=None, abv_percent=13.0), NOW)
    assert stronger.gravity > again.gravity
    with pytest.raises(PlanUnfit, match="no vessel 'nope'"):
        like(store, "nope")


def test_like_a_batch_whose_volume_nobody_knows(store: CellarStore, tmp_path: Path) -> None:
    head = tmp_path / "cellar/past/bare/vessel.toml"
    head.parent.mkdir()
    head.write_text('name = "Bare"')
    with pytest.raises(PlanUnfit, match="how much"):
        preview(store, like(store, "bare"), NOW)


@pytest.mark.parametrize(("gravity", "grams"), [(1.095, 10.0), (1.100, 10.0), (1.115, 15.0), (1.130, 20.0)])
def test_a_heavy_must_gets_more_yeast(plan: Callable[..., Preview], gravity: float, grams: float) -> None:
    # Half a gram a litre, twice as much for a must that is hard on it: common practice, no source.
    assert plan(volume_l=20.0, gravity=gravity).yeast_g == pytest.approx(grams)
