"""The folder: made, opened, named, put away."""

from __future__ import annotations

import errno
import os
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fermtui.daybook.archive import bring_back, move_to_past
from fermtui.daybook.fields import NAME, Unfit
from fermtui.daybook.files import NotWritten
from fermtui.daybook.new_vessel import head_text, start_vessel
from fermtui.daybook.places import Cellar as OpenedCellar
from fermtui.daybook.places import (
    NoCellar,
    create,
    default_path,
    misnamed,
    open_cellar,
    past_names,
    slug,
    vessel_names,
)
from fermtui.daybook.settings import default_text
from fermtui.daybook.vessel_file import read_vessel

HEAD = {
    "name": "Damson",
    "container": "Demijohn 3",
    "capacity_l": 5.0,
    "schedule": "fruit-when-dry",
    "plan": {
        "volume_l": 4.2,
        "gravity": 1.095,
        "temp_c": None,
        "yeast": {"name": "white wine yeast", "demand": "medium", "tolerance_abv": 14},
        "fruit": {"kind": "plum", "mass_g": 500, "treatment": "frozen"},
        "doses": {"dap_g": 2.2, "autolysate_g": 4.0},
    },
}


def test_a_new_cellar_has_its_folders_and_its_union_rule(tmp_path: Path) -> None:
    made = create(tmp_path / "deep" / "cellar", default_text())
    assert sorted(path.name for path in made.path.iterdir()) == [
        ".gitattributes", "cellar.toml", "past", "schedules", "vessels",
    ]  # fmt: skip
    assert (made.path / ".gitattributes").read_text() == "daybook.toml text eol=lf merge=union\n"
    assert open_cellar(made.path) == made


def test_a_cellar_is_not_made_twice_and_nothing_is_overwritten(tmp_path: Path) -> None:
    (tmp_path / ".gitattributes").write_text("mine\n")
    create(tmp_path, default_text())
    (tmp_path / "cellar.toml").write_text("# mine\n")
    with pytest.raises(NotWritten, match="already"):
        create(tmp_path, default_text())
    assert (tmp_path / "cellar.toml").read_text() == "# mine\n"
    assert (tmp_path / ".gitattributes").read_text() == "mine\n"


@pytest.mark.parametrize("kind", ["missing", "empty folder", "file"])
def test_what_is_no_cellar_is_not_opened(kind: str, tmp_path: Path) -> None:
    path = tmp_path / "x"
    if kind == "empty folder":
        path.mkdir()
    elif kind == "file":
        path.write_text("")
    with pytest.raises(NoCellar, match="no cellar"):
        open_cellar(path)
    assert path.exists() is (kind != "missing")


