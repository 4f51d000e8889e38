"""Seconds for needs, calendar, record, compare and export on a large cellar, with the cache gone and with it warm.

python tests/bench/reports.py [--vessels 1000] [--entries 100] [--past 900]
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

HERE = Path(__file__).parent
GOAL_S = 3.0


def seconds(words: list[str], cellar: Path, cache: Path) -> float:
    """One call in a process of its own."""
    started = time.perf_counter()
    subprocess.run(
        [sys.executable, "-m", "fermtui", "--cellar", str(cellar), *words],
        check=True,
        stdout=subprocess.DEVNULL,
        env={**os.environ, "FERMTUI_CACHE": str(cache)},
    )
    return time.perf_counter() - started


def main() -> None:
    """Make the cellar, measure, print a line for each command."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    for name, usual in (("vessels", 1000), ("entries", 100), ("past", 900)):
        asked.add_argument(f"--{name}", type=int, default=usual)
    words = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        cellar, cache = Path(folder) / "cellar", Path(folder) / "cache"
        made = [sys.executable, str(HERE / "make_cellar.py"), str(cellar), "--today", f"{time.strftime('%Y-%m-%d')}"]
        made += [part for name, value in vars(words).items() for part in (f"--{name}", str(value))]
        subprocess.run(made, check=True)
        daybooks = sorted((cellar / "vessels").glob("*/daybook.toml"), key=lambda path: (path.stat().st_size, path))
        fermenting = daybooks[0].parent.name  # the youngest: its record needs a forecast, and that all past vessels
        past = sorted(path.name for path in (cellar / "past").iterdir())
        out = str(Path(folder) / "out")
        for call in (
            ["needs"], ["calendar", "--out", out], ["record", fermenting], ["record", past[0]],
            ["compare", *past[:4]], ["export", "--out", out],
        ):  # fmt: skip
            shutil.rmtree(cache, ignore_errors=True)
            cold = seconds(call, cellar, cache)
            warm = min(seconds(call, cellar, cache) for _ in range(3))
            print(f"{' '.join(call[:2])[:30]:<30} warm {warm:5.2f} s  cold {cold:5.2f} s  goal {GOAL_S:g} s")


if __name__ == "__main__":
    main()
