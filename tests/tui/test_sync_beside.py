"""Sync on the screens: it runs beside the work, tells what came, and ends with the program."""

from __future__ import annotations

import os
import shutil
import subprocess
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from looking import SIZE, Make, shown

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(shutil.which("git") is None or os.name == "nt", reason="needs git and a POSIX shell"),
]


def git(where: Path, *words: str) -> None:
    subprocess.run(["git", *words], cwd=where, check=True, capture_output=True)


@pytest.fixture
def remote(cellar: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "a maker")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "maker@example.org")
    git(tmp_path, "init", "-q", "--bare", "-b", "main", "remote.git")
    git(cellar, "init", "-q", "-b", "main")
    git(cellar, "remote", "add", "origin", str(tmp_path / "remote.git"))
    return tmp_path / "remote.git"


async def until(pilot: Any, what: Callable[[], bool]) -> None:
    end = time.monotonic() + 20
    while not what():
        assert time.monotonic() < end
        await pilot.pause(0.05)


async def test_it_says_what_went_and_shows_what_came(app_of: Make, remote: Path, tmp_path: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("Y")
        await until(pilot, lambda: "13 entries went there" in shown(app, "message"))
        git(tmp_path, "clone", "-q", str(remote), "laptop")
        with (tmp_path / "laptop/vessels/damson/daybook.toml").open("a") as book:
            book.write('zz = { at = 2026-03-04T08:00:00+01:00, did = "read", sg = 1.077, temp_c = 20 }\n')
        git(tmp_path / "laptop", "commit", "-qam", "x")
        git(tmp_path / "laptop", "push", "-q")
        await pilot.press("Y")
        await until(pilot, lambda: "1 entry came from origin" in shown(app, "message"))
        assert "1.077" in shown(app, "line")


async def test_a_cellar_without_git_says_how_to_begin(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("Y")
        await until(pilot, lambda: "run git init in it" in shown(app, "message"))


@pytest.mark.usefixtures("remote")
async def test_a_silent_remote_holds_up_neither_a_reading_nor_the_leaving(
    app_of: Make, cellar: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, soak: Callable[[str], Any]
) -> None:
    sleeper = tmp_path / "sleeping-ssh"
    sleeper.write_text("#!/bin/sh\nsleep 262626\n")
    sleeper.chmod(0o755)
    monkeypatch.setenv("GIT_SSH_COMMAND", str(sleeper))
    git(cellar, "remote", "set-url", "origin", "ssh://silent.invalid/x.git")
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("Y")
        await until(pilot, lambda: "waiting for origin (ssh://silent.invalid" in shown(app, "message"))
        await pilot.press("Y")
        assert "under way already" in shown(app, "message")
        app.commands.read("damson")
        await pilot.pause()
        await pilot.press(*"1.077 20", "enter")
        assert "1.077" in (cellar / "vessels/damson/daybook.toml").read_text()
        started = time.monotonic()
    assert time.monotonic() - started < 5.0
    running = soak("soak_silent_remote").running
    end = time.monotonic() + 5
    while running("262626"):
        assert time.monotonic() < end, "an ssh is left"
        time.sleep(0.05)
