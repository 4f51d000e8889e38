"""How many times a bench command takes of bare Python: to be below 6. Run by hand: python tests/bench/bench_speed.py.

The two are timed in turns, so that a busy machine slows both, and the medians are compared.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

RUNS = 25
REACH = 6.0
CALLS = {
    "correct": "correct --gravity 1.042 --temp 25C --abv 6",
    "strength": "strength --from 1.095 --to 1.000 --json",
    "fruit": "fruit --kind plum --mass 500g --volume 4L --gravity 1.000",
    "sulfite": "sulfite --volume 4L --ph 3.4 --abv 12 --explain",
}


def seconds(words: list[str], environment: dict[str, str]) -> float:
    """Wall time of one process."""
    begun = time.perf_counter()
    subprocess.run(words, check=True, stdout=subprocess.DEVNULL, env=environment)
    return time.perf_counter() - begun


def ratio(words: list[str], environment: dict[str, str]) -> tuple[float, float]:
    """(times bare Python, milliseconds) of a call, by medians of runs in turns."""
    bare, whole = [], []
    for _ in range(RUNS):
        bare.append(seconds([sys.executable, "-c", "pass"], environment))
        whole.append(seconds([sys.executable, "-m", "fermtui", "bench", *words], environment))
    return median(whole) / median(bare), 1000 * median(whole)


def main() -> int:
    """Print a line for each call, without a cellar and with one; 1 when one is too slow."""
    worst = 0.0
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "cellar.toml").write_text('[units]\nvolume = "gal"\n', "utf-8")
        for where, path in (("no cellar", str(Path(folder) / "none")), ("cellar", folder)):
            environment = {**os.environ, "FERMTUI_CELLAR": path}
            for name, words in CALLS.items():
                times, took_ms = ratio(words.split(), environment)
                worst = max(worst, times)
                print(f"{where:<10} {name:<9} {times:4.1f} x bare Python  ({took_ms:.0f} ms)")
    print(f"worst {worst:.1f} x, to be below {REACH:g} x")
    return int(worst >= REACH)


if __name__ == "__main__":
    sys.exit(main())
