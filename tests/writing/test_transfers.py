"""What is poured from one vessel into another: both halves, nothing lost, and each found when the other is missing."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from fermtui.cli.main import run
from fermtui.daybook.places import Cellar
from fermtui.daybook.vessel_file import read_vessel

PAGES = {
    "cellar.toml": 'timezone = "Europe/Vienna"\n[[container]]\nname = "Demijohn"\ncapacity_l = 5.0\n',
    "vessels/damson/vessel.toml": """
name = "Damson"
container = "Demijohn"
schedule = "two-doses"
[plan]
volume_l = 4.0
gravity = 1.090
doses = { dap_g = 2.0, autolysate_g = 4.0 }
""",
    "vessels/damson/daybook.toml": """
a1 = { at = 2026-03-01T18:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1130 }
a2 = { at = 2026-03-01T18:10:00+01:00, did = "read", sg = 1.090, temp_c = 20 }
a3 = { at = 2026-03-01T18:30:00+01:00, did = "pitch" }
a4 = { at = 2026-03-03T18:30:00+01:00, did = "dose", dap_g = 1.0, autolysate_g = 2.0, task = "dose-1" }
a5 = { at = 2026-03-04T18:30:00+01:00, did = "read", sg = 1.066, temp_c = 20, ph = 3.6 }
""",
    "vessels/rowan/vessel.toml": 'name = "Rowan"\n[plan]\nvolume_l = 2.0\ngravity = 1.080\n',
    "vessels/rowan/daybook.toml": """
