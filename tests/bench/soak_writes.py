"""Two (or more) processes write entries into one daybook at the same time: all of them must be there.

python tests/bench/soak_writes.py [ENTRIES EACH] [PROCESSES]
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

from fermtui.daybook.append import append
from fermtui.daybook.lines import line_of, new_key
from fermtui.daybook.new_vessel import start_vessel
from fermtui.daybook.places import Cellar, create
from fermtui.daybook.vessel_file import read_vessel

START = datetime(2026, 3, 1, 18, 30, tzinfo=UTC)


def writer(cellar: Cellar, who: int, count: int) -> None:
    for number in range(count):
        at = START + timedelta(seconds=number)
        append(cellar, "damson", line_of(new_key(at), "note", at, {"text": f"{who} {number} " + "x" * (number % 200)}))


def run(each: int, processes: int, folder: Path) -> dict[str, float]:
    """The figures: entries wanted, kept, problems, and milliseconds an entry."""
    cellar = create(folder / "cellar", "\n")
    start_vessel(cellar, "damson", {"name": "Damson"})
    started = time.perf_counter()
    children = []
    for who in range(processes):
        child = os.fork()
        if child == 0:
            writer(cellar, who, each)
            os._exit(0)
        children.append(child)
    failed = sum(os.waitpid(child, 0)[1] != 0 for child in children)
    seconds = time.perf_counter() - started
    vessel = read_vessel(cellar, "damson")
    texts = {entry.text.rstrip("x ") for entry in vessel.entries if entry.text}
    assert texts <= {f"{who} {number}" for who in range(processes) for number in range(each)}
    return {
        "wanted": each * processes,
        "kept": len(texts),
        "problems": len(vessel.problems),
        "failed": failed,
        "ms_an_entry": 1000 * seconds / (each * processes),
    }


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        each, processes = [*map(int, sys.argv[1:]), *(1000, 2)[len(sys.argv) - 1 :]]
        print(run(each, processes, Path(made)))
