"""The signal table: each signal that ends a program, on each screen, with the terminal looked at afterwards.

python tests/bench/soak_signals.py
"""

from __future__ import annotations

import os
import shutil
import signal
import sys
import tempfile
import termios
import time
from pathlib import Path

sys.path.insert(0, os.fspath(Path(__file__).parents[1] / "lib"))
from terminal import Terminal

SIGNALS = ("SIGTERM", "SIGHUP", "SIGQUIT", "SIGINT")
STATES = {
    "shelf": ("", "quit", ""),
    "vessel": ("\t\r", "back", ""),
    "note": ("n", "goes into the daybook", "smells of roses"),
    "help": ("?", "keys", ""),
}
GIVEN_BACK = (b"\x1b[?1049l", b"\x1b[?25h")
HEAD = 'name = "Damson"\nschedule = "two-doses"\n[plan]\nvolume_l = 4.0\ngravity = 1.095\n'
BOOK = 'k1 = { at = 2026-03-01T18:30:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1200 }\n'


def run(folder: Path, signals: tuple[str, ...] = SIGNALS, states: tuple[str, ...] = tuple(STATES)) -> list[str]:
    """A line for each signal and screen. Raises AssertionError where the terminal or what was typed is lost."""
    table = []
    for name in signals:
        for state in states:
            place = folder / f"{name}-{state}"
            vessel = place / "cellar/vessels/damson"
            vessel.mkdir(parents=True)
            (vessel / "vessel.toml").write_text(HEAD)
            (vessel / "daybook.toml").write_text(BOOK)
            keys, wait_for, typed = STATES[state]
            terminal = Terminal("--cellar", str(place / "cellar"), FERMTUI_CACHE=str(place / "cache"))
            before = termios.tcgetattr(terminal.fd)
            terminal.wait_for("Damson")
            terminal.wait_for("quit")
            time.sleep(0.8)  # the engine is loaded after the first picture
            if keys:
                terminal.press(keys)
                terminal.wait_for(wait_for)
            if typed:
                for letter in typed:  # each is drawn where it belongs before the next one
                    terminal.press(letter)
                    terminal.wait_for(letter)
            terminal.seen = b""
            os.kill(terminal.pid, getattr(signal, name))
            started = time.monotonic()
            after = None
            while terminal.alive():
                terminal.hear()
                after = termios.tcgetattr(terminal.fd)
                assert time.monotonic() - started < 10, f"{name} on {state}: it goes on"
            seconds = time.monotonic() - started
            status = terminal.left()
            assert status == 128 + getattr(signal, name), f"{name} on {state}: {status}"
            assert all(mark in terminal.seen for mark in GIVEN_BACK), f"{name} on {state}: {terminal.seen[-300:]!r}"
            assert b"Traceback" not in terminal.seen
            assert after is None or after[:4] == before[:4], f"{name} on {state}: the terminal is still raw"
            assert (vessel / "daybook.toml").read_text() == BOOK
            kept = "".join(path.read_text() for path in (place / "cache").glob("*.typed.txt"))
            assert (typed in kept) if typed else not kept, f"{name} on {state}: {kept!r}"
            table.append(f"{name:<8} {state:<8} status {status}, {seconds:.2f} s, {'typed text kept' if typed else ''}")
            shutil.rmtree(place)
    return table


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        print("\n".join(run(Path(made))))
