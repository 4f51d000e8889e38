"""The maker's own git, run so that it never asks anything and never hangs."""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import tempfile
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from threading import Thread
from time import monotonic
from typing import IO, NamedTuple

TIMEOUT_S = 120.0  # of a command that stays on this computer
SILENT_S = 1.0


class NotSynced(Exception):
    """Git could not do it; the text is one sentence (part of it may be git's own words).

    `status` is that of the git command, None where there is none.
    """

    def __init__(self, sentence: str, status: int | None = None) -> None:
        super().__init__(sentence)
        self.status = status


class NoAnswer(NotSynced):
    """The other side said nothing for too long."""


class Blob(NamedTuple):
    """One file of a commit: git's mode and the name of its content."""

    mode: str
    sha: str


Tree = Mapping[str, Blob]


class Git(NamedTuple):
    """A repository; its methods run one git command each and raise NotSynced when it fails.

    `off` are the settings that keep git from running anything but itself and ssh: hooks, a watcher, filters.
    """

    path: Path
    ssh: str = "ssh"
    off: tuple[str, ...] = ("commit.gpgsign=false", f"core.hooksPath={os.devnull}", "core.fsmonitor=false")

    def ask(self, *words: str, data: bytes | None = None, **more: str) -> bytes:
        """The output of a git command; `data` goes to its input, `more` into its environment."""
        status, out, err = self._run(words, data, more)
        if status != 0:
            raise NotSynced(f"git {words[0]} failed: {_last_words(err)}", status)
        return out

    def say(self, *words: str) -> str | None:
        """The output of a git command as one word or line; None when it fails, which is an answer too."""
        status, out, _ = self._run(words, None, {})
        return out.decode("utf-8", "replace").strip() if status == 0 else None

    def exchange(
        self, *words: str, wait_s: float, waits: Callable[[], None], stopped: Callable[[], bool] = lambda: False
    ) -> None:
        """Run a command that talks to the other side; `waits` is called once where it takes longer than a second, and
        `stopped` is asked now and then whether to give it up.

        Raises NotSynced when it fails, and NoAnswer when nothing was heard for `wait_s` seconds.
        """
        started = self._start(("--no-pager", *words, "--progress"), {}, subprocess.DEVNULL)
        heard: list[bytes] = []
        last = [monotonic()]
        ear = Thread(target=_listen, args=(started.stderr, heard, last), daemon=True)
        ear.start()
        try:
            told = False
            while started.poll() is None:
                silent_s = monotonic() - last[0]
                if silent_s > wait_s:
                    raise NoAnswer(f"no answer within {wait_s:g} seconds")
                if stopped():
                    raise NotSynced(f"git {words[0]} was given up")
                if silent_s > SILENT_S and not told:
                    told = True
                    waits()
                with contextlib.suppress(subprocess.TimeoutExpired):
                    started.wait(0.02)
        finally:
            _end(started)
            ear.join(1.0)
            if started.stderr is not None:
                started.stderr.close()
        if started.returncode != 0:
            raise NotSynced(f"git {words[0]} failed: {_last_words(b''.join(heard))}", started.returncode)

    def _run(self, words: tuple[str, ...], data: bytes | None, more: dict[str, str]) -> tuple[int, bytes, bytes]:
        started = self._start(words, more, subprocess.PIPE)
        try:
            out, err = started.communicate(data or b"", TIMEOUT_S)
        except subprocess.TimeoutExpired:
            raise NotSynced(f"git {words[0]} took longer than {TIMEOUT_S:g} seconds and was ended") from None
        finally:
            _end(started)
        return started.returncode, out, err

    def _start(self, words: tuple[str, ...], more: dict[str, str], stream: int) -> subprocess.Popen[bytes]:
        """Start a command in a process group of its own, so that what it starts can be ended with it."""
        settings = [part for setting in self.off for part in ("-c", setting)]
        try:
            return subprocess.Popen(
                ["git", *settings, *words],
                cwd=self.path,
                env=_silent(self.ssh) | more,
                stdin=stream,
                stdout=stream,
                stderr=subprocess.PIPE,
                start_new_session=True,
            )
        except FileNotFoundError:
            raise NotSynced("git is not installed, or the cellar is gone") from None
        except OSError as fault:
            raise NotSynced(f"git cannot be run: {fault.strerror}") from None

    def tree(self, commit: str) -> dict[str, Blob]:
        """All files of a commit by their path."""
        files = {}
        for record in self.ask("ls-tree", "-r", "-z", commit).split(b"\0")[:-1]:
            about, _, path = record.partition(b"\t")
            mode, _, sha = about.decode().split()
            files[os.fsdecode(path)] = Blob(mode, sha)
        return files

    def read(self, blob: Blob | None) -> bytes:
        """The content of a file; nothing for None."""
        return b"" if blob is None else self.ask("cat-file", "blob", blob.sha)

    def read_all(self, names: Iterable[str]) -> dict[str, bytes]:
        """The contents of these names, in one call."""
        wanted = sorted({*names})
        if not wanted:
            return {}
        told = self.ask("cat-file", "--batch", data="".join(f"{name}\n" for name in wanted).encode())
        found: dict[str, bytes] = {}
        at = 0
        for name in wanted:  # a line that ends in the size, then the content and a line end
            start = told.index(b"\n", at) + 1
            at = start + int(told[at:start].split()[-1]) + 1
            found[name] = told[start : at - 1]
        return found

    def store(self, data: bytes) -> str:
        """Keep a content and give its name."""
        return self.ask("hash-object", "-w", "--stdin", data=data).decode().strip()

    def merge_text(self, base: bytes, ours: bytes, theirs: bytes) -> bytes | None:
        """The three texts merged line by line, or None where both sides changed the same place."""
        with tempfile.TemporaryDirectory() as folder:
            for name, data in (("ours", ours), ("base", base), ("theirs", theirs)):
                Path(folder, name).write_bytes(data)
            paths = [f"{folder}/{name}" for name in ("ours", "base", "theirs")]
            status, out, _ = self._run(("merge-file", "-p", *paths), None, {})
        return out if status == 0 else None

    def write_tree(self, files: Tree) -> str:
        """The name of a tree that holds exactly these files."""
        listed = [f"{blob.mode} {blob.sha}\t".encode() + os.fsencode(path) for path, blob in files.items()]
        lines = b"".join(line + b"\0" for line in listed)
        with tempfile.TemporaryDirectory() as folder:
            index = f"{folder}/index"
            self.ask("update-index", "-z", "--index-info", data=lines, GIT_INDEX_FILE=index)
            return self.ask("write-tree", GIT_INDEX_FILE=index).decode().strip()


