"""Imports run one way: a room knows the rooms below it and none above."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import fermtui

PACKAGE = Path(fermtui.__file__).parent
ROOMS = (
    "must", "clock", "units", "daybook", "sync", "replay", "forecast", "schedule", "cellar", "wording", "writing",
    "explain", "bench", "reports", "tui", "cli",
)  # fmt: skip
RANK = {room: rank for rank, room in enumerate(ROOMS)}


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imported_rooms(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
            names = [node.module] if node.module != "fermtui" else [f"fermtui.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        else:
            continue
        found |= {name.split(".")[1] for name in names if name.startswith("fermtui.")}
    return found & set(RANK)


FILES = [path for path in sorted(PACKAGE.rglob("*.py")) if room_of(path) not in ("__init__", "__main__")]


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_imports_run_one_way(path: Path) -> None:
    here = RANK[room_of(path)]
    assert {room for room in imported_rooms(path) if RANK[room] > here} == set()


BELOW = ("must", "daybook", "sync", "replay", "forecast", "schedule", "cellar", "wording", "writing")


@pytest.mark.parametrize("path", [path for path in FILES if room_of(path) in BELOW])
def test_nothing_below_the_faces_asks_the_time(path: Path) -> None:
    text = path.read_text("utf-8")
    assert "datetime.now(" not in text
    assert "date.today(" not in text
    assert "time.time(" not in text


def test_files_stay_small() -> None:
    assert {str(p): n for p in FILES if (n := len(p.read_text("utf-8").splitlines())) > 400} == {}


@pytest.mark.parametrize("command", ["due", "show", "check"])
def test_a_plain_command_does_not_load_textual(command: str, tmp_path: Path) -> None:
    cellar = tmp_path / "cellar"
    (cellar / "vessels" / "damson").mkdir(parents=True)
    (cellar / "vessels" / "damson" / "vessel.toml").write_text('name = "Damson"\n')
    code = (
        "import sys; from fermtui.cli.main import run; "
        f"status = run([{command!r}, '--cellar', {str(cellar)!r}]); "
        "sys.exit(status or ('textual' in sys.modules) * 9 or ('rich' in sys.modules) * 8)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
