"""The soak scripts of tests/bench for a short while; by hand they run longer."""

from __future__ import annotations

import errno
import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.slow

forks = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
Soak = Callable[[str], Any]


@forks
def test_two_processes_write_at_once(soak: Soak, tmp_path: Path) -> None:
    figures = soak("soak_writes").run(300, 2, tmp_path)
    assert (figures["kept"], figures["problems"], figures["failed"]) == (600, 0, 0)


@forks
def test_kills_lose_and_invent_nothing(soak: Soak, tmp_path: Path) -> None:
    figures = soak("soak_kills").run(60, tmp_path)
    assert (figures["lost"], figures["invented"], figures["unopened"]) == (0, 0, 0)
    assert figures["acknowledged"] >= 30


@pytest.mark.skipif(shutil.which("git") is None, reason="git is not installed")
@pytest.mark.parametrize("seed", [1, 2])
def test_two_computers_that_do_random_things_end_up_with_one_cellar(
    seed: int, soak: Soak, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    script = soak("soak_sync")
    for name, value in script.WHO.items():
        monkeypatch.setenv(name, value)  # so that they are taken back afterwards
    assert script.run(seed, tmp_path, 50)["syncs"] > 2


def test_damage_raises_nothing_and_stays_where_it_is(soak: Soak, tmp_path: Path) -> None:
    figures = soak("soak_mutations").run(600, tmp_path)
    assert figures["with a problem"] > 300


@pytest.mark.skipif(os.name == "nt", reason="counts the calls of a POSIX system")
@pytest.mark.parametrize("act", ["put away", "split into a new one", "copy a schedule", "first note"])
def test_what_is_said_to_have_failed_was_not_done(
    act: str, soak: Soak, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "cache"))
    script = soak("soak_failing_calls")
    figures = script.run((act,), tmp_path, (errno.EIO,))
    assert figures["refused"] > 4
    assert figures["deaths"] > 10


def test_a_full_file_system_refuses_or_does_it(soak: Soak, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "cache"))
    script, place = soak("soak_full_disk"), tmp_path / "small"
    place.mkdir()
    if not script.mounted(place):
        pytest.skip("only root can mount a small file system")
    try:
        figures = script.run(place, ("note", "copy", "split"), range(3))
    finally:
        subprocess.run(["umount", str(place)], check=True)
    assert figures["refused"] >= 3


def test_a_damaged_schedule_is_refused_and_harms_no_other_vessel(
    soak: Soak, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "cache"))
    figures = soak("soak_schedules").run(60, tmp_path)
    assert figures["refused"] > 20
    assert figures["sound"] > 2
