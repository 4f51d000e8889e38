"""A cache that someone edited, checksum and all, is as good as none: no command fails, and all answers are the same."""

from __future__ import annotations

import json
import random
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from fermtui.cellar import cache as caching
from fermtui.cli.main import run
from fermtui.writing.sample import sample_path

pytestmark = pytest.mark.slow

ON = "2026-03-18T19:00"
COMMANDS = (
    "due", "due --json", "show", "show --json", "show damson --json", "show sour-cherry", "needs", "calendar", "check",
    "record quince", "record raspberry --markdown", "schedule", "compare quince ginger-spark", "export",
)  # fmt: skip
ROUNDS = 6
Ask = Callable[[Path], list[tuple[int, str, str]]]


@pytest.fixture
def ask(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Ask:
    def asked(cache: Path) -> list[tuple[int, str, str]]:
        monkeypatch.setenv("FERMTUI_CACHE", str(cache))
        answers = []
        for command in COMMANDS:
            status = run(["--cellar", str(sample_path()), "--on", ON, *command.split()])
            answers.append((status, *capsys.readouterr()))
        return answers

    return asked


def places(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    yield path
    if isinstance(value, list | dict):
        for at in value if isinstance(value, dict) else range(len(value)):
            yield from places(value[at], (*path, at))


def another(value: Any, chance: random.Random) -> Any:
    """A value of another sort than this one, and of none that could stand in its place."""
    wrong: list[Any] = [{"x": [1]}] if isinstance(value, list) else [[[7]]]
    if isinstance(value, float | list | dict):
        wrong.append("x")
    if isinstance(value, str | list | dict):
        wrong.append(5)
    if value is not None and not isinstance(value, dict):
        wrong.append({"x": 1})
    return chance.choice(wrong)


def mutated(value: Any, chance: random.Random) -> Any:
    """The value with one part of another sort, at a depth that is as likely as any other."""
    if isinstance(value, str) and value[:1] in ("{", "[") and chance.random() < 0.8:  # JSON within JSON
        return json.dumps(mutated(json.loads(value), chance))
    paths = list(places(value))
    depth = chance.randrange(max(map(len, paths)) + 1)
    path = chance.choice([one for one in paths if len(one) == depth])
    if not path:
        return another(value, chance)
    part = value
    for at in path[:-1]:
        part = part[at]
    inner = part[path[-1]]
    nested = isinstance(inner, str) and inner[:1] in ("{", "[")
    part[path[-1]] = mutated(inner, chance) if nested else another(inner, chance)
    return value


def spoil(path: Path, chance: random.Random) -> int:
    """Change every value of a file of the cache, and its checksum with them; how many there are."""
    lines = [line.split(b" ", 1) for line in path.read_bytes().split(b"\n")[1:] if line]
    spoiled = [key + b" " + json.dumps(mutated(json.loads(text), chance)).encode() + b"\n" for key, text in lines]
    data = b"".join(spoiled)
    path.write_bytes(caching._first_line(data) + data)  # noqa: SLF001 - the checksum shall be right
    return len(spoiled)


def test_wrong_shapes_are_misses(ask: Ask, tmp_path: Path) -> None:
    cold = ask(tmp_path / "cold")
    assert {status for status, _, _ in cold} == {0}
    assert ask(tmp_path / "cold") == cold
    chance = random.Random(10)
    for _ in range(ROUNDS):
        files = list((tmp_path / "cold").iterdir())
        assert len(files) == 2
        assert sum(spoil(path, chance) for path in files) > 30
        assert ask(tmp_path / "cold") == cold
