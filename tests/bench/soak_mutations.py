"""Files are damaged at random: nothing raises, nothing on the disk changes, other vessels stay as they were.

python tests/bench/soak_mutations.py [MUTATIONS] [SEED]
"""

from __future__ import annotations

import random
import sys
import tempfile
import time
from collections import Counter
from datetime import UTC, datetime, timedelta
from pathlib import Path

from fermtui.daybook.lines import line_of, new_key
from fermtui.daybook.new_vessel import start_vessel
from fermtui.daybook.places import Cellar, create
from fermtui.daybook.settings import default_text, settings_of
from fermtui.daybook.vessel_file import VesselFile, read_vessel
from fermtui.wording.problems import problem_text
from fermtui.wording.problems import reason as reason_of

START = datetime(2026, 3, 1, 18, 30, tzinfo=UTC)
NAMES = ("damson", "heather", "rowan")
RUBBISH = (
    b"\0", b"\0" * 64, b"\xff\xfe", b"\xef\xbb\xbf", b"\r", b"\r\n", b"\n", b'"', b'"""', b"'''", b"{", b"}", b"[",
    b"]",
    b"[[x]]\n", b"[k]\n", b"a.b.c = 1\n", b"= 1\n", b"nan", b"inf", b"1e999999999", b"9999-12-31T23:59:59Z", b"\\",
    b"\\u", b"#", b",", b"\xe2\x80\xa8", b"\xc2\x85", b"\x1b[2J", b"[bold red]", b"9" * 5000, b"a." * 2500, b"[" * 3000,
    b"name = 3\n", b"did = 4", b"plan = 1\n", b"0x" + b"f" * 500, b"1979-02-30", b"true", b"= { at = ", b" }\n",
)  # fmt: skip


def scene(folder: Path) -> Cellar:
    cellar = create(folder / "cellar", default_text("Europe/Vienna").replace("# [[", "[[").replace("# name", "name"))
    plan = {"volume_l": 4.2, "gravity": 1.095, "yeast": {"name": "y", "demand": "low"}, "fruit": {"kind": "plum"}}
    for vessel in NAMES:
        start_vessel(cellar, vessel, {"name": vessel.title(), "capacity_l": 5.0, "plan": plan})
        lines, keys = [], []
        for number in range(12):
            at = START + timedelta(days=number)
            keys.append(new_key(at))
            if number % 5 == 4:
                lines.append(line_of(keys[-1], "strike", at, {"entry": keys[-3]}))
            else:
                lines.append(line_of(keys[-1], "read", at, {"sg": 1.09 - 0.005 * number, "text": "schön"}))
        (cellar.path / "vessels" / vessel / "daybook.toml").write_text("".join(lines), "utf-8")
    return cellar


def spoil(data: bytes, chance: random.Random) -> bytes:
    for _ in range(chance.choice((1, 1, 1, 2, 5))):
        here = chance.randrange(len(data) + 1)
        there = min(len(data), here + chance.choice((1, 1, 4, 30, 300)))
        match chance.randrange(7):
            case 0:
                data = data[:here] + bytes([chance.randrange(256)]) + data[here + 1 :]
            case 1:
                data = data[:here] + data[there:]
            case 2:
                data = data[:here] + chance.choice(RUBBISH) + data[there:]
            case 3:
                data = data[:here] + chance.choice(RUBBISH) + data[here:]
            case 4:
                data = data[:here] + data[here:there] * 2 + data[there:]
            case 5:
                data = data[:here]
            case _:
                lines = data.split(b"\n")
                chance.shuffle(lines)
                data = b"\n".join(lines)
    return data


def unnamed(vessel: VesselFile, data: bytes) -> list[str]:
    """The problems that do not say where they are, or say it wrong."""
    lines = data.count(b"\n") + 1
    wrong = []
    for problem in vessel.problems:
        whole_file = any(text in reason_of(problem) for text in ("name is missing", "nested", "bounds"))
        line_is_one = problem.line is not None and 1 <= problem.line <= lines
        if not (line_is_one or whole_file) or not problem.path.startswith(f"vessels/{vessel.name}/"):
            wrong.append(problem_text(problem))
    return wrong


def run(count: int, folder: Path, seed: int = 1) -> dict[str, float]:
    """The figures. Raises where a promise is broken."""
    chance = random.Random(seed)
    cellar = scene(folder)
    sound = {name: read_vessel(cellar, name) for name in NAMES}
    figures: Counter[str] = Counter()
    slowest = 0.0
    for _ in range(count):
        name = chance.choice(NAMES)
        file = chance.choice(("daybook.toml", "daybook.toml", "vessel.toml"))
        path = cellar.path / "vessels" / name / file
        good = path.read_bytes()
        bad = spoil(good, chance)
        path.write_bytes(bad)
        started = time.perf_counter()
        vessels = {one: read_vessel(cellar, one) for one in NAMES}
        slowest = max(slowest, time.perf_counter() - started)
        assert path.read_bytes() == bad, "a file was changed"
        assert all(vessels[one] == sound[one] for one in NAMES if one != name), "another vessel suffered"
        hidden = unnamed(vessels[name], bad)
        assert not hidden, hidden
        figures["with a problem"] += bool(vessels[name].problems)
        figures["entries kept"] += len(vessels[name].entries)
        path.write_bytes(good)
        settings = cellar.path / "cellar.toml"
        page = settings.read_bytes()
        settings.write_bytes(spoil(page, chance))
        figures["settings with a problem"] += bool(settings_of(cellar)[1])
        settings.write_bytes(page)
    assert {name: read_vessel(cellar, name) for name in NAMES} == sound
    return {"mutations": count, **figures, "slowest_ms": 1000 * slowest}


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        amount, chosen = [*map(int, sys.argv[1:]), *(10_000, 1)[len(sys.argv) - 1 :]]
        print(run(amount, Path(made), chosen))
