"""Vessels on the disk as other people and programs leave them."""

from __future__ import annotations

import os
import socket
import time
from pathlib import Path

import pytest

from fermtui.daybook.new_vessel import start_vessel
from fermtui.daybook.places import Cellar
from fermtui.daybook.vessel_bytes import vessel_bytes
from fermtui.daybook.vessel_file import VesselFile, read_vessel
from fermtui.wording.problems import problem_text
from fermtui.wording.problems import reason as reason_of

VESSEL = "damson-26"
LINE = b'a = { at = 2026-03-18T20:15:00+02:00, did = "read", sg = 1.048 }\n'


def folder(cellar: Cellar) -> Path:
    return cellar.path / "vessels" / VESSEL


def said(vessel: VesselFile) -> list[str]:
    return [problem_text(problem) for problem in vessel.problems]


def test_a_vessel_is_its_head_and_its_entries(cellar: Cellar) -> None:
    (folder(cellar) / "daybook.toml").write_bytes(LINE)
    vessel = read_vessel(cellar, VESSEL)
    assert vessel.head is not None
    assert (vessel.head.name, vessel.head.plan.gravity) == ("Damson", 1.095)
    assert [entry.key for entry in vessel.live] == ["a"]
    assert vessel.problems == ()


def test_a_vessel_just_started_has_no_daybook_and_no_problem(cellar: Cellar) -> None:
    assert read_vessel(cellar, VESSEL).problems == ()


