"""How long the replay of 100 entries takes, beside a fixed loop of plain Python: `python tests/bench/replay.py`.

DESIGN section 11 wants 5 ms. The loop makes the figure comparable between machines: it is work of the same kind
(floats and method calls) that nobody changes.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from fermtui.daybook.entry import Entry
from fermtui.daybook.head import head_from
from fermtui.daybook.kinds import entry_from
from fermtui.replay.replay import replay

START = datetime(2026, 1, 1, 18, tzinfo=UTC)
RUNS = 200


def a_year(count: int = 100) -> list[Entry]:
    """Mixed, pitched, fed, fruited, racked; a reading for every third entry."""
    written: list[dict[str, object]] = [
        {"at": START, "did": "mix", "honey_g": 6000.0, "volume_l": 20.0},
        {"at": START, "did": "read", "sg": 1.095, "temp_c": 21.0},
        {"at": START, "did": "pitch", "temp_c": 21.0},
    ]
    for n in range(count - 3):
        at = START + timedelta(days=1 + 2 * n)
        kinds: list[dict[str, object]] = [
            {"did": "read", "sg": max(0.999, 1.09 - 0.003 * n), "temp_c": 17.0 + n % 5},
            {"did": "punch"},
            {"did": "dose", "dap_g": 1.0},
        ]
        entry = kinds[n % 3]
        if n in (40, 44):
            entry = {"did": "fruit", "kind": "plum", "mass_g": 2000.0}
        elif n in (60, 80):
            entry = {"did": "rack", "volume_l": 19.0 - n / 40}
        elif n == 30:
            entry = {"did": "feed", "honey_g": 500.0}
        written.append({"at": at, **entry})
    return [entry_from(f"k{n:03d}", one) for n, one in enumerate(written)]


def fixed_loop() -> float:
    """100,000 turns of floating point."""
    total = 1.0
    for n in range(100_000):
        total = total * 0.999_999 + n / (1.0 + total)
    return total


def best_ms(work: Callable[[], object], runs: int) -> float:
    """The fastest of so many runs, in milliseconds."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return 1000.0 * min(times)


def main() -> None:
    head, entries = head_from({"name": "T", "plan": {"gravity": 1.095}}), a_year()
    replay(head, entries)
    ours, loop = best_ms(lambda: replay(head, entries), RUNS), best_ms(fixed_loop, 20)
    print(f"replay of {len(entries)} entries {ours:.2f} ms; fixed loop {loop:.2f} ms; ratio {ours / loop:.2f}")


if __name__ == "__main__":
    main()
