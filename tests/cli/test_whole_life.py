"""A batch from an idea to the last bottle, by commands."""

from __future__ import annotations

import importlib.util
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.slow

_SPEC = importlib.util.spec_from_file_location("whole_life", Path(__file__).with_name("whole_life.py"))
assert _SPEC is not None
assert _SPEC.loader is not None
life: Any = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(life)

Cellar = Callable[[dict[str, str]], Path]
START = (
    "start", "Damson", "--volume", "3.2L", "--gravity", "1.095", "--capacity", life.GALLON_L, "--schedule",
    "fruit-to-bottle", "--fruit", "plum", "--mass", "1lb", "--treatment", "frozen",
)  # fmt: skip


def live_it(fermtui: Any, folder: Path) -> Path:
    """Do the whole life by commands; the daybook."""
    assert fermtui(*START, "--on", "2026-03-01T17:50:00+01:00").status == 0
    book = folder / "vessels" / "damson" / "daybook.toml"
    for number, act in enumerate(life.LIFE, start=1):
        words = ("read", "damson", act.what) if act.how == "read" else ("tick", "damson", act.what)
        ran = fermtui(*words, *(f"{name}={text}" for name, text in act.typed.items()), "--on", act.at)
        assert ran.status == 0, (act, ran.err)
        assert life.lines(book) == number
    return book


def test_the_common_practice_run(cellar: Cellar, fermtui: Any) -> None:
    folder = cellar({})
    live_it(fermtui, folder)
    seen = fermtui("show", "damson", "--json", "--on", "2026-11-11").json
    assert seen["stage"] == "bottled"
    assert seen["abv_percent"] == pytest.approx(12.3, abs=0.6)
    bottling = next(entry for entry in seen["entries"] if entry["did"] == "bottle")
    assert (bottling["count"], bottling["size_ml"]) == (4, 750)
    doses = [entry["at"][:10] for entry in seen["entries"] if entry["did"] == "dose"]
    assert doses == ["2026-03-03", "2026-03-06"]


@pytest.mark.parametrize(
    ("done", "on", "task", "state", "likely"),
    # common practice, no source: days 2 and 5, dry after two weeks, three weeks on the fruit, three and six months
    [
        (4, "2026-03-02T20:00:00+01:00", "dose-1", "coming", "2026-03-03"),
        (6, "2026-03-05T20:00:00+01:00", "dose-2", "coming", "2026-03-06"),
        (8, "2026-03-10T20:00:00+01:00", "fruit", "coming", None),
        (10, "2026-03-16T19:10:00+01:00", "fruit", "due", None),
        (12, "2026-03-25T20:00:00+01:00", "pull", "coming", None),
        (15, "2026-04-07T20:05:00+02:00", "pull", "due", "2026-04-07"),
        (19, "2026-08-01T20:00:00+02:00", "taste-3", "coming", "2026-08-02"),
        (19, "2026-08-02T20:00:00+02:00", "taste-3", "due", "2026-08-02"),
        (20, "2026-11-01T20:00:00+01:00", "taste-6", "coming", "2026-11-02"),
    ],
)
def test_what_is_due_and_when(
    cellar: Cellar, fermtui: Any, done: int, on: str, task: str, state: str, likely: str | None
) -> None:
    cellar({})
    assert fermtui(*START, "--on", "2026-03-01T17:50:00+01:00").status == 0
    for act in life.LIFE[:done]:
        words = ("read", "damson", act.what) if act.how == "read" else ("tick", "damson", act.what)
        assert fermtui(*words, *(f"{n}={t}" for n, t in act.typed.items()), "--on", act.at).status == 0
    found = {one["task"]: one for one in fermtui("due", "--json", "--days", "400", "--on", on).json["tasks"]}
    assert found[task]["state"] == state
    assert likely is None or found[task]["likely"].startswith(likely)


@pytest.mark.parametrize(
    ("on", "task", "state"),
    [
        ("2026-03-03", "dose-1", "done"),
        ("2026-03-16T19:10:00+01:00", "fruit", "done"),
        ("2026-08-10", "taste-3", "done"),
    ],
)
def test_what_was_done_on_its_day_is_done(cellar: Cellar, fermtui: Any, on: str, task: str, state: str) -> None:
    folder = cellar({})
    live_it(fermtui, folder)
    found = {one["task"]: one for one in fermtui("due", "--json", "--on", "2026-11-11").json["tasks"]}
    assert found[task]["state"] == state
    assert found[task]["done_at"] is not None
    assert on[:7] == found[task]["done_at"][:7]


def test_a_bottle_too_early_or_too_many_is_refused_and_nothing_is_written(cellar: Cellar, fermtui: Any) -> None:
    folder = cellar({})
    assert fermtui(*START, "--on", "2026-03-01T17:50:00+01:00").status == 0
    book = folder / "vessels" / "damson" / "daybook.toml"
    for act in life.LIFE[:9]:
        words = ("read", "damson", act.what) if act.how == "read" else ("tick", "damson", act.what)
        assert fermtui(*words, *(f"{n}={t}" for n, t in act.typed.items()), "--on", act.at).status == 0
    before = book.read_bytes()
    early = fermtui("tick", "damson", "bottle", "count=4", "size_ml=750", "--on", "2026-03-14")
    assert early.status == 3
    many = fermtui("write", "damson", "bottle", "count=9", "size_ml=750", "override=x", "--on", "2026-03-14")
    assert many.status == 1
    none = fermtui("tick", "damson", "fruit", "mass_g=", "--on", "2026-03-14")
    assert none.status == 1
    assert book.read_bytes() == before


def test_the_last_bottle_and_putting_away(cellar: Cellar, fermtui: Any) -> None:
    folder = cellar({})
    live_it(fermtui, folder)
    for number in range(4):
        assert fermtui("write", "damson", "open", "why=drunk", "--on", f"2026-12-0{number + 1}").status == 0
    assert fermtui("put-away", "damson").status == 0
    assert (folder / "past" / "damson" / "daybook.toml").is_file()
