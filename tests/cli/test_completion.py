"""Completion for shells and the page for `man`, out of the table of commands; and what a slip of the pen is told."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from fermtui.cli.completion import SHELLS, script
from fermtui.cli.usage import COMMANDS

HEAD = 'name = "Damson"\ncapacity_l = 5.0\nschedule = "two-doses"\n[plan]\nvolume_l = 4.0\ngravity = 1.09\n'
PITCHED = """
{ at = 2026-03-01T18:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1130 }
{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }
"""


@pytest.fixture
def damson(cellar: Any) -> Path:
    folder: Path = cellar({"vessels/damson/vessel.toml": HEAD, "vessels/damson/daybook.toml": PITCHED})
    return folder


@pytest.mark.parametrize("shell", SHELLS)
def test_a_script_knows_every_command_and_option(shell: str, fermtui: Any) -> None:
    said = fermtui("completion", shell).out
    assert said == script(shell)
    for name, command in COMMANDS.items():
        assert not name or name in said
        for option in command.options:
            assert option == "*" or option in said, (name, option)


@pytest.mark.parametrize("shell", SHELLS)
def test_a_shell_that_is_here_takes_its_script(shell: str, tmp_path: Path) -> None:
    if shutil.which(shell) is None:
        pytest.skip(f"there is no {shell} on this machine")
    path = tmp_path / "script"
    path.write_text(script(shell), "utf-8")
    done = subprocess.run([shell, "-n", str(path)], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.skipif(shutil.which("bash") is None, reason="there is no bash on this machine")
@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("fermtui d", {"demo", "due"}),
        ("fermtui show ", {"damson"}),
        ("fermtui due --b", {"--brief"}),
        ("fermtui write damson swee", {"sweeten"}),
    ],
)
def test_bash_offers_what_fits(typed: str, offered: set[str], damson: Path, tmp_path: Path) -> None:
    called = tmp_path / "bin" / "fermtui"
    called.parent.mkdir()
    called.write_text(f'#!/bin/sh\nexec {sys.executable} -m fermtui "$@"\n')
    called.chmod(0o755)
    words = typed.split(" ")
    code = (
        f"{script('bash')}\nCOMP_WORDS=({' '.join(repr(word) for word in words)}); COMP_CWORD={len(words) - 1}; "
        '_fermtui; printf "%s\\n" "${COMPREPLY[@]}"'
    )
    env = {**os.environ, "FERMTUI_CELLAR": str(damson), "PATH": f"{called.parent}:{os.environ['PATH']}"}
    done = subprocess.run(["bash", "-c", code], capture_output=True, text=True, env=env, check=True)
    assert set(done.stdout.split()) == offered


def test_the_open_tasks_of_a_vessel_are_named(damson: Path, fermtui: Any) -> None:
    assert damson.exists()
    tasks = fermtui("completion", "tasks", "damson", "--on", "2026-03-02").out.split()
    assert "dose-1" in tasks
    assert "pitch" not in tasks
    assert fermtui("completion", "tasks", "nobody").out.strip() == ""


def test_without_a_cellar_there_is_nothing_to_offer(fermtui: Any) -> None:
    ran = fermtui("completion", "vessels")
    assert (ran.status, ran.out.strip(), ran.err) == (0, "", "")
    assert fermtui("completion", "csh").status == 2


def test_the_manual_is_a_page_that_man_can_set(fermtui: Any) -> None:
    page = fermtui("manual").out
    assert page.startswith(".TH FERMTUI 1")
    lines = page.splitlines()
    assert [line for line in lines if line.startswith(".") and line.split()[0] not in
            (".TH", ".SH", ".TP", ".B", ".br")] == []  # fmt: skip
    for name in COMMANDS:
        assert f".B fermtui {name}".rstrip().replace("-", "\\-") in page
    if shutil.which("groff"):
        set_it = ["groff", "-man", "-Tascii", "-ww"]
        done = subprocess.run(set_it, input=page, capture_output=True, text=True, check=False)
        assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ("dew", "did you mean due?"),
        ("due --day 3", "did you mean --days?"),
        ("write damson sweten", "did you mean sweeten?"),
        ("write damson sweeten hony_g=3", "did you mean honey_g=?"),
        ("quzzle", "one of"),
    ],
)
def test_a_slip_of_the_pen_is_asked_about(words: str, asked: str, damson: Path, fermtui: Any) -> None:
    assert damson.exists()
    ran = fermtui(*words.split())
    assert ran.status in (1, 2)
    assert asked in ran.err
