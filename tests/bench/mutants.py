"""Plant one small fault after the other in a room, and list those that no test of the room finds.

    python tests/bench/mutants.py ROOM ... [--many 40] [--seed 1] [--only FILE] [--tests PATH ...]
                                  [--fast] [--minutes 60]

    nice python tests/bench/mutants.py must replay schedule/guards schedule/amounts.py --many 100 --fast
    is the round over what the numbers hang on.

ROOM is a room, a folder or a file of the package; several share `--many` in equal parts.

A mutant changes one constant, comparison, sum, `and`/`or`, `not`, or drops one member of a set. Each is planted in a
copy of the project, and the tests of the room run there (of must and replay tests/published too); `--tests` names
others, `--fast` leaves out those marked slow, `--minutes` ends the round early and says so. It prints a row a mutant
and ends with the survivors. A survivor is a missing test or a change
that makes no difference; only a look can tell."""

from __future__ import annotations

import argparse
import ast
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
COMPARISONS: dict[type[ast.cmpop], str] = {
    ast.Lt: "<=", ast.LtE: "<", ast.Gt: ">=", ast.GtE: ">", ast.Eq: "!=", ast.NotEq: "==", ast.In: "not in",
    ast.NotIn: "in", ast.Is: "is not", ast.IsNot: "is",
}  # fmt: skip
SUMS: dict[type[ast.operator], tuple[str, str]] = {
    ast.Add: ("+", "-"), ast.Sub: ("-", "+"), ast.Mult: ("*", "/"), ast.Div: ("/", "*"),
}  # fmt: skip
TIMEOUT_S = 180


class Mutant(NamedTuple):
    """The bytes from `start` to `end` of a file, and what stands there instead."""

    path: Path
    line: int
    start: int
    end: int
    new: str

    def planted(self) -> bytes:
        source = self.path.read_bytes()
        return source[: self.start] + self.new.encode() + source[self.end :]

    def __str__(self) -> str:
        old = self.path.read_bytes()[self.start : self.end].decode()
        return f"{self.path}:{self.line}: {' '.join(old.split())} -> {' '.join(self.new.split())}"


def mutants_of(path: Path) -> list[Mutant]:
    """Return every mutant of a file, without annotations, docstrings and imports."""
    source = path.read_bytes()
    starts = [0]
    for line in source.split(b"\n"):
        starts.append(starts[-1] + len(line) + 1)

    def begin(node: ast.expr) -> int:
        return starts[node.lineno - 1] + node.col_offset

    def end(node: ast.expr) -> int:
        return starts[(node.end_lineno or node.lineno) - 1] + (node.end_col_offset or 0)

    found: list[Mutant] = []
    for node in _nodes(ast.parse(source)):
        if isinstance(node, ast.expr):
            found += [Mutant(path, node.lineno, begin(node), end(node), new) for new in _replacements(node)]
    return found


def _nodes(tree: ast.AST) -> Iterator[ast.AST]:
    for name, value in ast.iter_fields(tree):
        if name in ("annotation", "returns", "decorator_list"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST) and not isinstance(child, ast.JoinedStr):
                yield child
                yield from _nodes(child)


def _replacements(node: ast.expr) -> Iterator[str]:
    match node:
        case ast.Constant(value=bool(value)):
            yield str(not value)
        case ast.Constant(value=int(value)):
            yield str(value + 1)
        case ast.Constant(value=float(value)):
            yield repr(value * 1.25 if value else 1.0)
        case ast.Compare(left=left, ops=[op], comparators=[right]):
            yield f"({ast.unparse(left)} {COMPARISONS[type(op)]} {ast.unparse(right)})"
        case ast.BoolOp(op=op, values=values):
            word = " or " if isinstance(op, ast.And) else " and "
            yield "(" + word.join(f"({ast.unparse(value)})" for value in values) + ")"
        case ast.BinOp(left=left, op=op, right=right) if type(op) in SUMS:
            yield f"(({ast.unparse(left)}) {SUMS[type(op)][1]} ({ast.unparse(right)}))"
        case ast.UnaryOp(op=ast.Not(), operand=operand):
            yield f"bool({ast.unparse(operand)})"
        case ast.Set(elts=members) if len(members) > 1:
            for left_out in range(len(members)):
                yield "{" + ", ".join(ast.unparse(m) for at, m in enumerate(members) if at != left_out) + "}"


def run_tests(project: Path, tests: list[str], *, fast: bool) -> bool:
    """Run the tests in that copy of the project; True if all pass. One that hangs counts as a failure."""
    words = [sys.executable, "-m", "pytest", "-x", "-q", "-n", "0", "-p", "no:cacheprovider", *tests]
    words += ["-m", "not slow"] if fast else []
    environment = {**os.environ, "PYTHONDONTWRITEBYTECODE": ""}
    try:
        done = subprocess.run(words, cwd=project, env=environment, capture_output=True, timeout=TIMEOUT_S, check=False)
    except subprocess.TimeoutExpired:
        return False
    return done.returncode == 0


def copy_project(target: Path) -> None:
    for name in ("fermtui", "tests", "sample_cellar"):
        shutil.copytree(ROOT / name, target / name, ignore=shutil.ignore_patterns("__pycache__", "out"))
    for name in ("pyproject.toml", "README.md", "DEVELOPERS.md"):
        shutil.copy(ROOT / name, target / name)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("rooms", nargs="+", metavar="room")
    parser.add_argument("--many", type=int, default=40)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="*.py", help="files of the room, as a pattern")
    parser.add_argument("--tests", nargs="+")
    parser.add_argument("--fast", action="store_true")
    parser.add_argument("--minutes", type=float, default=600.0)
    args = parser.parse_args()
    ends_at = time.monotonic() + 60.0 * args.minutes
    survivors: list[str] = []
    planted = could_be = 0
    with tempfile.TemporaryDirectory() as name:
        project = Path(name)
        copy_project(project)
        every: list[tuple[Mutant, list[str]]] = []
        for room in args.rooms:
            tests = args.tests or tests_of(room)
            if not run_tests(project, tests, fast=args.fast):
                print(f"the tests of {room} fail without any mutant", file=sys.stderr)
                return 1
            at = project / "fermtui" / room
            files = [at] if at.is_file() else sorted(at.rglob(args.only))
            found = [mutant for path in files for mutant in mutants_of(path)]
            could_be += len(found)
            part = min(-(-args.many // len(args.rooms)), len(found))
            every += [(mutant, tests) for mutant in random.Random(args.seed).sample(found, part)]
        random.Random(args.seed).shuffle(every)  # a round that is cut short has seen something of each room
        for mutant, tests in every[: args.many]:
            if time.monotonic() > ends_at:
                print(f"cut short after {args.minutes:g} minutes")
                break
            words, sound = str(mutant).removeprefix(f"{project}/"), mutant.path.read_bytes()
            mutant.path.write_bytes(mutant.planted())
            alive = run_tests(project, tests, fast=args.fast)
            mutant.path.write_bytes(sound)
            planted += 1
            survivors += [words] if alive else []
            print("survived" if alive else "found   ", words, flush=True)
    print(f"\n{len(survivors)} of {planted} survived (of {could_be} that could be made)", *survivors, sep="\n")
    return 0


def tests_of(room: str) -> list[str]:
    """The tests of a room, a folder of one, or a file; of what is computed also those against the outside world."""
    if room.endswith(".py"):
        folder, _, name = room.rpartition("/")
        return [f"tests/{folder}/test_{name}"]
    return [f"tests/{room}", *(["tests/published"] if room in ("must", "replay") else [])]


if __name__ == "__main__":
    raise SystemExit(main())