def test_where_a_cellar_is_looked_for(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("FERMTUI_CELLAR", str(tmp_path / "mine"))
    assert default_path() == tmp_path / "mine"
    monkeypatch.delenv("FERMTUI_CELLAR")
    assert default_path().parts[-2:] == ("fermtui", "cellar")


def test_a_place_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(NotWritten, match="no cellar was made"):
        create(tmp_path / "file" / "cellar", default_text())


def test_names_are_those_of_folders(cellar: OpenedCellar, tmp_path: Path) -> None:
    vessels = cellar.path / "vessels"
    for name in ("rowan-25", ".hidden", "with space", "-minus", "ünder"):
        (vessels / name).mkdir()
    (vessels / "README").write_text("")
    (vessels / "elsewhere").symlink_to(tmp_path)
    assert vessel_names(cellar) == ("damson-26", "elsewhere", "rowan-25")
    assert [problem.path for problem in misnamed(cellar)] == ["vessels/-minus", "vessels/with space", "vessels/ünder"]
    assert past_names(cellar) == ()
    assert vessel_names(OpenedCellar(tmp_path / "nowhere")) == ()


@pytest.mark.parametrize(
    ("name", "taken", "expected"),
    [
        ("Damson", (), "damson"),
        ("Früh & süß No. 2", (), "fruh-suss-no-2"),
        ("Damson", ("DAMSON", "damson-2"), "damson-3"),
        ("../../etc/passwd", (), "etc-passwd"),
        ("сидр", (), "vessel"),
        ("con", (), "con-1"),
        ("x" * 500, (), "x" * 40),
        ("\x1b[2J[bold red]", (), "2j-bold-red"),
    ],
)
def test_folder_names(name: str, taken: tuple[str, ...], expected: str) -> None:
    assert slug(name, taken) == expected


@given(st.text(max_size=80), st.lists(st.text(max_size=5)))
def test_every_folder_name_is_one(name: str, taken: list[str]) -> None:
    made = slug(name, taken)
    assert NAME.match(made)
    assert made not in {other.lower() for other in taken}


# --- starting -------------------------------------------------------------------------------------------------------


def test_a_head_is_a_page_that_people_can_edit(cellar: OpenedCellar) -> None:
    start_vessel(cellar, "damson-27", HEAD)
    text = (cellar.path / "vessels" / "damson-27" / "vessel.toml").read_text()
    assert text == head_text(HEAD)
    assert text.startswith("# The head of a vessel. It is yours to edit;")
    assert 'yeast = { name = "white wine yeast", demand = "medium", tolerance_abv = 14 }\n' in text
    assert "temp_c" not in text
    vessel = read_vessel(cellar, "damson-27")
    assert vessel.problems == ()
    assert vessel.head is not None
    assert vessel.head.plan.doses == {"dap_g": 2.2, "autolysate_g": 4.0}
    assert vessel.head.plan.fruit is not None


@pytest.mark.parametrize("place", ["vessels", "past"])
def test_a_name_that_is_taken_is_refused(place: str, cellar: OpenedCellar) -> None:
    if place == "past":
        move_to_past(cellar, "damson-26")
    with pytest.raises(NotWritten, match="damson-26 already"):
        start_vessel(cellar, "damson-26", HEAD)


@pytest.mark.parametrize("name", ["../x", "", "a b", ".hidden", "a/b"])
def test_a_name_that_is_none_is_refused(name: str, cellar: OpenedCellar) -> None:
    with pytest.raises(Unfit):
        start_vessel(cellar, name, HEAD)
    assert vessel_names(cellar) == ("damson-26",)


@pytest.mark.parametrize(
    "table",
    [{}, {"name": ""}, {"name": "x", "plan": {"gravity": 9}}, {"name": "half \ud83d"}, {"name": 3}],
)
def test_a_head_at_fault_is_never_written(table: dict[str, Any], cellar: OpenedCellar) -> None:
    with pytest.raises(Unfit):
        start_vessel(cellar, "x", table)
    assert vessel_names(cellar) == ("damson-26",)


def test_a_strange_name_is_written_so_that_it_reads_back(cellar: OpenedCellar) -> None:
    name = 'x"\n[plan]\ngravity = 9 # \x1b[2J\u2028\u202e'
    start_vessel(cellar, "x", {"name": name})
    vessel = read_vessel(cellar, "x")
    assert vessel.head is not None
    assert vessel.head.name == name


def test_a_full_disk_leaves_no_half_vessel(cellar: OpenedCellar, monkeypatch: pytest.MonkeyPatch) -> None:
    def failing(_fd: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", failing)
    with pytest.raises(NotWritten, match="disk is full"):
        start_vessel(cellar, "rowan-26", HEAD)
    assert os.listdir(cellar.path / "vessels") == ["damson-26"]


# --- putting away ---------------------------------------------------------------------------------------------------


def test_a_vessel_is_put_away_and_brought_back(cellar: OpenedCellar) -> None:
    assert move_to_past(cellar, "damson-26") == "damson-26"
    assert (vessel_names(cellar), past_names(cellar)) == ((), ("damson-26",))
    assert read_vessel(cellar, "damson-26", "past").head is not None
    assert bring_back(cellar, "damson-26") == "damson-26"
    assert (vessel_names(cellar), past_names(cellar)) == (("damson-26",), ())


def test_a_name_that_is_taken_there_gets_a_number(cellar: OpenedCellar) -> None:
    (cellar.path / "past" / "damson-26").mkdir()
    (cellar.path / "past" / "damson-26-2").symlink_to("nowhere")
    assert move_to_past(cellar, "damson-26") == "damson-26-3"


@pytest.mark.parametrize("name", ["nobody", "..", "../cellar", ""])
def test_what_is_no_vessel_is_not_moved(name: str, cellar: OpenedCellar) -> None:
    with pytest.raises(NotWritten, match="was not moved"):
        move_to_past(cellar, name)
    assert vessel_names(cellar) == ("damson-26",)
