"""The start as ratios, all in one run: exec to first text against an empty app, plain commands against bare Python.

    .venv/bin/python tests/bench/start.py [--runs 7] [--quick]

Makes its own cellars and its own cache in a temporary folder. Linux and macOS.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import pty
import select
import shutil
import signal
import statistics
import struct
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from textual.widgets import Input

import fermtui

HERE = Path(__file__).resolve()
EMPTY = """
from textual.app import App
from textual.widgets import Footer, Static
class Empty(App):
    def compose(self):
        yield Static("EMPTY-APP-READY")
        yield Footer()
Empty().run()
"""
FERMTUI = [sys.executable, "-m", "fermtui"]
ON = "2026-06-01"


def painted(argv: list[str], text: str, linger_s: float = 0.0) -> tuple[float, float]:
    """Seconds from exec to this text on a pty, and the peak memory in MiB by then (Linux; else 0)."""
    import fcntl
    import termios

    began = time.perf_counter()
    pid, fd = pty.fork()
    if pid == 0:
        os.execvpe(argv[0], argv, {**os.environ, "TERM": "xterm-256color", "COLORTERM": "truecolor"})
    fcntl.ioctl(fd, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 110, 0, 0))
    seen, took, until = b"", 0.0, began + 60.0
    while time.perf_counter() < until:
        if select.select([fd], [], [], 0.05)[0]:
            try:
                seen += os.read(fd, 65536)
            except OSError:
                break
        if not took and text.encode() in seen:
            took = time.perf_counter() - began
            until = min(until, time.perf_counter() + linger_s)
    peak = _peak_mib(pid)
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    os.close(fd)
    if not took:
        raise SystemExit(f"{text!r} never came; last: {seen[-300:]!r}")
    return took, peak


def _peak_mib(pid: int) -> float:
    try:
        lines = Path(f"/proc/{pid}/status").read_text().splitlines()
    except OSError:
        return 0.0
    return next((int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM")), 0.0)


def screen_row(name: str, argv: list[str], text: str, runs: int, before: Callable[[], None] | None = None) -> None:
    """Print the median ratio to an empty app, taken in turn with it."""
    with tempfile.NamedTemporaryFile("w", suffix=".py") as file:
        file.write(EMPTY)
        file.flush()
        pairs = []
        for _ in range(runs):
            if before is not None:
                before()
            ours = painted(argv, text)
            pairs.append((ours, painted([sys.executable, file.name], "EMPTY-APP-READY")))
    ratio = statistics.median(ours[0] / empty[0] for ours, empty in pairs)
    memory = statistics.median(ours[1] / max(empty[1], 1.0) for ours, empty in pairs)
    took = statistics.median(ours[0] for ours, _ in pairs)
    print(f"{name:<52} {took * 1000:6.0f} ms  {ratio:5.2f} x an empty app   memory {memory:4.2f} x")


def command_row(name: str, argv: list[str], runs: int, before: Callable[[], None] | None = None) -> None:
    """Print the median ratio to `python -c pass`, taken in turn with it."""
    pairs = []
    for _ in range(runs):
        if before is not None:
            before()
        pairs.append((_wall(argv), _wall([sys.executable, "-c", "pass"])))
    took = statistics.median(ours for ours, _ in pairs)
    print(f"{name:<52} {took * 1000:6.0f} ms  {statistics.median(a / b for a, b in pairs):5.2f} x bare Python")


def _wall(argv: list[str]) -> float:
    began = time.perf_counter()
    subprocess.run(argv, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)
    return time.perf_counter() - began


async def key_row(cellar: Path) -> None:
    """A reading typed and entered, until the screen shows it; the vessel's own forecast after that."""

    from fermtui.cellar.store import CellarStore
    from fermtui.daybook.places import open_cellar
    from fermtui.tui.app import Fermtui
    from fermtui.tui.session import Session

    now = datetime(2026, 3, 18, 18, tzinfo=UTC)

    def opens() -> Session:
        store = CellarStore(open_cellar(cellar), lambda: now)
        return Session(store, lambda: now.astimezone(store.settings.zone))

    app = Fermtui(opens)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause(1.5)
        app.open_vessel("damson")
        await pilot.pause(0.3)
        await pilot.press("r", *(["1", "full_stop", "0", "7", "8"]))
        await pilot.pause(0.3)
        line = app.screen
        began = time.perf_counter()
        await line.query_one("#foot-input", Input).action_submit()
        while app.screen is line:
            await asyncio.sleep(0.001)
        shown = time.perf_counter() - began
        while app.session.store.without_forecast():
            await asyncio.sleep(0.002)
        answers = time.perf_counter() - began
    print(f"{'Enter on a reading to the screen that shows it':<52} {shown * 1000:6.0f} ms")
    print(f"{'.. and to its own forecast':<52} {answers * 1000:6.0f} ms")


def make(folder: Path, vessels: int, entries: int, past: int) -> None:
    """A cellar by make_cellar.py."""
    argv = [sys.executable, str(HERE.with_name("make_cellar.py")), str(folder), "--vessels", str(vessels)]
    argv += ["--entries", str(entries), "--past", str(past), "--today", ON]
    subprocess.run(argv, check=True, stdout=subprocess.DEVNULL)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=7)
    parser.add_argument("--quick", action="store_true", help="leave the cellar of 1,000 vessels out")
    asked = parser.parse_args()
    # What an install has: byte code. Without it a run after an edit would measure the compiler.
    package = Path(fermtui.__file__).parent
    subprocess.run([sys.executable, "-m", "compileall", "-q", str(package)], check=True)
    with tempfile.TemporaryDirectory() as place:
        root = Path(place)
        cache = root / "cache"
        os.environ["FERMTUI_CACHE"] = str(cache)

        def cold() -> None:
            shutil.rmtree(cache, ignore_errors=True)

        sample = root / "sample"
        shutil.copytree(HERE.parents[2] / "sample_cellar", sample)
        opened = [*FERMTUI, "--cellar", str(sample), "--on", "2026-03-18"]
        screen_row("sample cellar, cache deleted", opened, "Damson", asked.runs, cold)
        painted(opened, "Damson", linger_s=5.0)
        screen_row("sample cellar, warm", opened, "Damson", asked.runs)
        forty = root / "forty"
        make(forty, 40, 60, 0)
        due = [*FERMTUI, "--cellar", str(forty), "due", "--on", ON]
        command_row("due, 40 vessels x 60 entries, cache deleted", due, 3, cold)
        _wall(due)
        command_row("due, 40 vessels x 60 entries, warm", due, asked.runs)
        command_row("bench correct", [*FERMTUI, "bench", "correct", "--gravity", "1.042", "--temp", "25C"], asked.runs)
        sulfite = ["bench", "sulfite", "--volume", "4L", "--ph", "3.4", "--abv", "12"]
        command_row("bench sulfite", [*FERMTUI, *sulfite], asked.runs)
        if not asked.quick:
            thousand = root / "thousand"
            make(thousand, 1000, 100, 900)
            opened = [*FERMTUI, "--cellar", str(thousand), "--on", ON]
            screen_row("1,000 vessels, 900 past, cache deleted", opened, "atch-09", 3, cold)
            painted(opened, "atch-09", linger_s=12.0)
            screen_row("1,000 vessels, 900 past, warm", opened, "atch-09", asked.runs)
        asyncio.run(key_row(sample))


if __name__ == "__main__":
    main()
