"""Options before or after the command, values with a minus, and what each call ends with: 0, 1, 2 or 3."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from fermtui import __version__
from fermtui.cli.main import run

PAGES = {
    "vessels/damson/vessel.toml": 'name = "Damson"\nschedule = "two-doses"\n[plan]\nvolume_l = 4.0\ngravity = 1.09',
    "vessels/damson/daybook.toml": '{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }',
}


@pytest.fixture
def damson(cellar: Any) -> Path:
    folder: Path = cellar(PAGES)
    return folder


def files(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != ".lock"
    }


def test_everywhere_options_stand_before_or_after(damson: Path, capsys: pytest.CaptureFixture[str]) -> None:
    where, when = ["--cellar", str(damson)], ["--on", "2026-03-03"]
    outs = set()
    for words in ([*where, *when, "--json", "due"], ["due", *where, *when, "--json"], [*where, "due", "--json", *when],
                  ["--json", f"--cellar={damson}", "due", "--on=2026-03-03"]):  # fmt: skip
        assert run(words) == 0
        outs.add(capsys.readouterr().out)
    assert len(outs) == 1


def test_a_temperature_may_begin_with_a_minus(damson: Path, fermtui: Any) -> None:
    assert fermtui("start", "Sloe", "--volume", "4L", "--gravity", "1.09", "--temp", "-2C").status == 0
    assert "temp_c = -2.0" in (damson / "vessels/sloe/vessel.toml").read_text()
    assert fermtui("write", "damson", "read", "temp_c=-2", "--on", "2026-03-03").status == 0
    assert "temp_c = -2.0 " in (damson / "vessels/damson/daybook.toml").read_text()


STATUSES = [
    (0, "due"), (0, "show"), (0, "show damson"), (0, "check"), (0, "--help"), (0, "due -h"), (0, "help"),
    (0, "help start"), (0, "write damson degas"), (0, "--json"),
    (1, "show nope"), (1, "show ../damson"), (1, "check nope"), (1, "tick damson nope"), (1, "tick nope dose-1"),
    (1, "read damson 1.9"), (1, "read damson abc"), (1, "write damson wobble"), (1, "write damson read sg=1.9"),
    (1, "write damson degas strength=5"), (1, "write damson fruit kind=plum"), (1, "strike damson nope"),
    (1, "due --on yesterday-ish"), (1, "write damson degas --at 2027-01-01"), (1, "write damson receive from=x"),
    (2, "wobble"), (2, "due now"), (2, "due --days -1"), (2, "due --days ²"), (2, "show a b"), (2, "read damson"),
    (2, "tick damson"), (2, "write damson"), (2, "strike"), (2, "start"), (2, "start A B"), (2, "due --cellar"),
    (2, "due --weeks 2"), (2, "due --days 2 --days 3"), (2, "check a b"), (2, "degas=1"), (2, "help wobble"),
    (3, "write damson bottle count=4 size_ml=750"), (3, "write damson sorbate sorbate_g=1"),
]  # fmt: skip


@pytest.mark.parametrize(("status", "line"), STATUSES, ids=[line for _, line in STATUSES])
def test_how_a_call_ends(damson: Path, fermtui: Any, status: int, line: str) -> None:
    before = files(damson)
    on = () if "--on" in line else ("--on", "2026-03-03")
    ran = fermtui(*line.split(), *on)
    assert ran.status == status
    if status:
        assert files(damson) == before
        assert ran.out == ""
        assert ran.err.startswith("fermtui: ")
        assert ran.err.count("\n") == 1


def test_an_empty_cellar_option_is_not_the_usual_cellar() -> None:
    assert run(["--cellar=", "due"]) == 2


def test_without_a_cellar_it_offers_two_ways_to_begin(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for words in (["due"], ["show"], ["check"], ["tick", "a", "b"], ["read", "a", "1.05"], ["strike", "a"]):
        assert run(["--cellar", str(tmp_path / "none"), *words]) == 1
        told = capsys.readouterr().err
        assert "fermtui start" in told
        assert "fermtui demo" in told
    assert list(tmp_path.iterdir()) == []


def test_a_folder_with_other_things_in_it_becomes_no_cellar(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "letter.txt").write_text("dear")
    start = ["start", "Sloe", "--volume", "4L", "--gravity", "1.09"]
    assert run(["--cellar", str(tmp_path), *start]) == 1
    assert "is no cellar" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_a_start_that_is_refused_makes_no_cellar(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    where = ["--cellar", str(tmp_path / "new")]
    for more in ("", "--volume 4L", "--volume 0L --gravity 1.09", "--volume 4L --gravity 1.09 --dry-run"):
        run([*where, "start", "Sloe", *more.split()])
        assert list(tmp_path.iterdir()) == []
    assert run([*where, "start", "Sloe", "--volume", "4L", "--gravity", "1.09"]) == 0
    assert "made a new cellar" in capsys.readouterr().err
    assert (tmp_path / "new/.gitattributes").read_text() == "daybook.toml text eol=lf merge=union\n"
    assert (tmp_path / "new/vessels/sloe/vessel.toml").is_file()


def test_the_clock_of_the_call_is_when_it_happened(damson: Path, fermtui: Any) -> None:
    page = damson / "vessels/damson/daybook.toml"
    assert fermtui("write", "damson", "degas", "--on", "2026-03-04").status == 0
    assert "at = 2026-03-04T12:00:00+01:00" in page.read_text().splitlines()[-1]
    fermtui("--on", "2026-03-04T08:00:00Z", "write", "damson", "degas", "--at", "2026-03-02T07:15:00")
    assert "at = 2026-03-02T07:15:00+01:00" in page.read_text().splitlines()[-1]
    fermtui("write", "damson", "degas", "--on", "2026-03-29T20:00:00+02:00", "--at", "yesterday")
    assert "at = 2026-03-28T20:00:00+01:00" in page.read_text().splitlines()[-1]  # the clocks went forward that night
    fermtui("read", "damson", "1.080 20 yesterday 19:30", "--on", "2026-03-05")
    assert "at = 2026-03-04T19:30:00+01:00" in page.read_text().splitlines()[-1]


def test_later_entries_are_left_out_of_an_earlier_clock(damson: Path, fermtui: Any) -> None:
    del damson
    fermtui("write", "damson", "dose", "dap_g=1", "task=dose-1", "--on", "2026-03-04")
    early = {t["task"]: t["state"] for t in fermtui("due", "--json", "--on", "2026-03-03").json["tasks"]}
    late = {t["task"]: t["state"] for t in fermtui("due", "--json", "--on", "2026-03-05").json["tasks"]}
    assert (early["dose-1"], late["dose-1"]) == ("due", "done")
    told = fermtui("strike", "damson", "--on", "2026-03-03")
    assert "took back 'pitched" in told.out  # the dose has not been given by then


def test_output_that_nobody_can_take_ends_in_a_sentence(damson: Path) -> None:
    if not Path("/dev/full").exists():
        pytest.skip("no /dev/full here")
    call = [sys.executable, "-m", "fermtui", "--cellar", str(damson), "show", "damson", "--on", "2026-03-05"]
    with open("/dev/full", "w") as full:
        ran = subprocess.run(call, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert ran.returncode == 1
    assert ran.stderr.startswith("fermtui: the system says: ")
    assert "Traceback" not in ran.stderr


def test_a_terminal_that_knows_few_letters_gets_question_marks(damson: Path) -> None:
    (damson / "vessels/damson/vessel.toml").write_text('name = "Zwetschge für Öl ±"\n')
    call = [sys.executable, "-m", "fermtui", "--cellar", str(damson), "show", "damson"]
    ran = subprocess.run(call, capture_output=True, env={"PYTHONIOENCODING": "ascii", "PATH": ""}, check=False)
    assert (ran.returncode, ran.stderr) == (0, b"")
    assert ran.stdout.startswith(b"Zwetschge f?r ?l ? (damson)")


def test_a_plain_command_loads_no_screen(damson: Path) -> None:
    code = (
        "import sys; from fermtui.cli.main import run; run(sys.argv[1:]); "
        "sys.exit(9 if {'textual', 'rich'} & set(sys.modules) else 0)"
    )
    for words in (["due"], ["show", "damson"], ["write", "damson", "degas"], ["check"]):
        call = [sys.executable, "-c", code, "--cellar", str(damson), *words]
        assert subprocess.run(call, capture_output=True, check=False).returncode == 0


def test_the_version_is_told_without_a_cellar(capsys: pytest.CaptureFixture[str]) -> None:
    for words in (["--version"], ["-V"], ["--cellar", "/nowhere", "-V"]):
        assert run(words) == 0
        assert capsys.readouterr().out == f"fermtui {__version__}\n"
    assert run(["due", "-V"]) == 2
