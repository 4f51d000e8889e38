"""The program on a real terminal: a pty of 100 x 30 cells."""

from __future__ import annotations

import os
import select
import struct
import sys
import time

PATIENCE_S = 30.0


class Terminal:
    """One program in a pty of 100 x 30 cells."""

    def __init__(self, *words: str, **env: str) -> None:
        import fcntl
        import pty
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

    def alive(self) -> bool:
        """Whether it has not ended yet; it is not waited for."""
        return os.waitid(os.P_PID, self.pid, os.WEXITED | os.WNOHANG | os.WNOWAIT) is None

    def hear(self) -> None:
        """Take in what it has written."""
        self._read()

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
