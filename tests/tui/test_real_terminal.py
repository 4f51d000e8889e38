"""The program on a real terminal (a pty): it opens, shows its first screen, obeys a key and gives the terminal back."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from terminal import Terminal

pty = pytest.importorskip("pty")  # not on Windows


@pytest.fixture
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "cache"))
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    return tmp_path


def test_the_demo_opens_and_closes(elsewhere: Path) -> None:
    terminal = Terminal("demo", str(elsewhere / "demo"))
    terminal.wait_for("Damson")
    terminal.wait_for("quit")
    terminal.press("q")
    assert terminal.left() == 0
    assert (elsewhere / "demo" / "vessels" / "damson" / "daybook.toml").is_file()


def test_a_missing_cellar_is_offered_and_nothing_is_written_before_the_answer(elsewhere: Path) -> None:
    terminal = Terminal("--cellar", str(elsewhere / "none"))
    terminal.wait_for("look at the demo")
    assert not (elsewhere / "none").exists()
    terminal.press("q")
    assert terminal.left() == 1
    assert not (elsewhere / "none").exists()


def test_a_missing_cellar_can_be_started_from_the_offer(elsewhere: Path) -> None:
    terminal = Terminal("--cellar", str(elsewhere / "mine"))
    terminal.wait_for("start an empty cellar")
    terminal.press("s")
    terminal.wait_for("new vessel")
    assert (elsewhere / "mine" / "cellar.toml").is_file()
    assert (elsewhere / "mine" / ".gitattributes").read_text() == "daybook.toml text eol=lf merge=union\n"
    terminal.press("q")
    assert terminal.left() == 0


def test_a_dumb_terminal_gets_the_plain_list(elsewhere: Path) -> None:
    terminal = Terminal("demo", str(elsewhere / "demo"), TERM="dumb")
    terminal.wait_for("dose 2 of 3")
    assert terminal.left() == 0
    assert b"\x1b" not in terminal.seen


def test_a_folder_that_is_not_empty_is_no_place_for_a_demo(elsewhere: Path) -> None:
    (elsewhere / "something").mkdir()
    terminal = Terminal("demo", str(elsewhere))
    terminal.wait_for("is not empty")
    assert terminal.left() == 1


@pytest.mark.slow
@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_a_signal_gives_the_terminal_back_and_keeps_what_is_typed(
    soak: Callable[[str], Any], tmp_path: Path, name: str
) -> None:
    table = soak("soak_signals").run(tmp_path, (name,), ("shelf", "note"))
    assert len(table) == 2


@pytest.mark.slow
def test_a_terminal_that_is_closed_ends_it(elsewhere: Path) -> None:
    terminal = Terminal("demo", str(elsewhere / "demo"))
    terminal.wait_for("Damson")
    terminal.wait_for("quit")
    os.close(terminal.fd)
    end = time.monotonic() + 10
    while terminal.alive():
        assert time.monotonic() < end, "it goes on without a terminal"
        time.sleep(0.05)
    os.waitpid(terminal.pid, 0)
