"""`fermtui sync` as a command; what it does to two cellars is tested beside daybook/sync.py."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

Cellar = Callable[[Mapping[str, str]], Path]

pytestmark = pytest.mark.skipif(shutil.which("git") is None, reason="sync is the maker's own git")


@pytest.fixture
def git(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Callable[..., None]:
    for name, value in (("GIT_CONFIG_GLOBAL", os.devnull), ("GIT_CONFIG_NOSYSTEM", "1"), ("GIT_AUTHOR_NAME", "A"),
                        ("GIT_AUTHOR_EMAIL", "a@example.com"), ("GIT_COMMITTER_NAME", "A"),
                        ("GIT_COMMITTER_EMAIL", "a@example.com")):  # fmt: skip
        monkeypatch.setenv(name, value)

    def run(*words: str, at: str = "cellar") -> None:
        subprocess.run(["git", "-C", str(tmp_path / at), *words], check=True, capture_output=True)

    return run


PAGES = {
    "vessels/rowan/vessel.toml": 'name = "Rowan"\n',
    "vessels/rowan/daybook.toml": 'k1 = { at = 2026-01-10T10:00:00+01:00, did = "note", text = "cold" }\n',
}


def test_without_a_repository_it_says_how_to_make_one(cellar: Cellar, fermtui: Any) -> None:
    cellar(PAGES)
    ran = fermtui("sync")
    assert (ran.status, ran.out, ran.err.count("\n")) == (1, "", 1)
    assert "git init" in ran.err


def test_in_one_line_what_came_and_what_went(cellar: Cellar, fermtui: Any, git: Any, tmp_path: Path) -> None:
    cellar(PAGES)
    git("init", "-q", "-b", "main")
    assert fermtui("sync").out == "1 entry saved in git; there is no remote to send them to\n"
    (tmp_path / "far.git").mkdir()
    git("init", "-q", "--bare", "-b", "main", at="far.git")
    git("remote", "add", "origin", str(tmp_path / "far.git"))
    assert fermtui("sync", "--json").json["went"] == 1
    assert fermtui("sync").out == "in step with origin\n"
    assert fermtui("write", "rowan", "note", "text=warm", "--at", "2026-01-11").status == 0
    assert fermtui("sync").out == "0 entries came from origin, 1 entry went there\n"


def test_it_takes_no_words(cellar: Cellar, fermtui: Any) -> None:
    cellar(PAGES)
    assert fermtui("sync", "origin").status == 2
