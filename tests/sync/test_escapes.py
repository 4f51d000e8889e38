"""What a remote or the maker's own git could lead astray: links, hooks, filters, and a remote that says nothing."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from fermtui.daybook.append import append
from fermtui.daybook.archive import move_to_past
from fermtui.daybook.files import NotWritten
from fermtui.daybook.lines import line_of
from fermtui.daybook.places import Cellar
from fermtui.daybook.vessel_file import read_vessel
from fermtui.sync.exchange import sync
from fermtui.sync.git import NotSynced

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(shutil.which("git") is None, reason="git is not installed"),
    pytest.mark.skipif(os.name == "nt", reason="links and signals of a POSIX system"),
]
AT = datetime(2026, 3, 18, 20, 15, tzinfo=UTC)
VESSEL = "damson-26"
Soak = Callable[[str], Any]


def git(where: Path, *words: str) -> str:
    return subprocess.run(["git", *words], cwd=where, check=True, capture_output=True, text=True).stdout.strip()


@pytest.fixture
def desk(cellar: Cellar, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Cellar:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "a maker")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "maker@example.org")
    git(tmp_path, "init", "-q", "--bare", "-b", "main", "remote.git")
    git(cellar.path, "init", "-q", "-b", "main")
    git(cellar.path, "remote", "add", "origin", str(tmp_path / "remote.git"))
    append(cellar, VESSEL, line_of("k1", "note", AT, {"text": "brewed"}))
    sync(cellar)
    return cellar


@pytest.fixture
def clone(desk: Cellar, tmp_path: Path) -> Path:
    """Another clone, where git alone works: what it sends may be anything."""
    git(desk.path.parent, "clone", "-q", "remote.git", "other")
    return tmp_path / "other"


def send(clone: Path) -> None:
    git(clone, "add", "-A", ".")
    git(clone, "commit", "-q", "-m", "x")
    git(clone, "push", "-q", "origin", "HEAD:main")


@pytest.mark.parametrize("place", ["past", "vessels", "schedules", "vessels/rowan", f"vessels/{VESSEL}/daybook.toml"])
@pytest.mark.parametrize("target", ["outside", "cellar/.git/hooks"])
def test_a_remote_that_sends_a_link_is_refused(
    desk: Cellar, clone: Path, tmp_path: Path, place: str, target: str
) -> None:
    (tmp_path / "outside").mkdir()
    path = clone / place
    if path.is_dir():
        shutil.rmtree(path)
    path.unlink(missing_ok=True)
    path.parent.mkdir(exist_ok=True)
    path.symlink_to(tmp_path / target)
    send(clone)
    with pytest.raises(NotSynced, match=f"{place} at origin is a symbolic link, which may lead anywhere; remove it"):
        sync(desk)
    assert not (desk.path / place).is_symlink()
    assert [entry.text for entry in read_vessel(desk, VESSEL).entries] == ["brewed"]
    move_to_past(desk, VESSEL)
    assert (desk.path / "past" / VESSEL / "daybook.toml").exists()
    assert list((tmp_path / "outside").iterdir()) == []


@pytest.mark.parametrize("place", ["past", "schedules"])
def test_a_remote_that_sends_a_file_for_a_folder_is_refused(desk: Cellar, clone: Path, place: str) -> None:
    (clone / place).write_text("x")
    send(clone)
    with pytest.raises(NotSynced, match="a file where a folder should be"):
        sync(desk)
    assert (desk.path / place).is_dir()


def test_a_place_that_is_a_link_out_of_the_cellar_is_not_saved(desk: Cellar, tmp_path: Path) -> None:
    shutil.move(desk.path / "past", tmp_path / "elsewhere")
    (desk.path / "past").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(NotSynced, match=r"past is a link that leaves the cellar, to .*elsewhere; remove the link"):
        sync(desk)
    with pytest.raises(NotWritten, match="past is a link that leaves the cellar"):
        move_to_past(desk, VESSEL)
    assert list((tmp_path / "elsewhere").iterdir()) == []


def test_a_place_that_is_a_link_inside_the_cellar_is_the_makers_own(desk: Cellar) -> None:
    (desk.path / "archive").mkdir()
    (desk.path / "past").rmdir()
    (desk.path / "past").symlink_to("archive")
    assert move_to_past(desk, VESSEL) == VESSEL
    assert (desk.path / "archive" / VESSEL / "daybook.toml").exists()


def test_links_in_any_place_let_nothing_out(soak: Soak, tmp_path: Path) -> None:
    figures = soak("soak_links").run(tmp_path, targets=("outside", "cellar/.git/inside", "dangling"))
    assert figures["refused"] > 30
    assert figures["done inside"] > 30


def test_no_hook_no_watcher_and_no_filter_is_run(desk: Cellar, clone: Path, tmp_path: Path) -> None:
    trap, sprung = tmp_path / "trap", tmp_path / "sprung"
    trap.write_text(f"#!/bin/sh\necho $0 $* >> {sprung}\ncat\n")
    trap.chmod(0o755)
    for hook in ("pre-commit", "post-merge", "post-checkout", "pre-push", "reference-transaction", "commit-msg"):
        shutil.copy(trap, desk.path / ".git" / "hooks" / hook)
    for name, value in {
        "core.fsmonitor": str(trap), "filter.evil.clean": str(trap), "filter.evil.smudge": str(trap),
        "filter.evil.required": "true", "diff.evil.command": str(trap), "diff.evil.textconv": str(trap),
        "merge.evil.driver": str(trap),
    }.items():  # fmt: skip
        git(desk.path, "config", name, value)
    (clone / ".gitattributes").write_text("* filter=evil diff=evil merge=evil\n")
    (clone / "photo.txt").write_text("x")
    send(clone)
    append(desk, VESSEL, line_of("k2", "note", AT, {"text": "more"}))
    sync(desk)
    append(desk, VESSEL, line_of("k3", "note", AT, {"text": "more"}))
    sync(desk)
    assert (desk.path / "photo.txt").read_text() == "x"
    assert not sprung.exists(), sprung.read_text()


# --- a remote that says nothing -------------------------------------------------------------------------------------


@pytest.mark.skipif(not os.path.isdir("/proc/self"), reason="looks for what is left in /proc")
def test_a_silent_remote_is_given_up_in_time_and_leaves_no_process(
    soak: Soak, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    script = soak("soak_silent_remote")
    for name in (*script.WHO, "GIT_SSH_COMMAND"):
        monkeypatch.setenv(name, "")  # so that they are taken back afterwards
    figures = script.run(tmp_path, 1.5)
    assert figures.keys() == {"git", "http", "ssh"}


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT, signal.SIGHUP])
@pytest.mark.skipif(not os.path.isdir("/proc/self"), reason="looks for what is left in /proc")
def test_a_sync_that_is_ended_ends_what_it_started(desk: Cellar, soak: Soak, tmp_path: Path, number: int) -> None:
    script = soak("soak_silent_remote")
    sleeper = tmp_path / "sleeping-ssh"
    sleeper.write_text(f"#!/bin/sh\nsleep 2424{int(number)}\n")
    sleeper.chmod(0o755)
    git(desk.path, "remote", "set-url", "origin", "ssh://silent.invalid/x.git")
    env = {**os.environ, "GIT_SSH_COMMAND": str(sleeper)}
    words = [sys.executable, "-m", "fermtui", "--cellar", str(desk.path), "sync"]
    child = subprocess.Popen(words, env=env, stderr=subprocess.PIPE, text=True)
    assert child.stderr is not None
    assert "waiting for origin (ssh://silent.invalid/x.git), up to 20 seconds" in child.stderr.readline()
    assert script.running(f"2424{int(number)}")
    child.send_signal(number)
    assert child.wait(10) == (130 if number == signal.SIGINT else 128 + number)
    child.stderr.close()
    time.sleep(0.2)
    assert not script.running(f"2424{int(number)}")
