"""Two copies of a cellar, appended to on both sides and merged by git itself, hold the entries of both."""

from __future__ import annotations

import random
import shutil
import subprocess
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fermtui.daybook.append import append
from fermtui.daybook.lines import line_of, new_key
from fermtui.daybook.places import Cellar
from fermtui.daybook.vessel_file import read_vessel

pytestmark = pytest.mark.skipif(shutil.which("git") is None, reason="git is not installed")
VESSEL = "damson-26"
START = datetime(2026, 3, 18, 20, 15, tzinfo=UTC)


def git(where: Path, *words: str) -> None:
    who = ["-c", "user.name=a maker", "-c", "user.email=maker@example.org", "-c", "commit.gpgsign=false"]
    subprocess.run(["git", *who, *words], cwd=where, check=True, capture_output=True)


def write(cellar: Cellar, chance: random.Random, count: int) -> set[str]:
    keys = set()
    for _ in range(count):
        at = START + timedelta(minutes=chance.randrange(100_000))
        line = line_of(new_key(at), "note", at, {"text": chance.choice(["degassed", "smells good", "", "}"]) + "."})
        keys.add(append(cellar, VESSEL, line))
    return keys


@pytest.mark.parametrize("seed", range(12))
def test_a_union_merge_keeps_the_entries_of_both_sides(seed: int, cellar: Cellar, tmp_path: Path) -> None:
    chance = random.Random(seed)
    git(cellar.path, "init", "-q", "-b", "main")
    keys = write(cellar, chance, chance.randrange(4))
    if seed % 4 == 1:  # someone edited the file and left no line end
        path = cellar.path / "vessels" / VESSEL / "daybook.toml"
        path.write_bytes(path.read_bytes().removesuffix(b"\n") if path.exists() else b"# empty")
    git(cellar.path, "add", "-A", ".")
    git(cellar.path, "commit", "-q", "-m", "base")
    git(tmp_path, "clone", "-q", str(cellar.path), "laptop")
    laptop = Cellar(tmp_path / "laptop")
    shared = line_of(new_key(START), "note", START, {"text": "copied to both by hand"})
    for side in (cellar, laptop):
        keys |= write(side, chance, chance.randrange(6))
        if seed % 3 == 0:
            keys.add(append(side, VESSEL, shared))
        keys |= write(side, chance, chance.randrange(3))
        git(side.path, "add", "-A", ".")
        git(side.path, "commit", "-q", "--allow-empty", "-m", "side")
    git(laptop.path, "pull", "-q", "--no-rebase", "--no-edit")
    merged = read_vessel(laptop, VESSEL)
    assert {entry.key for entry in merged.entries} == keys
    assert merged.problems == ()
    assert append(laptop, VESSEL, line_of("x", "note", START, {"text": "and on"})) == "x"
    assert len(read_vessel(laptop, VESSEL).entries) == len(keys) + 1


def test_a_line_corrected_on_one_side_and_appended_below_on_the_other_loses_nothing(
    cellar: Cellar, tmp_path: Path
) -> None:
    append(cellar, VESSEL, line_of("a", "read", START, {"sg": 1.048}))
    git(cellar.path, "init", "-q", "-b", "main")
    git(cellar.path, "add", "-A", ".")
    git(cellar.path, "commit", "-q", "-m", "base")
    git(tmp_path, "clone", "-q", str(cellar.path), "laptop")
    laptop = Cellar(tmp_path / "laptop")
    path = cellar.path / "vessels" / VESSEL / "daybook.toml"
    path.write_text(path.read_text().replace("1.048", "1.084"))
    append(laptop, VESSEL, line_of("b", "note", START, {"text": "x"}))
    for side in (cellar, laptop):
        git(side.path, "commit", "-q", "-a", "-m", "side")
    git(laptop.path, "pull", "-q", "--no-rebase", "--no-edit")
    merged = read_vessel(laptop, VESSEL)
    assert {entry.key for entry in merged.entries} == {"a", "b"}
    assert [problem.path for problem in merged.problems] in ([], [f"vessels/{VESSEL}/daybook.toml"])
