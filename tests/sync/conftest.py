"""Two computers and a remote: real clones, a bare repository on the disk, the maker's own git."""

from __future__ import annotations

import subprocess
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fermtui.daybook.append import append
from fermtui.daybook.lines import line_of, new_key
from fermtui.daybook.places import Cellar
from fermtui.daybook.vessel_file import read_vessel
from fermtui.sync.exchange import sync

START = datetime(2026, 3, 18, 20, 15, tzinfo=UTC)
VESSEL = "damson-26"


def git(where: Path, *words: str) -> str:
    done = subprocess.run(["git", *words], cwd=where, check=True, capture_output=True, text=True)
    return done.stdout.strip()


@pytest.fixture(autouse=True)
def _who(monkeypatch: pytest.MonkeyPatch) -> None:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "a maker")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "maker@example.org")


@pytest.fixture
def desk(cellar: Cellar, tmp_path: Path) -> Cellar:
    """The first computer; the remote holds what stands there."""
    git(tmp_path, "init", "-q", "--bare", "-b", "main", "remote.git")
    git(cellar.path, "init", "-q", "-b", "main")
    git(cellar.path, "remote", "add", "origin", str(tmp_path / "remote.git"))
    note(cellar, "brewed")
    sync(cellar)
    return cellar


@pytest.fixture
def laptop(desk: Cellar, tmp_path: Path) -> Cellar:
    """The second computer: a clone."""
    git(desk.path.parent, "clone", "-q", str(tmp_path / "remote.git"), "laptop")
    return Cellar(tmp_path / "laptop")


_count = iter(range(1_000_000))


def note(cellar: Cellar, text: str, vessel: str = VESSEL) -> str:
    at = START + timedelta(minutes=next(_count))
    return append(cellar, vessel, line_of(new_key(at), "note", at, {"text": text}))


def texts(cellar: Cellar, vessel: str = VESSEL, place: str = "vessels") -> list[str | None]:
    found = read_vessel(cellar, vessel, place)
    assert found.problems == ()
    return [entry.text for entry in found.entries]


def clean(cellar: Cellar) -> bool:
    return git(cellar.path, "status", "--porcelain") in ("", "?? .lock")


def same(one: Cellar, other: Cellar) -> bool:
    trees = [git(side.path, "rev-parse", "HEAD^{tree}") for side in (one, other)]
    return trees[0] == trees[1] and clean(one) and clean(other)
