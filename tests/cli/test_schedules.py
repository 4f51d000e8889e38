"""Schedules: listed, shown in words, copied without overwriting, and their mistakes explained by file and line."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from fermtui.schedule.library import library_names, load
from fermtui.schedule.parser import LIBRARY

Cellar = Callable[[Mapping[str, str]], Path]


def test_the_library_and_the_cellars_own_are_listed(cellar: Cellar, fermtui: Any) -> None:
    cellar({"schedules/mine.toml": 'title = "Mine"\n[[step]]\nkey = "mix"\ndo = "mix"\n'})
    found = fermtui("schedule", "--json").json["schedules"]
    assert found[0] == {"schedule": "mine", "from": "cellar", "title": "Mine"}
    assert {one["schedule"] for one in found if one["from"] == "library"} == set(library_names())
    assert "mine" in fermtui("schedule").out.splitlines()[0]


@pytest.mark.parametrize("name", library_names())
def test_every_schedule_of_the_library_is_shown_whole(cellar: Cellar, fermtui: Any, name: str) -> None:
    cellar({})
    ran = fermtui("schedule", "show", name)
    assert ran.status == 0
    schedule, _ = load(name, None)
    assert schedule is not None
    for step in schedule.steps:
        assert f"\n  {step.key} " in ran.out
    assert " never" not in ran.out.partition("Said at that moment")[0], "a condition that has no words"


def test_conditions_in_words(cellar: Cellar, fermtui: Any) -> None:
    page = """
    title = "Words"
    [[step]]
    key = "pitch"
    do = "pitch"
    [[step]]
    key = "feed"
    do = "feed"
    due = { any = [ { all = [ { after = "pitch", days = 2 }, { gravity_at_most = 1.03 } ] }, { on = 2026-12-24 } ] }
    drop = { sugar_spent = "1/3" }
    """
    cellar({"schedules/words.toml": page})
    steps = {step["step"]: step for step in fermtui("schedule", "show", "words", "--json").json["steps"]}
    assert steps["feed"]["due"] == "(two days after pitching and at 1.030 or less) or on 2026-12-24"
    assert steps["feed"]["drop"] == "at the one-third sugar break"


def test_a_copy_is_the_same_to_the_byte_and_overwrites_nothing(cellar: Cellar, fermtui: Any) -> None:
    folder = cellar({})
    assert fermtui("schedule", "copy", "two-doses", "mine").status == 0
    copy = folder / "schedules/mine.toml"
    assert copy.read_bytes() == (LIBRARY / "two-doses.toml").read_bytes()
    copy.write_text("title = 'edited'\n")
    for new in ("mine", "MINE"):
        ran = fermtui("schedule", "copy", "two-doses", new)
        assert (ran.status, ran.err.count("\n")) == (1, 1)
    assert copy.read_text() == "title = 'edited'\n"
    assert fermtui("schedule", "copy", "two-doses").status == 0
    assert fermtui("schedule", "--json").json["schedules"][1]["from"] == "cellar"


@pytest.mark.parametrize(("words", "status"), [
    (("show",), 2), (("copy",), 2), (("burn", "x"), 2), (("show", "a", "b"), 2),
    (("show", "nope"), 1), (("copy", "nope", "new"), 1), (("copy", "two-doses", "../out"), 1), (("show", "../x"), 1),
])  # fmt: skip
def test_bad_words(cellar: Cellar, fermtui: Any, words: tuple[str, ...], status: int) -> None:
    folder = cellar({})
    ran = fermtui("schedule", *words)
    assert (ran.status, ran.err.count("\n")) == (status, 1)
    assert not list(folder.glob("**/out.toml"))


def test_a_mistake_is_explained_by_check_with_file_and_line(cellar: Cellar, fermtui: Any) -> None:
    steps = '[[step]]\nkey = "mix"\ndo = "mix"\n[[step]]\nkey = "rest"\ndo = "rack"\ndue = { after = "step:mxi" }\n'
    page = 'title = "Mine"\n' + steps
    folder = cellar({"schedules/mine.toml": page})
    ran = fermtui("check")
    assert ran.status == 1
    assert "schedules/mine.toml, line 5" in ran.out
    assert "mxi" in ran.out
    shown = fermtui("schedule", "show", "mine")
    assert shown.status == 1
    assert "line 5" in shown.err
    listed = fermtui("schedule")
    assert "mine" in listed.out.splitlines()[0]
    assert "has mistakes" in listed.out.splitlines()[0]
    assert (folder / "schedules/mine.toml").read_text() == page


def test_a_plan_may_say_malolactic_and_a_schedule_ask_for_it(cellar: Cellar, fermtui: Any) -> None:
    page = """
    title = "Two ferments"
    like = "two-doses"
    [[step]]
    key = "culture"
    do = "add"
    what = "malolactic culture"
    when = "plan.malolactic"
    due = { after = "step:rack-1", days = 1 }
    """
    folder = cellar({"schedules/mine.toml": page})
    words = ("--volume", "4L", "--gravity", "1.090", "--schedule", "mine", "--on", "2026-01-01", "--json")
    with_it = fermtui("start", "Rowan", "--malolactic", *words)
    without = fermtui("start", "Sloe", *words)
    assert ["culture" in {task["task"] for task in ran.json["tasks"]} for ran in (with_it, without)] == [True, False]
    assert "malolactic = true" in (folder / "vessels/rowan/vessel.toml").read_text("utf-8")
    assert "malolactic" not in (folder / "vessels/sloe/vessel.toml").read_text("utf-8")
