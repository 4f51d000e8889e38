"""Two computers do random things to one cellar and sync now and then: no entry is lost, doubled or mixed up.

Among these things are deletions: lines cut out of a daybook, a daybook or a whole folder removed, by hand before a sync
or sent by git itself. None of them may take an entry away from the two together.

python tests/bench/soak_sync.py [RUNS] [FIRST SEED]
"""

from __future__ import annotations

import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path

from fermtui.daybook.append import append
from fermtui.daybook.archive import bring_back, move_to_past
from fermtui.daybook.lines import line_of, new_key
from fermtui.daybook.new_vessel import start_vessel
from fermtui.daybook.places import PAST, VESSELS, Cellar, create, past_names, vessel_names
from fermtui.daybook.vessel_file import VesselFile, read_vessel
from fermtui.sync.exchange import sync, waiting

AT = datetime(2026, 3, 1, 18, 30, tzinfo=UTC)
NAMES = ("damson", "heather", "rowan", "quince")
WHO = {
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_AUTHOR_NAME": "a maker",
    "GIT_AUTHOR_EMAIL": "maker@example.org",
    "GIT_COMMITTER_NAME": "a maker",
    "GIT_COMMITTER_EMAIL": "maker@example.org",
}


def git(where: Path, *words: str) -> str:
    return subprocess.run(["git", *words], cwd=where, check=True, capture_output=True, text=True).stdout.strip()


def act(side: Cellar, chance: random.Random, births: dict[str, str]) -> str:
    """One random act; `births` remembers for each key the birth line of its vessel, which tells vessels apart."""
    at_work, away = vessel_names(side), past_names(side)
    free = [name for name in NAMES if name not in at_work + away]
    draw = chance.random()
    if draw < 0.15 and free:
        name = chance.choice(free)
        start_vessel(side, name, {"name": name.title()})
        key = new_key(AT)
        births[key] = append(side, name, line_of(key, "note", AT, {"text": key}))
        return "start"
    if draw < 0.25 and at_work:
        move_to_past(side, chance.choice(at_work))
        return "retire"
    if (draw < 0.33 or not at_work) and away:
        bring_back(side, chance.choice(away))
        return "bring back"
    if not at_work:
        return "nothing"
    name = chance.choice(at_work)
    if draw < 0.36:
        head = side.path / VESSELS / name / "vessel.toml"
        head.write_text(head.read_text() + f"\n# {chance.random()}\n")
        return "edit"
    birth = next(entry.text for entry in read_vessel(side, name).entries if entry.text in births.values())
    key = new_key(AT)
    births[key] = str(birth)
    append(side, name, line_of(key, "note", AT, {"text": "x" * chance.randrange(40)}))
    return "write"


def delete(side: Cellar, other: Cellar, chance: random.Random) -> str:
    """Cut lines out of a daybook, remove it, or remove a vessel; in one case of three git itself sends that.

    What only one side holds is lost with that side, so both sync first.
    """
    for each in (side, other, side):
        sync(each)
    there = [(VESSELS, name) for name in vessel_names(side)] + [(PAST, name) for name in past_names(side)]
    if not there:
        return "nothing"
    place, name = chance.choice(there)
    folder = side.path / place / name
    draw = chance.random()
    if draw < 0.6:
        lines = (folder / "daybook.toml").read_text().splitlines(keepends=True)
        (folder / "daybook.toml").write_text("".join(line for line in lines if chance.random() < 0.6))
    elif draw < 0.7:
        (folder / "daybook.toml").unlink()
    else:
        shutil.rmtree(folder)
    if chance.random() < 0.33:
        git(side.path, "add", "-A", ".")
        git(side.path, "commit", "-q", "--allow-empty", "-m", "a deletion")
        git(side.path, "push", "-q", "origin", "HEAD:main")
    return "delete"


def all_vessels(side: Cellar) -> list[VesselFile]:
    names = [(name, VESSELS) for name in vessel_names(side)] + [(name, PAST) for name in past_names(side)]
    return [read_vessel(side, name, place) for name, place in names]


def check(side: Cellar, births: dict[str, str]) -> None:
    seen: Counter[str] = Counter()
    vessels = all_vessels(side)
    for vessel in vessels:
        assert vessel.problems == (), vessel.problems
        keys = [entry.key for entry in vessel.entries]
        seen.update(keys)
        assert len({births[key] for key in keys}) == 1, f"{vessel.name} holds two vessels"
    assert seen == Counter(births.keys()), "an entry is lost, doubled or invented"
    assert len({vessel.name for vessel in vessels}) == len(vessels), "two vessels have one name"


def run(seed: int, folder: Path, acts: int = 60, *, deletions: bool = True) -> Counter[str]:
    """The figures of one run. Raises where a promise is broken."""
    os.environ |= WHO
    chance = random.Random(seed)
    figures: Counter[str] = Counter()
    births: dict[str, str] = {}
    git(folder, "init", "-q", "--bare", "-b", "main", "remote.git")
    desk = create(folder / "desk", "\n")
    git(desk.path, "init", "-q", "-b", "main")
    git(desk.path, "remote", "add", "origin", str(folder / "remote.git"))
    sync(desk)
    git(folder, "clone", "-q", "remote.git", "laptop")
    sides = (desk, Cellar(folder / "laptop"))
    for _ in range(acts):
        side = chance.choice(sides)
        if deletions and chance.random() < 0.08:
            other = sides[side is sides[0]]
            figures[delete(side, other, chance)] += 1
            sync(chance.choice((side, other)))
            both = [sync(each) for each in (*sides, *sides)]  # before the other side does the same to the same lines
            figures["lost"] += sum(told.lost for told in both)
            figures["kept notes"] += sum("stay" in note or "is back" in note for told in both for note in told.notes)
        elif chance.random() < 0.12:
            told = sync(side)
            figures["syncs"] += 1
            figures["notes"] += len(told.notes)
            for problem in waiting(side):
                (side.path / problem.path).unlink()
        else:
            figures[act(side, chance, births)] += 1
    for side in (*sides, *sides):
        sync(side)
    for side in sides:
        check(side, births)
    assert len({git(side.path, "rev-parse", "HEAD^{tree}") for side in sides}) == 1, "the two sides differ"
    figures["entries"] += len(births)
    return figures


if __name__ == "__main__":
    runs, first = [*map(int, sys.argv[1:]), *(100, 1)[len(sys.argv) - 1 :]]
    total: Counter[str] = Counter()
    started = time.perf_counter()
    for number in range(first, first + runs):
        with tempfile.TemporaryDirectory() as made:
            try:
                total += run(number, Path(made))
            except AssertionError as fault:
                print(f"seed {number}: {fault}")
                raise
    print(f"{runs} runs in {time.perf_counter() - started:.0f} s: {dict(total)}")
