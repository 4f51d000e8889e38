"""Run the commands that write on a file system with less and less room: what exits 0 is there, what exits 1 is not.

python tests/bench/soak_full_disk.py [FOLDER]

FOLDER is an empty folder where a small tmpfs can be mounted (root only); each command is run with every room from none
to enough, page by page, and again after room was made.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path

PAGE = 4096
SIZE = 256 * PAGE
ROOMS = range(9)
COMMANDS: dict[str, tuple[list[str], str]] = {
    "note": (["write", "damson", "note", "text=" + "x" * 900], "vessels/damson/daybook.toml"),
    "first note": (["write", "rowan", "note", "text=" + "x" * 900], "vessels/rowan/daybook.toml"),
    "split": (["write", "damson", "split", "into=half", "volume_l=1"], "vessels/half"),
    "start": (["start", "Linden", "--volume", "4L", "--gravity", "1.09"], "vessels/linden"),
    "put-away": (["put-away", "rowan"], "past/rowan"),
    "copy": (["schedule", "copy", "two-doses", "mine"], "schedules/mine.toml"),
    "out": (["export", "damson", "--out", "out.csv"], "out.csv"),
}
BOOK = """\
e1 = { at = 2026-01-10T10:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1200 }
e2 = { at = 2026-01-10T11:00:00+01:00, did = "pitch" }
"""


def mounted(folder: Path) -> bool:
    """Whether a small tmpfs could be mounted there."""
    words = ["mount", "-t", "tmpfs", "-o", f"size={SIZE}", "tmpfs", str(folder)]
    return shutil.which("mount") is not None and subprocess.run(words, capture_output=True, check=False).returncode == 0


def _fill(folder: Path, room: int) -> None:
    """Leave room for so many pages."""
    free = os.statvfs(folder).f_bavail - room
    with (folder / "ballast").open("wb") as file:
        file.write(b"x" * PAGE * max(0, free))


def _there(path: Path) -> bytes | None:
    return path.read_bytes() if path.is_file() else b"a folder" if path.is_dir() else None


def _run(cellar: Path, words: list[str]) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "fermtui", "--cellar", str(cellar), *words],
        capture_output=True, text=True, cwd=cellar, check=False,
    )  # fmt: skip


def run(place: Path, commands: tuple[str, ...] = tuple(COMMANDS), rooms: range = ROOMS) -> Counter[str]:
    """The figures of the commands on a small file system at `place`. Raises AssertionError."""
    figures: Counter[str] = Counter()
    for command in commands:
        for room in rooms:
            cellar = place / "cellar"
            shutil.rmtree(cellar, ignore_errors=True)
            for name in ("damson", "rowan"):
                (cellar / "vessels" / name).mkdir(parents=True)
                (cellar / "vessels" / name / "vessel.toml").write_text(f'name = "{name}"\n[plan]\nvolume_l = 4\n')
            (cellar / "vessels/damson/daybook.toml").write_text(BOOK)
            (cellar / "cellar.toml").write_text("\n")
            words, shows = COMMANDS[command]
            before = _there(cellar / shows)
            _fill(place, room)
            done = _run(cellar, words)
            now = _there(cellar / shows)
            where = f"{command} with room for {room} pages: {done.stderr}"
            assert "Traceback" not in done.stderr, where
            figures["done" if done.returncode == 0 else "refused"] += 1
            assert done.returncode in (0, 1), where
            if done.returncode == 0:
                assert now not in (before, None, b""), where
            else:
                assert now == before or (now == b"" and before is None and command == "first note"), where
                assert "the disk is full" in done.stderr, where
                assert not [path for path in cellar.rglob(".*") if path.name not in (".lock", ".gitattributes")], where
            (place / "ballast").unlink()
            if done.returncode:
                assert _run(cellar, words).returncode == 0, where
            assert _run(cellar, ["check"]).returncode == 0, where
    return figures


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        target = Path(sys.argv[1] if len(sys.argv) > 1 else made)
        os.environ["FERMTUI_CACHE"] = made + "-cache"
        if not mounted(target):
            sys.exit("no tmpfs can be mounted here: run it as root")
        try:
            print(dict(run(target)))
        finally:
            subprocess.run(["umount", str(target)], check=True)
            shutil.rmtree(made + "-cache", ignore_errors=True)
