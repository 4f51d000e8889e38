"""How keys answer while the forecasts of a cellar without a cache fill in, and how long that takes, on a real terminal:

    PYTHONPATH=. .venv/bin/python tests/bench/filling.py [--vessels 40] [--entries 60]

A cursor key goes in every 80 ms; its answer is the next output. To reach: 100 ms a key, 3 s for all. Linux and macOS.
"""

from __future__ import annotations

import argparse
import os
import pty
import select
import signal
import statistics
import struct
import subprocess
import sys
import tempfile
import time
from pathlib import Path

HERE = Path(__file__).resolve()
ON = "2026-06-01"
EVERY_S = 0.08


def waits(fd: int, cache: Path, began: float) -> tuple[list[float], float]:
    """(milliseconds from key to output while forecasts fill in, seconds from exec until all are kept)."""
    found: list[float] = []
    key = b"j"
    while time.perf_counter() - began < 60.0:
        while select.select([fd], [], [], 0.0)[0]:
            os.read(fd, 65536)
        sent = time.perf_counter()
        os.write(fd, key)
        key = b"k" if key == b"j" else b"j"
        if select.select([fd], [], [], 2.0)[0]:
            os.read(fd, 65536)
        found.append(1000.0 * (time.perf_counter() - sent))
        if any(cache.rglob("*-draws.json")):
            return found, time.perf_counter() - began
        time.sleep(EVERY_S)
    raise SystemExit("the forecasts were never all made")


def main() -> None:
    """One cellar, one start without a cache."""
    import fcntl
    import termios

    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--vessels", type=int, default=40)
    parser.add_argument("--entries", type=int, default=60)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        cellar, cache = Path(folder) / "cellar", Path(folder) / "cache"
        subprocess.run(
            [sys.executable, str(HERE.with_name("make_cellar.py")), str(cellar), "--vessels", str(asked.vessels),
             "--entries", str(asked.entries), "--past", "0", "--today", ON],
            check=True,
        )  # fmt: skip
        began = time.perf_counter()
        pid, fd = pty.fork()
        if pid == 0:
            words = [sys.executable, "-m", "fermtui", "--cellar", str(cellar), "--on", ON]
            environment = {**os.environ, "TERM": "xterm-256color", "FERMTUI_CACHE": str(cache)}
            os.execvpe(words[0], words, environment)
        fcntl.ioctl(fd, termios.TIOCSWINSZ, struct.pack("HHHH", 40, 120, 0, 0))
        seen = b""
        while b"Cellar" not in seen and b"forecasting" not in seen and time.perf_counter() - began < 30.0:
            if select.select([fd], [], [], 0.05)[0]:
                seen += os.read(fd, 65536)
        first = time.perf_counter() - began
        try:
            keys, all_s = waits(fd, cache, began)
        finally:
            os.kill(pid, signal.SIGKILL)
            os.waitpid(pid, 0)
            os.close(fd)
    keys.sort()
    late = keys[int(0.95 * (len(keys) - 1))]
    print(
        f"{asked.vessels} vessels: first text {first:.2f} s, all forecasts kept {all_s:.2f} s after exec; "
        f"{len(keys)} keys: median {statistics.median(keys):.0f} ms, 95 % {late:.0f} ms, most {keys[-1]:.0f} ms"
    )


if __name__ == "__main__":
    main()
