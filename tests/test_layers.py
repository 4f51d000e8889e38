"""Imports run one way, those for types alone included: a room knows the rooms below it and none above."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections import Counter
from collections.abc import Mapping, Set
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

import fermtui

PACKAGE = Path(fermtui.__file__).parent
ROOMS = (
    "must", "clock", "units", "daybook", "sync", "replay", "forecast", "schedule", "cellar", "wording", "writing",
    "explain", "bench", "reports", "tui", "cli",
)  # fmt: skip
RANK = {room: rank for rank, room in enumerate(ROOMS)}


HIDDEN_AT_MOST = 50
LOOSE = {"__init__.py", "__main__.py", "clock.py", "units.py"}


class Import(NamedTuple):
    """One module of our own that another imports: at its top or hidden in a function. Type-only ones count as well."""

    importer: str
    imported: str
    hidden: bool


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def name_of(path: Path) -> str:
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


EVERY = sorted(PACKAGE.rglob("*.py"))
MODULES = {name_of(path): path for path in EVERY}
FILES = [path for path in EVERY if room_of(path) not in ("__init__", "__main__")]


def known(name: str) -> str:
    """The module of our own that a dotted name lies in; empty if none."""
    while name and name not in MODULES:
        name = name.rpartition(".")[0]
    return name


def imported_names(node: ast.AST) -> list[str]:
    if isinstance(node, ast.ImportFrom):
        assert node.level == 0, "imports are absolute"
        return [f"{node.module}.{alias.name}" for alias in node.names]
    return [alias.name for alias in node.names] if isinstance(node, ast.Import) else []


@cache
def imports_of(module: str) -> frozenset[Import]:
    """Every import of our own in a module."""
    found: set[Import] = set()

    def visit(node: ast.AST, *, hidden: bool) -> None:
        for child in ast.iter_child_nodes(node):
            for name in imported_names(child):
                if (own := known(name)) not in ("", module):
                    found.add(Import(module, own, hidden))
            visit(child, hidden=hidden or isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda))

    visit(ast.parse(MODULES[module].read_text("utf-8")), hidden=False)
    return frozenset(found)


def all_imports() -> list[Import]:
    return sorted({one for module in MODULES for one in imports_of(module)})


def room_in(module: str) -> str:
    return module.split(".")[1] if "." in module else ""


def circles(graph: Mapping[str, Set[str]]) -> list[list[str]]:
    """The sets of nodes that reach each other; the graph says which nodes each one leads to."""

    def reached(start: str) -> set[str]:
        seen: set[str] = set()
        ahead = list(graph.get(start, ()))
        while ahead:
            if (node := ahead.pop()) not in seen:
                seen.add(node)
                ahead += graph.get(node, ())
        return seen

    reach = {node: reached(node) for node in graph}
    rings = {frozenset(b for b in reach[a] if a in reach.get(b, ())) for a in graph if a in reach[a]}
    return sorted(sorted(ring) for ring in rings)


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_imports_run_one_way(path: Path) -> None:
    here = RANK[room_of(path)]
    rooms = {room_in(one.imported) for one in imports_of(name_of(path))}
    assert {room for room in rooms if RANK.get(room, -1) > here} == set()


def test_a_circle_is_found() -> None:
    assert circles({"a": {"b"}, "b": {"c"}, "c": {"a"}, "d": {"a"}, "e": set()}) == [["a", "b", "c"]]
    assert circles({"a": {"b", "c"}, "b": {"c"}, "c": set()}) == []


def test_no_files_import_each_other_in_a_circle() -> None:
    graph: dict[str, set[str]] = {module: set() for module in MODULES}
    for one in all_imports():
        graph[one.importer].add(one.imported)
    assert circles(graph) == []


def test_no_rooms_import_each_other_in_a_circle() -> None:
    graph: dict[str, set[str]] = {room: set() for room in ROOMS}
    for one in all_imports():
        importer, imported = room_in(one.importer), room_in(one.imported)
        if importer in graph and imported in graph and importer != imported:
            graph[importer].add(imported)
    assert circles(graph) == []


def test_every_file_stands_in_a_room() -> None:
    assert {path.name for path in PACKAGE.glob("*.py")} <= LOOSE
    rooms = {path.parent.name for path in PACKAGE.glob("*/*.py")}
    assert rooms == set(ROOMS) - {name.removesuffix(".py") for name in LOOSE}


def test_few_imports_hide_in_functions() -> None:
    hidden = [one for one in all_imports() if one.hidden]
    assert len(hidden) <= HIDDEN_AT_MOST, hidden


def test_no_module_name_is_used_three_times() -> None:
    names = Counter(path.stem for path in FILES if path.stem != "__init__")
    assert {name: count for name, count in names.items() if count > 2} == {}


def test_files_stay_small() -> None:
    assert {str(p): n for p in FILES if (n := len(p.read_text("utf-8").splitlines())) > 400} == {}


BELOW = ("must", "daybook", "sync", "replay", "forecast", "schedule", "cellar", "wording", "writing")


@pytest.mark.parametrize("path", [path for path in FILES if room_of(path) in BELOW])
def test_nothing_below_the_faces_asks_the_time(path: Path) -> None:
    text = path.read_text("utf-8")
    assert "datetime.now(" not in text
    assert "date.today(" not in text
    assert "time.time(" not in text


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


def test_one_command_alone_opens_the_screens() -> None:
    faces = [name for name in MODULES if name.split(".")[1:2] in (["cli"], ["reports"])]
    opens = {name for name in faces for one in imports_of(name) if one.imported.startswith("fermtui.tui")}
    assert opens == {"fermtui.cli.open_screens"}