@pytest.mark.parametrize("file", ["vessel.toml", "daybook.toml"])
@pytest.mark.parametrize("kind", ["folder", "link", "dead link", "pipe", "socket", "device"])
def test_what_is_no_file_is_a_problem_and_hangs_nothing(
    kind: str, file: str, cellar: Cellar, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = folder(cellar) / file
    path.unlink(missing_ok=True)
    if kind == "folder":
        path.mkdir()
    elif kind == "pipe":
        os.mkfifo(path)
    elif kind == "socket":
        monkeypatch.chdir(folder(cellar))  # the path of a socket is short
        with socket.socket(socket.AF_UNIX) as made:
            made.bind(file)
    elif kind == "device":
        path.symlink_to("/dev/zero")
    else:
        target = tmp_path / "elsewhere.toml"
        if kind == "link":
            target.write_bytes(LINE)
        path.symlink_to(target)
    started = time.perf_counter()
    vessel = read_vessel(cellar, VESSEL)
    assert time.perf_counter() - started < 1
    (problem,) = vessel.problems
    assert problem.path == f"vessels/{VESSEL}/{file}"
    assert vessel.entries == ()


def test_a_file_beyond_all_measure_is_not_read(cellar: Cellar) -> None:
    with (folder(cellar) / "daybook.toml").open("wb") as file:
        file.truncate(50 * 1024 * 1024 * 1024)  # a hole: it takes no room
    assert said(read_vessel(cellar, VESSEL)) == [
        f"vessels/{VESSEL}/daybook.toml: the file is larger than 8192 kB, so it was not read"
    ]


def test_a_vessel_folder_that_leaves_the_cellar_is_not_read(cellar: Cellar, tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "vessel.toml").write_text('name = "Not yours"\n')
    (cellar.path / "vessels" / "stray").symlink_to(outside)
    vessel = read_vessel(cellar, "stray")
    assert vessel.head is None
    (problem,) = said(vessel)
    assert problem.startswith("vessels/stray: this is a symbolic link that leaves the cellar")


@pytest.mark.parametrize("name", ["..", "../damson-26", "", "a/b", "a\0b", "nobody", "x" * 81])
def test_names_that_are_none_give_a_problem(name: str, cellar: Cellar) -> None:
    vessel = read_vessel(cellar, name)
    assert vessel.head is None
    assert len(vessel.problems) == 1


@pytest.mark.parametrize(
    ("head", "line", "reason"),
    [
        ('container = "x"\n', None, "name is missing"),
        ('name = "x"\n[plan]\nvolume_l = -1\n', 3, "plan.volume_l is a number from 0.001 to 2000, not -1"),
        ('name = "x"\n[plan]\n\nyeast = { name = "y", demand = "huge" }\n', 4, "plan.yeast.demand is low, medium"),
        ('name = "x"\n[plan.fruit]\nkind = "plum"\nmass_g = 1e400\n', 4, "plan.fruit.mass_g is a number"),
        ('name = "x"\nplan = 3\n', 2, "plan is a table"),
        ('name = "x"\nname = "y"\n', 2, "no valid TOML"),
        ('name = "x"\nname\n', 2, "no valid TOML"),
        ('name = "x', 1, "no valid TOML"),
        ('name = "x"\na = ' + "[" * 3000, None, "nested too deeply"),
        ('name = "x"\n' + ".".join(["a"] * 10_000) + " = 1\n", 2, "4095 are the most"),
        ('name = "x"\na = 1e99999999999999999999\n', None, "out of all bounds"),
        ('name = "x"\nschedule = "../../etc"\n', 2, "schedule is the name of a schedule file"),
        ('name = "x"\ncapacity_l = 0x' + "f" * 4000 + "\n", 2, "capacity_l is a number from"),
        ('name = "x"\ncapacity_l = nan\n', 2, "capacity_l is a number from"),
    ],
)
def test_a_head_at_fault_is_named_with_its_line(head: str, line: int | None, reason: str, cellar: Cellar) -> None:
    (folder(cellar) / "vessel.toml").write_text(head)
    (folder(cellar) / "daybook.toml").write_bytes(LINE)
    started = time.perf_counter()
    vessel = read_vessel(cellar, VESSEL)
    assert time.perf_counter() - started < 0.5
    (problem,) = vessel.problems
    assert (problem.path, problem.line) == (f"vessels/{VESSEL}/vessel.toml", line)
    assert reason in reason_of(problem)
    assert len(vessel.entries) == 1


def test_a_head_that_is_no_text_is_named_with_its_line(cellar: Cellar) -> None:
    (folder(cellar) / "vessel.toml").write_bytes(b'name = "x"\n# \xff\n')
    assert said(read_vessel(cellar, VESSEL)) == [
        f"vessels/{VESSEL}/vessel.toml, line 2: this is no UTF-8 text; save the file as UTF-8"
    ]


def test_a_missing_head_is_said(cellar: Cellar) -> None:
    (folder(cellar) / "vessel.toml").unlink()
    (problem,) = read_vessel(cellar, VESSEL).problems
    assert "the file is missing" in reason_of(problem)


def test_one_bad_vessel_hides_no_other(cellar: Cellar) -> None:
    start_vessel(cellar, "rowan-25", {"name": "Rowan"})
    (folder(cellar) / "vessel.toml").write_bytes(b"\0" * 100)
    assert read_vessel(cellar, "rowan-25").problems == ()


def test_strikes_at_fault_are_among_the_problems_with_their_line(cellar: Cellar) -> None:
    strike = b'\n\nb = { at = 2026-03-18T20:16:00+02:00, did = "strike", entry = "zz" }\n'
    (folder(cellar) / "daybook.toml").write_bytes(LINE + strike)
    (problem,) = read_vessel(cellar, VESSEL).problems
    assert problem.line == 4


def test_the_digest_is_that_of_the_bytes(cellar: Cellar) -> None:
    first = vessel_bytes(cellar, VESSEL).digest
    assert vessel_bytes(cellar, VESSEL).digest == first
    (folder(cellar) / "daybook.toml").write_bytes(LINE)
    second = vessel_bytes(cellar, VESSEL).digest
    (folder(cellar) / "vessel.toml").unlink()
    assert len({first, second, vessel_bytes(cellar, VESSEL).digest}) == 3
