"""What was done is never said to have failed: output that cannot be printed, and homes that nobody has."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

Cellar = Callable[[Mapping[str, str]], Path]
PAGES = {
    "vessels/rowan/vessel.toml": 'name = "Rowan"\n[plan]\nvolume_l = 4\n',
    "vessels/rowan/daybook.toml": '{ at = 2026-01-10T10:00:00+01:00, did = "note", text = "cold" }\n',
    "vessels/empty/vessel.toml": 'name = "Empty"\n',
}
TABLE = "date,gravity\n2026-01-12,1.050\n"
ACTS = {
    "read": (["read", "rowan", "1.050", "20"], "vessels/rowan/daybook.toml"),
    "write": (["write", "rowan", "note", "text=warm"], "vessels/rowan/daybook.toml"),
    "strike": (["strike", "rowan"], "vessels/rowan/daybook.toml"),
    "start": (["start", "Linden", "--volume", "4L", "--gravity", "1.090"], "vessels/linden/vessel.toml"),
    "put-away": (["put-away", "empty"], "past/empty/vessel.toml"),
    "schedule": (["schedule", "copy", "two-doses", "mine"], "schedules/mine.toml"),
    "import": (["import", "rowan", "table.csv"], "vessels/rowan/daybook.toml"),
}


def call(folder: Path, words: list[str], redirect: str) -> tuple[int, str]:
    """Exit status and what is on stderr of a command whose output goes where `redirect` says."""
    done = subprocess.run(
        ["sh", "-c", f'exec "$@" {redirect}', "sh", sys.executable, "-m", "fermtui", "--cellar", str(folder), *words],
        capture_output=True, text=True, cwd=folder, check=False,
    )  # fmt: skip
    return done.returncode, done.stderr


@pytest.mark.slow
@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="there is no full device")
@pytest.mark.parametrize("act", ACTS)
@pytest.mark.parametrize("redirect", [">/dev/full", ">&-", ">/dev/full 2>/dev/full", ">&- 2>&-"])
def test_what_is_written_is_not_said_to_have_failed(cellar: Cellar, act: str, redirect: str) -> None:
    folder = cellar(PAGES)
    (folder / "table.csv").write_text(TABLE)
    words, shows = ACTS[act]
    before = (folder / shows).read_text() if (folder / shows).exists() else ""
    status, err = call(folder, words, redirect)
    assert (folder / shows).read_text() != before
    assert status == 0, err
    assert "Traceback" not in err
    if redirect == ">/dev/full":
        assert "it could not be told in full: the disk is full" in err


@pytest.mark.slow
@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="there is no full device")
def test_a_question_whose_answer_cannot_be_printed_failed(cellar: Cellar) -> None:
    folder = cellar(PAGES)
    status, err = call(folder, ["show"], ">/dev/full")
    assert (status, err.count("\n")) == (1, 1)
    assert call(folder, ["show"], ">&-")[0] == 0
    for words in (["due"], ["show", "--json"], ["--help"], ["--version"], ["bench", "correct", "1.050", "30"]):
        assert "Traceback" not in call(folder, words, ">&- <&-")[1]


NOBODY = "~nosuchuser/x"


@pytest.mark.parametrize(
    "words",
    [
        ["--cellar", NOBODY, "due"], ["--cellar", NOBODY, "start", "A", "--volume", "4"], ["--cellar", NOBODY],
        ["--cellar", NOBODY, "bench", "correct", "1.050", "30"], ["demo", NOBODY], ["page", "--out", NOBODY],
        ["export", "--out", NOBODY],
        ["import", "rowan", NOBODY], ["calendar", "--out", NOBODY], ["--cellar", NOBODY, "sync"],
    ],
)  # fmt: skip
def test_the_home_of_nobody_is_one_sentence(
    cellar: Cellar, words: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from fermtui.cli.main import run

    monkeypatch.setenv("FERMTUI_CELLAR", str(cellar(PAGES)))
    capsys.readouterr()
    status = run(words)
    told = capsys.readouterr()
    if words[0] == "calendar" and "no task has a date" in told.err:
        return
    assert (status, told.out, told.err.count("\n")) == (1, "", 1)
    assert "~nosuchuser is nobody's home on this computer: write the whole path" in told.err


@pytest.mark.parametrize("name", ["FERMTUI_CELLAR", "FERMTUI_CACHE"])
def test_the_home_of_nobody_in_the_environment(
    cellar: Cellar, name: str, fermtui: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    cellar(PAGES)
    monkeypatch.setenv(name, NOBODY)
    from fermtui.cli.main import run

    assert run(["due"]) == 1
    if name == "FERMTUI_CACHE":
        assert fermtui("due").err.count("nobody's home") == 1