def open_git(path: Path) -> Git:
    """The repository of this folder, with the maker's own way of calling ssh; whatever filters there are do nothing."""
    given = os.environ.get("GIT_SSH_COMMAND") or Git(path).say("config", "core.sshCommand")
    named = (Git(path).say("config", "--name-only", "--get-regexp", r"^filter\.") or "").splitlines()
    filters = sorted({name.rpartition(".")[0] for name in named})
    none = [f"{one}.{what}" for one in filters for what in ("clean=", "smudge=", "process=", "required=false")]
    return Git(path, given or "ssh", (*Git(path).off, *none))


def _listen(stream: IO[bytes] | None, heard: list[bytes], last: list[float]) -> None:
    """Keep what comes from a stream, and when the last of it came."""
    with contextlib.suppress(OSError, ValueError):  # closed, where what it was is ended
        while stream is not None and (part := os.read(stream.fileno(), 4096)):
            heard.append(part)
            last[0] = monotonic()


def _end(started: subprocess.Popen[bytes]) -> None:
    """End a command with all that it started (an ssh that waits for ever), where it still runs."""
    if started.poll() is None:
        with contextlib.suppress(OSError):
            if os.name == "nt":
                started.kill()
            else:
                os.killpg(started.pid, signal.SIGKILL)
        started.wait()


def _silent(ssh: str) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("GIT_") or name in _MAKERS_OWN}
    return kept | {
        "GIT_TERMINAL_PROMPT": "0",
        "GIT_ASKPASS": "true",
        "SSH_ASKPASS_REQUIRE": "never",
        "GCM_INTERACTIVE": "never",
        "GIT_SSH_COMMAND": f"{ssh} -o BatchMode=yes",
        "GIT_EDITOR": "true",
        "LC_ALL": "C",
    }


_MAKERS_OWN = {
    "GIT_CONFIG_GLOBAL", "GIT_CONFIG_SYSTEM", "GIT_CONFIG_NOSYSTEM", "GIT_EXEC_PATH",
    "GIT_AUTHOR_NAME", "GIT_AUTHOR_EMAIL", "GIT_COMMITTER_NAME", "GIT_COMMITTER_EMAIL",
}  # fmt: skip


def _last_words(stderr: bytes) -> str:
    if b"tell me who you are" in stderr:
        return "it does not know your name: run git config user.name and git config user.email in the cellar"
    lines = [line.strip() for line in stderr.decode("utf-8", "replace").splitlines() if line.strip()]
    telling = [line for line in lines if line.startswith(("fatal:", "error:"))] or lines[-1:] or ["it gave no reason"]
    return telling[0].removeprefix("fatal: ").removeprefix("error: ")[:200]
