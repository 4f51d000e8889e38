"""Own schedules are damaged at random: each is sound or refused with file and reason, and no other vessel suffers.

python tests/bench/soak_schedules.py [MUTATIONS] [SEED]
"""

from __future__ import annotations

import os
import random
import re
import sys
import tempfile
import time
from collections import Counter
from datetime import UTC, datetime, timedelta
from pathlib import Path

from fermtui.cellar.cache import Cache
from fermtui.cellar.store import CellarStore
from fermtui.daybook.lines import line_of
from fermtui.daybook.new_vessel import start_vessel
from fermtui.daybook.places import SCHEDULES, Cellar, create
from fermtui.schedule.library import library_names
from fermtui.schedule.parser import LIBRARY
from fermtui.wording.problems import problem_text

START = datetime(2026, 3, 1, 18, 30, tzinfo=UTC)
MILD = (b"2", b"3", b"0.4", b"12", b'"note"', b'"words"', b'"step:pitch"', b'"pitch"', b"{ at_end = true }")
VALUES = (
    b"nan", b"-nan", b"inf", b"-inf", b"1" + b"0" * 310, b"-1" + b"0" * 310, b"1e400", b"1e-400", b"0", b"-1", b"1e18",
    b"true", b'""', b'"nan"', b"[]", b"{}", b"[[]]", b"1979-05-27", b"9999-12-31T23:59:59Z", b"07:32:00",
    b"0x" + b"f" * 400,
    b'"' + b"x" * 600 + b'"', b'"\\u001b[2J"', b"{ after = 1 }", b"{ all = [] }", b'{ every = 1 }', b"9" * 4000,
)  # fmt: skip
RUBBISH = (b"\0", b"\xff", b"[[step]]\n", b"[x]\n", b'like = "two-doses"\n', b"{", b"}", b"[" * 900, b'key = "pitch"\n')


def scene(folder: Path) -> Cellar:
    """A cellar with one vessel that goes by its own schedule and one that goes by the library's."""
    cellar = create(folder / "cellar", "\n")
    plan = {"volume_l": 4.2, "gravity": 1.095, "yeast": {"tolerance_abv": 14}}
    for name, schedule in (("mine", "own"), ("other", "two-doses")):
        start_vessel(cellar, name, {"name": name, "schedule": schedule, "capacity_l": 5.0, "plan": plan})
        lines = [
            line_of("a1", "mix", START, {"volume_l": 4.2, "honey_g": 1200}),
            line_of("a2", "pitch", START, {"yeast_g": 2.0}),
            line_of("a3", "read", START + timedelta(days=3), {"sg": 1.06, "temp_c": 20}),
        ]
        (cellar.path / "vessels" / name / "daybook.toml").write_text("".join(lines), "utf-8")
    return cellar


def spoil(data: bytes, chance: random.Random) -> bytes:
    """Replace a value by a strange one (mostly), or bytes by rubbish; now and then only a number by another number."""
    if chance.random() < 0.3:
        number = chance.choice([*re.finditer(rb"days = (\d+)", data)])
        return data[: number.start(1)] + str(chance.randrange(1, 30)).encode() + data[number.end(1) :]
    for _ in range(chance.choice((1, 1, 2, 4))):
        found = [*re.finditer(rb"= *([^,\n}\]]+)", data)]
        if found and chance.random() < 0.75:
            one = chance.choice(found)
            data = data[: one.start(1)] + chance.choice(chance.choice((MILD, VALUES))) + b" " + data[one.end(1) :]
        else:
            here = chance.randrange(len(data) + 1)
            there = here + chance.choice((0, 1, 5, 40))
            data = data[:here] + chance.choice(RUBBISH) + data[there:]
    return data


def run(count: int, folder: Path, seed: int = 1) -> dict[str, float]:
    """The figures. Raises where a promise is broken."""
    chance = random.Random(seed)
    cellar = scene(folder)
    pages = [(LIBRARY / f"{name}.toml").read_bytes() for name in library_names()]
    path = cellar.path / SCHEDULES / "own.toml"
    figures: Counter[str] = Counter()
    slowest, sound = 0.0, None
    for _ in range(count):
        bad = spoil(chance.choice(pages), chance)
        path.write_bytes(bad)
        started = time.perf_counter()
        now = START + timedelta(days=chance.choice((1, 4, 20, 90)))
        store = CellarStore(cellar, lambda: START, Cache(folder / "cache.json"))
        store.load()
        view = store.at(now)
        store.save()
        slowest = max(slowest, time.perf_counter() - started)
        mine, other = view.vessel("mine"), view.vessel("other")
        assert mine is not None
        assert other is not None
        assert path.read_bytes() == bad, "a file was changed"
        assert other.tasks, "another vessel suffered"
        if mine.schedule is None:
            figures["refused"] += 1
            assert [one.kind for one in mine.standing] == ["no_schedule"]
            assert any(problem_text(problem).startswith("schedules/own.toml") for problem in mine.problems)
        else:
            figures["sound"] += 1
        known = other.tasks if now - START == timedelta(days=4) else None
        sound = sound or known
        assert known is None or known == sound, "another vessel has other tasks"
    return {"mutations": count, **figures, "slowest_ms": 1000 * slowest}


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        os.environ["FERMTUI_CACHE"] = made
        amount, chosen = [*map(int, sys.argv[1:]), *(2000, 1)[len(sys.argv) - 1 :]]
        print(run(amount, Path(made), chosen))
