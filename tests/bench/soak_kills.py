"""A writing loop is killed (SIGKILL) at random moments: every acknowledged entry is there, none is invented.

python tests/bench/soak_kills.py [KILLS]
"""

from __future__ import annotations

import os
import random
import signal
import sys
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path

from fermtui.daybook.append import append
from fermtui.daybook.archive import bring_back, move_to_past
from fermtui.daybook.lines import line_of, new_key
from fermtui.daybook.new_vessel import start_vessel
from fermtui.daybook.places import Cellar, create, past_names, vessel_names
from fermtui.daybook.vessel_file import read_vessel

KILLS_A_VESSEL = 50
AT = datetime(2026, 3, 1, 18, 30, tzinfo=UTC)


def victim(cellar: Cellar, vessel: str, tell: int, seed: int) -> None:
    """Writes for ever; tells each key before (t) and after (a) it is written."""
    chance = random.Random(seed)
    while True:
        key = new_key(AT)
        line = line_of(key, "note", AT, {"text": "x" * chance.randrange(1500)})
        os.write(tell, f"t{key}\n".encode())
        append(cellar, vessel, line)
        os.write(tell, f"a{key}\n".encode())
        if chance.random() < 0.05:
            move_to_past(cellar, vessel)
            bring_back(cellar, vessel)


def run(kills: int, folder: Path, seed: int = 1) -> dict[str, int]:
    """The figures: kills, entries acknowledged, of these lost; entries invented; lines torn; times not to be opened."""
    chance = random.Random(seed)
    cellar = create(folder / "cellar", "\n")
    tried: set[str] = set()
    acknowledged: set[str] = set()
    unopened = 0
    for number in range(kills):
        vessel = f"damson-{number // KILLS_A_VESSEL}"
        if number % KILLS_A_VESSEL == 0:
            start_vessel(cellar, vessel, {"name": "Damson"})
        hear, tell = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(hear)
            try:
                victim(cellar, vessel, tell, number)
            finally:
                os._exit(1)
        os.close(tell)
        with os.fdopen(hear) as said:
            early = [said.readline(), said.readline()] if number % 2 else []  # the other half dies at its first steps
            time.sleep(chance.random() * 0.03)
            os.kill(child, signal.SIGKILL)
            words = [word.strip() for word in [*early, *said] if word.endswith("\n")]
        assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == -signal.SIGKILL
        tried |= {word[1:] for word in words if word[0] == "t"}
        acknowledged |= {word[1:] for word in words if word[0] == "a"}
        if vessel in past_names(cellar):
            bring_back(cellar, vessel)
        unopened += read_vessel(cellar, vessel).head is None
    vessels = [read_vessel(cellar, name) for name in vessel_names(cellar)]
    there = {entry.key for vessel in vessels for entry in vessel.entries}
    return {
        "kills": kills,
        "acknowledged": len(acknowledged),
        "lost": len(acknowledged - there),
        "invented": len(there - tried),
        "torn_lines": sum(len(vessel.problems) for vessel in vessels),
        "unopened": unopened,
    }


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        print(run(int(sys.argv[1]) if len(sys.argv) > 1 else 2000, Path(made)))