b1 = { at = 2026-03-01T18:30:00+01:00, did = "pitch" }
b2 = { at = 2026-03-03T18:30:00+01:00, did = "read", sg = 1.070, temp_c = 20 }
""",
}
ON = "2026-03-05"
Say = Callable[..., Any]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "cache"))
    for name, text in PAGES.items():
        path = tmp_path / "cellar" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text.lstrip())
    return tmp_path / "cellar"


@pytest.fixture
def say(folder: Path, capsys: pytest.CaptureFixture[str]) -> Say:
    def said(line: str, *, on: str = ON, status: int | None = 0) -> Any:
        capsys.readouterr()
        ended = run(["--cellar", str(folder), *line.split(), "--on", on])
        told = capsys.readouterr()
        assert status is None or ended == status, told.err
        return json.loads(told.out) if "--json" in line.split() else told.out + told.err

    return said


def lines(folder: Path, name: str) -> list[str]:
    return (folder / "vessels" / name / "daybook.toml").read_text().splitlines()


def key_of(line: str) -> str:
    return line.split(" = ")[0]


def grams(line: str) -> list[float]:
    return [float(n) for n in re.findall(r"(?:water|sugar|ethanol)_g = ([\d.]+)", line)]


def task(say: Say, vessel: str, key: str, on: str = ON) -> dict[str, Any]:
    found = say("due --json", on=on)["tasks"]
    return next(one for one in found if (one["vessel"], one["task"]) == (vessel, key))


def test_a_split_writes_both_halves_each_with_the_others_key(folder: Path, say: Say) -> None:
    told = say("write damson split into=half volume_l=1.5")
    assert "(and in half)" in told
    gives, takes = lines(folder, "damson")[-1], lines(folder, "half")[-1]
    assert f'entry = "{key_of(takes)}"' in gives
    assert f'entry = "{key_of(gives)}"' in takes
    assert 'from = "damson"' in takes
    assert key_of(gives) < key_of(takes)  # the parent's line came first
    head = (folder / "vessels/half/vessel.toml").read_text()
    assert 'parent = "damson"' in head
    assert 'schedule = "two-doses"' in head
    assert say("check").strip() == "nothing is wrong with the files"


def test_mass_and_strength_are_kept(folder: Path, say: Say) -> None:
    before = say("show damson --json")
    say("write damson split into=half volume_l=1.5")
    rest, half = say("show damson --json"), say("show half --json")
    assert rest["volume_l"] + half["volume_l"] == pytest.approx(before["volume_l"], abs=0.002)
    for name, near in (("gravity", 2e-4), ("abv_percent", 0.02), ("sugar_spent_percent", 0.2), ("g0", 2e-4)):
        assert half[name] == pytest.approx(before[name], abs=near), name
        assert rest[name] == pytest.approx(before[name], abs=near), name
    assert (half["day"], half["stage"]) == (rest["day"], "fermenting") == (4, "fermenting")
    del folder


def test_what_was_done_stays_done_and_open_doses_shrink_with_the_volume(folder: Path, say: Say) -> None:
    whole = task(say, "damson", "dose-2", "2026-03-06")["amounts"]
    say("write damson split into=half volume_l=1.5")
    assert task(say, "half", "dose-1")["state"] == "done"
    assert task(say, "half", "pitch")["state"] == "done"
    rest, half = (task(say, name, "dose-2", "2026-03-06")["amounts"] for name in ("damson", "half"))
    for name in ("dap_g", "autolysate_g"):
        assert rest[name] + half[name] == pytest.approx(whole[name], abs=0.06)  # as it can be weighed
        assert half[name] / whole[name] == pytest.approx(1.5 / 4.0, abs=0.02)
    assert "dap_g = 0.38" in lines(folder, "half")[-1]  # what had been given went along: 1.0 g x 1.5 / 3.98
    shown = say("show half")  # the parent's deeds count also where the child is looked at alone
    assert re.search(r"done +\w.* dose 1 of 2", shown)


def test_a_child_of_a_child(folder: Path, say: Say) -> None:
    say("write damson split into=half volume_l=2")
    say("write half split into=quarter volume_l=0.5", on="2026-03-06")
    assert task(say, "quarter", "dose-1", "2026-03-06")["state"] == "done"
    seen = say("show quarter --json", on="2026-03-06")
    assert (seen["day"], seen["volume_l"]) == (5, pytest.approx(0.5, abs=0.005))
    dose = task(say, "quarter", "dose-2", "2026-03-06")["amounts"]["dap_g"]
    assert dose == pytest.approx(1.0 * 0.5 / 4.0, abs=0.02)
    assert say("check", status=0)
    del folder


def test_into_a_vessel_that_stands_there(folder: Path, say: Say) -> None:
    rowan, damson = say("show rowan --json"), say("show damson --json")
    say("write damson split into=rowan volume_l=1")
    after = say("show rowan --json")
    assert after["volume_l"] == pytest.approx(rowan["volume_l"] + 1.0, abs=0.01)
    assert rowan["abv_percent"] < after["abv_percent"] < damson["abv_percent"]
    assert after["day"] == rowan["day"]
    assert "pitched" not in lines(folder, "rowan")[-1]
    assert 'did = "receive"' in lines(folder, "rowan")[-1]


def test_into_one_that_stands_empty_it_goes_on_as_the_same_ferment(folder: Path, say: Say) -> None:
    (folder / "vessels/hazel").mkdir()
    (folder / "vessels/hazel/vessel.toml").write_text('name = "Hazel"\n[plan]\nvolume_l = 2.0\ngravity = 1.080\n')
    say("write damson split into=hazel volume_l=1")
    hazel, damson = say("show hazel --json"), say("show damson --json")
    assert (hazel["day"], hazel["stage"]) == (damson["day"], damson["stage"])
    assert "pitched" in lines(folder, "hazel")[-1]


@pytest.mark.usefixtures("folder")
def test_the_forecast_of_what_was_poured_off_knows_how_far_it_had_come(say: Say) -> None:
    say("write damson split into=half volume_l=1")
    half = say("show half --json")
    (row,) = [row for row in half["forecast"]["band"] if row["at"].startswith("2026-03-05")]
    assert row["low"] - 0.004 <= half["gravity"] <= row["high"] + 0.004
    assert half["forecast"]["finish"]["likely"] > "2026-03-06"


def test_a_blend_brings_no_steps_along(folder: Path, say: Say) -> None:
    head = folder / "vessels/rowan/vessel.toml"
    head.write_text('schedule = "two-doses"\n' + head.read_text())
    say("write damson split into=rowan volume_l=1")
    assert task(say, "rowan", "dose-1")["state"] != "done"  # it was given to the other one only


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("write damson split into=half volume_l=9", "more than"),
        ("write damson split into=half volume_l=-1", "volume_l"),
        ("write damson split into=half volume_l=0", "volume_l"),
        ("write damson split into=half", "say how much is poured, as in volume_l=4.5"),
        ("write damson split volume_l=1", "needs into"),
        ("write damson split into=Rowan volume_l=1", "rowan"),
        ("write damson split into=damson volume_l=1", "itself"),
        ("write damson split into=a/b volume_l=1", "needs into"),
        ("write damson top_up from=nope volume_l=1", "no vessel"),
        ("write damson top_up from=rowan volume_l=9", "more than"),
        ("write damson receive from=rowan water_g=1 sugar_g=1 ethanol_g=1", "split"),
    ],
)  # fmt: skip
def test_what_cannot_be_poured_changes_nothing(folder: Path, say: Say, line: str, says: str) -> None:
    before = {path: path.read_bytes() for path in folder.rglob("*.toml")}
    assert says in say(line, status=1)
    assert {path: path.read_bytes() for path in folder.rglob("*.toml")} == before


def test_a_name_that_was_put_away_is_not_taken_again(folder: Path, say: Say) -> None:
    (folder / "past").mkdir()
    shutil.move(folder / "vessels/rowan", folder / "past/rowan")
    assert "put away" in say("write damson split into=rowan volume_l=1", status=1)


def test_into_a_full_vessel_a_guard_asks(folder: Path, say: Say) -> None:
    head = folder / "vessels/rowan/vessel.toml"
    head.write_text("capacity_l = 2.2\n" + head.read_text())
    before = lines(folder, "damson")
    assert "2.2" in say("write damson split into=rowan volume_l=1", status=3)
    assert lines(folder, "damson") == before
    say("write damson split into=rowan volume_l=1 override=a_second_jar_beside_it")


def test_one_strike_takes_both_halves_and_the_next_gives_both_back(folder: Path, say: Say) -> None:
    before = say("show damson --json")
    say("write damson split into=half volume_l=1.5")
    split_up = {name: say(f"show {name} --json")["volume_l"] for name in ("damson", "half")}
    for _ in range(2):
        assert "(and in half)" in say("strike damson")
        assert say("show damson --json")["volume_l"] == before["volume_l"]
        gone = say("show half --json")
        assert (gone["volume_l"], gone["day"], gone["stage"]) == (None, None, "must")
        assert not [t for t in say("due --json")["tasks"] if t["vessel"] == "half"]
        assert say("check")
        assert "(and in damson)" in say("strike half")  # undone from the other side
        assert {name: say(f"show {name} --json")["volume_l"] for name in split_up} == split_up
    key = key_of(next(line for line in lines(folder, "half") if "receive" in line))
    assert "(and in damson)" in say(f"strike half {key}")
    assert say("show damson --json")["volume_l"] == before["volume_l"]


def test_topping_up_from_another_vessel(folder: Path, say: Say) -> None:
    damson, rowan = say("show damson --json"), say("show rowan --json")
    say("write damson top_up from=rowan volume_l=0.5")
    assert 'did = "split"' in lines(folder, "rowan")[-1]
    taken = lines(folder, "damson")[-1]
    assert f"sg = {rowan['gravity']:g}" in taken
    assert key_of(lines(folder, "rowan")[-1]) in taken
    assert key_of(taken) in lines(folder, "rowan")[-1]
    after = say("show damson --json"), say("show rowan --json")
    assert after[0]["volume_l"] == pytest.approx(damson["volume_l"] + 0.5, abs=0.01)
    assert after[1]["volume_l"] == pytest.approx(rowan["volume_l"] - 0.5, abs=0.01)
    assert say("check")
    assert "(and in rowan)" in say("strike damson")
    assert say("show rowan --json")["volume_l"] == rowan["volume_l"]


def without(folder: Path, name: str, word: str) -> str:
    """Lose the line, as a merge or an editor may; its text."""
    path = folder / "vessels" / name / "daybook.toml"
    lost = next(line for line in path.read_text().splitlines() if word in line)
    path.write_text("".join(f"{line}\n" for line in path.read_text().splitlines() if line != lost))
    return lost


def offered(text: str) -> str:
    found = re.search(r"`fermtui (write [^`]+)`", text)
    assert found is not None, text
    return found[1]


@pytest.mark.parametrize(("pour", "keeper", "loser", "word"), [
    ("write damson split into=half volume_l=1.5", "damson", "half", "receive"),
    ("write damson split into=half volume_l=1.5", "half", "damson", '"split"'),
    ("write damson split into=rowan volume_l=1.5", "damson", "rowan", "receive"),
    ("write damson top_up from=rowan volume_l=0.5", "damson", "rowan", '"split"'),
])  # fmt: skip
def test_a_missing_half_is_reported_offered_and_written(
    folder: Path, say: Say, pour: str, keeper: str, loser: str, word: str
) -> None:
    say(pour)
    whole = {name: say(f"show {name} --json") for name in (keeper, loser)}
    lost = without(folder, loser, word)
    told = say("check", status=1)
    assert f"vessels/{keeper}/daybook.toml, line " in told
    assert say(f"show {keeper}", status=1)
    assert loser in " ".join(p["reason"] for p in say("due --json")["problems"])
    say("write damson degas", on="2026-03-07")  # life goes on meanwhile
    say(offered(told), on="2026-03-08")
    assert say("check", status=0, on="2026-03-08")
    back = next(line for line in lines(folder, loser) if word in line)
    assert key_of(back) == key_of(lost)
    assert grams(back) == grams(lost)
    for name, seen in whole.items():
        again = say(f"show {name} --json")
        assert (again["volume_l"], again["gravity"]) == (seen["volume_l"], seen["gravity"])
    say(offered(told), on="2026-03-08", status=1)  # once is enough


def test_a_half_whose_vessel_is_lost_is_started_anew(folder: Path, say: Say) -> None:
    say("write damson split into=half volume_l=1.5")
    lost = lines(folder, "half")[-1]
    shutil.rmtree(folder / "vessels/half")
    say(offered(say("check", status=1)))
    assert grams(lines(folder, "half")[-1]) == grams(lost)
    assert say("check")


def test_a_half_that_was_taken_back_alone_is_reported_too(folder: Path, say: Say) -> None:
    say("write damson split into=half volume_l=1.5")
    receive = key_of(lines(folder, "half")[-1])
    page = folder / "vessels/half/daybook.toml"
    strike = f'z1 = {{ at = 2026-03-05T12:00:00+01:00, did = "strike", entry = "{receive}" }}\n'
    page.write_text(page.read_text() + strike)
    told = say("check", status=1)
    say(offered(told), on="2026-03-06")
    assert say("check", on="2026-03-06")
    assert say("show half --json", on="2026-03-06")["volume_l"] == pytest.approx(1.5, abs=0.01)
    file = read_vessel(Cellar(folder), "half")
    assert not file.problems


@pytest.mark.parametrize("line", [
    "write half receive from=damson entry=a1", "write half receive from=damson entry=nope",
    "write half receive entry=a1", "write rowan split into=damson entry=a1", "write half receive from=nope entry=a1",
    "write half receive from=damson entry=a1 water_g=5",
])  # fmt: skip
def test_completing_what_is_not_open_changes_nothing(folder: Path, say: Say, line: str) -> None:
    before = {path: path.read_bytes() for path in folder.rglob("*.toml")}
    say(line, status=1)
    assert {path: path.read_bytes() for path in folder.rglob("*.toml")} == before


def test_a_split_that_is_written_late_pours_what_stood_there_then(folder: Path, say: Say) -> None:
    say("read damson 1.030 20", on="2026-03-14")
    say("write damson split into=half volume_l=1.5 --at 2026-03-05", on="2026-03-15")
    taken = lines(folder, "half")[-1]
    _, sugar_g, ethanol_g = grams(taken)
    assert sugar_g > 200.0  # at 1.066 about 170 g/L of extract; at 1.030 there would be half of it
    assert ethanol_g < 50.0


def test_stabilised_mead_stays_stabilised_in_the_other_glass(folder: Path, say: Say) -> None:
    page = folder / "vessels/damson/daybook.toml"
    page.write_text(
        page.read_text()
        + """
