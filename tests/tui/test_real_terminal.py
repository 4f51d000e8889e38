"""The program on a real terminal (a pty): it opens, shows its first screen, obeys a key and gives the terminal back."""

from __future__ import annotations

import os
import select
import struct
import sys
import time
from pathlib import Path

import pytest

pty = pytest.importorskip("pty")  # not on Windows
PATIENCE_S = 30.0


class Terminal:
    """One program in a pty of 100 x 30 cells."""

    def __init__(self, *words: str, **env: str) -> None:
        import fcntl
        import termios

        self.seen = b""
        argv = [sys.executable, "-m", "fermtui", *words]
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.execvpe(argv[0], argv, {**os.environ, "TERM": "xterm-256color", **env})
        fcntl.ioctl(self.fd, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 100, 0, 0))

    def wait_for(self, text: str) -> None:
        end = time.monotonic() + PATIENCE_S
        while text.encode() not in self.seen:
            assert time.monotonic() < end, f"{text!r} never came; last: {self.seen[-300:]!r}"
            if not self._read():
                break
        assert text.encode() in self.seen

    def press(self, keys: str) -> None:
        self.seen = b""
        os.write(self.fd, keys.encode())

    def left(self) -> int:
        """The exit status, once it has left."""
        end = time.monotonic() + PATIENCE_S
        while time.monotonic() < end and self._read():
            pass
        _, status = os.waitpid(self.pid, 0)
        os.close(self.fd)
        return os.waitstatus_to_exitcode(status)

    def _read(self) -> bool:
        if not select.select([self.fd], [], [], 0.1)[0]:
            return True
        try:
            data = os.read(self.fd, 65536)
        except OSError:
            return False
        self.seen += data
        return bool(data)


@pytest.fixture
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "cache"))
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    return tmp_path


def test_the_demo_opens_and_closes(elsewhere: Path) -> None:
    terminal = Terminal("demo", str(elsewhere / "demo"))
    terminal.wait_for("Damson")
    terminal.wait_for("quit")
    terminal.press("q")
    assert terminal.left() == 0
    assert (elsewhere / "demo" / "vessels" / "damson" / "daybook.toml").is_file()


def test_a_missing_cellar_is_offered_and_nothing_is_written_before_the_answer(elsewhere: Path) -> None:
    terminal = Terminal("--cellar", str(elsewhere / "none"))
    terminal.wait_for("look at the demo")
    assert not (elsewhere / "none").exists()
    terminal.press("q")
    assert terminal.left() == 1
    assert not (elsewhere / "none").exists()


def test_a_missing_cellar_can_be_started_from_the_offer(elsewhere: Path) -> None:
    terminal = Terminal("--cellar", str(elsewhere / "mine"))
    terminal.wait_for("start an empty cellar")
    terminal.press("s")
    terminal.wait_for("new vessel")
    assert (elsewhere / "mine" / "cellar.toml").is_file()
    assert (elsewhere / "mine" / ".gitattributes").read_text() == "daybook.toml text eol=lf merge=union\n"
    terminal.press("q")
    assert terminal.left() == 0


def test_a_dumb_terminal_gets_the_plain_list(elsewhere: Path) -> None:
    terminal = Terminal("demo", str(elsewhere / "demo"), TERM="dumb")
    terminal.wait_for("dose 2 of 3")
    assert terminal.left() == 0
    assert b"\x1b" not in terminal.seen


def test_a_folder_that_is_not_empty_is_no_place_for_a_demo(elsewhere: Path) -> None:
    (elsewhere / "something").mkdir()
    terminal = Terminal("demo", str(elsewhere))
    terminal.wait_for("is not empty")
    assert terminal.left() == 1
