"""Sync with remotes that take the call and say nothing: it ends in time, says for whom it waits, leaves no process.

python tests/bench/soak_silent_remote.py [SECONDS]
"""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from fermtui.daybook.places import Cellar, create
from fermtui.sync.exchange import Patience, sync
from fermtui.sync.git import NotSynced

WHO = {
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_AUTHOR_NAME": "a maker",
    "GIT_AUTHOR_EMAIL": "maker@example.org",
    "GIT_COMMITTER_NAME": "a maker",
    "GIT_COMMITTER_EMAIL": "maker@example.org",
}


@contextmanager
def silent_port() -> Iterator[int]:
    """A port on the loopback that takes calls and answers none."""
    with socket.socket() as server:
        server.bind(("127.0.0.1", 0))
        server.listen(8)
        yield server.getsockname()[1]


def running(word: str) -> list[str]:
    """The command lines that hold a word (Linux)."""
    found = []
    for path in Path("/proc").glob("[0-9]*/cmdline"):
        try:
            line = path.read_bytes().replace(b"\0", b" ").decode("utf-8", "replace")
        except OSError:
            continue
        if word in line:
            found.append(line)
    return found


def run(folder: Path, wait_s: float) -> dict[str, float]:
    """Seconds until it gave up, for each kind of remote. Raises AssertionError."""
    os.environ |= WHO
    figures: dict[str, float] = {}
    cellar: Cellar = create(folder / "cellar", "\n")
    sleeper = folder / "sleeping-ssh"
    sleeper.write_text("#!/bin/sh\nsleep 313131\n")
    sleeper.chmod(0o755)
    subprocess.run(["git", "init", "-q", "-b", "main"], cwd=cellar.path, check=True)
    subprocess.run(["git", "remote", "add", "origin", "x"], cwd=cellar.path, check=True)
    with silent_port() as port:
        for kind, address in {
            "git": f"git://127.0.0.1:{port}/cellar.git",
            "http": f"http://127.0.0.1:{port}/cellar.git",
            "ssh": "ssh://silent.invalid/cellar.git",
        }.items():
            subprocess.run(["git", "remote", "set-url", "origin", address], cwd=cellar.path, check=True)
            os.environ["GIT_SSH_COMMAND"] = str(sleeper)
            told: list[str] = []
            started = time.monotonic()
            try:
                sync(cellar, Patience(wait_s, told.append))
            except NotSynced as fault:
                said = str(fault)
            figures[kind] = round(time.monotonic() - started, 2)
            assert "did not answer within" in said, said
            assert "origin" in said
            assert len(told) == 1, told
            assert figures[kind] < wait_s + 3.0
            time.sleep(0.1)
            assert not running("313131"), "an ssh is left"
            assert not running(address), "a git is left"
    del os.environ["GIT_SSH_COMMAND"]
    return figures


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        print(run(Path(made), float(sys.argv[1]) if len(sys.argv) > 1 else 20.0))