a6 = { at = 2026-04-01T18:00:00+02:00, did = "read", sg = 0.998, temp_c = 20, ph = 3.4 }
a7 = { at = 2026-04-02T18:00:00+02:00, did = "sulfite", metabisulfite_g = 0.4, ph = 3.4 }
a8 = { at = 2026-04-02T18:10:00+02:00, did = "sorbate", sorbate_g = 0.8, ph = 3.4 }
"""
    )
    say("write damson split into=half volume_l=1.5", on="2026-04-05")
    taken = lines(folder, "half")[-1]
    # 0.4 g of potassium metabisulfite are 57.6 % SO2 by mass (IUPAC atomic weights): 230 mg in about 3.9 L.
    assert float(re.findall(r"so2_mg = ([\d.]+)", taken)[0]) == pytest.approx(230 * 1.5 / 3.9, rel=0.03)
    assert float(re.findall(r"sorbate_mg = ([\d.]+)", taken)[0]) == pytest.approx(800 * 1.5 / 3.9, rel=0.03)
    told = say("write half bottle count=2 size_ml=750 priming_g=8 glass=sparkling", on="2026-04-20", status=3)
    assert "sorbate" in told


def test_what_was_sweetened_is_still_sweetened_in_the_other_glass(folder: Path, say: Say) -> None:
    head = folder / "vessels/damson/vessel.toml"
    head.write_text(head.read_text().replace("gravity = 1.090", "gravity = 1.090\nend = 1.010"))
    page = folder / "vessels/damson/daybook.toml"
    page.write_text(
        page.read_text()
        + """
a6 = { at = 2026-04-01T18:00:00+02:00, did = "read", sg = 1.004, temp_c = 20 }
a7 = { at = 2026-04-02T18:00:00+02:00, did = "sweeten", honey_g = 60, override = "to taste" }
"""
    )
    say("write damson split into=half volume_l=1.5", on="2026-04-05")
    for day in ("04-06", "05-01", "06-01", "06-20"):
        say("read half 1.009 20 override=steady", on=f"2026-{day}")
    # A plan that ends sweet needs sixty calm days with nothing added; honey was, and nothing holds it back.
    assert "went in for taste" in say("write half bottle count=1 size_ml=750", on="2026-06-20", status=3)
