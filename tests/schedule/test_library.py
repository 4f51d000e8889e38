"""Each schedule of the library, lived through from mixing to the tasting at six months by a diligent maker."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from fermtui.daybook.entry import Entry
from fermtui.daybook.head import Head, plan_from
from fermtui.daybook.kinds import entry_from
from fermtui.replay.facts import Facts
from fermtui.replay.keeping import KEEP_TASK, USUAL_CHORE
from fermtui.replay.replay import replay
from fermtui.schedule.library import library_names, load, own_names, schedule_bytes
from fermtui.schedule.task import STATES, Task
from fermtui.schedule.tasks import tasks

ZONE = ZoneInfo("Europe/Vienna")
START = datetime(2026, 2, 28, 18, 30, tzinfo=ZONE)
PLAN = 'volume_l = 4.2\ngravity = 1.090\nyeast = { demand = "medium", tolerance_abv = 14 }\n'
FRUIT = 'fruit = { kind = "plum", mass_g = 500, treatment = "frozen" }\n'
NAMES = (
    "braggot", "cyser", "four-small-doses", "fruit-from-start", "fruit-to-bottle", "fruit-when-dry", "light-session",
    "long-sack", "malolactic", "oak", "pyment", "short-mead", "sour", "sparkling-dry", "sparkling-own-sugar", "spiced",
    "strong-step-fed", "two-doses", "two-fruits",
)  # fmt: skip
PLANS = {
    "cyser": PLAN + "juice_l = 3.0\njuice_sg = 1.048\n",
    "fruit-from-start": PLAN + FRUIT,
    "fruit-to-bottle": PLAN + FRUIT,
    "fruit-when-dry": PLAN + FRUIT,
    "light-session": PLAN.replace("1.090", "1.050"),
    "short-mead": PLAN.replace("1.090", "1.045"),
    "pyment": PLAN + "juice_l = 2.0\njuice_sg = 1.075\n",
    "spiced": PLAN + 'spice = "ginger"\n',
    "strong-step-fed": PLAN.replace("1.090", "1.100").replace("14 }", "17 }"),
    "long-sack": PLAN.replace("1.090", "1.110").replace("14 }", "17 }"),
    "two-fruits": PLAN + FRUIT,
}
LONG_DAYS = 950  # a year in bulk, and a year in bottle to the last tasting
VALUES: dict[str, dict[str, Any]] = {
    "mix": {"volume_l": 4.2, "honey_g": 1300},
    "pitch": {"temp_c": 20},
    "dose": {"dap_g": 1.0, "autolysate_g": 1.5},
    "fruit": {"kind": "plum", "mass_g": 500, "treatment": "frozen"},
    "feed": {"honey_g": 250},
    "rack": {"volume_l": 4.0},
    "sulfite": {"metabisulfite_g": 0.3},
    "sorbate": {"sorbate_g": 0.8},
    "sweeten": {"honey_g": 150},
    "bottle": {"count": 5, "size_ml": 750},
    "open": {"count": 1, "why": "drunk"},
    "forced_test": {"sg": 0.998, "days": 4, "temp_c": 25},
    "chill": {"temp_c": 4},
    "add": {"mass_g": 40},
}


class Maker:
    """Looks into the cellar at fixed hours and does every task that is due, in the order of the list.

    The must loses a tenth of its way to 0.999 each day. `names` says whether entries name the task that they answer.
    """

    def __init__(self, schedule: str, plan: str, names: bool) -> None:
        found, problems = load(schedule, None)
        assert found is not None, problems
        self.schedule = found
        self.head = Head(name="Rowan", plan=plan_from(tomllib.loads(plan)))
        self.names = names
        self.entries: list[Entry] = []
        self.sg = self.head.plan.gravity or 1.09
        self.seen: dict[str, str] = {}
        self.late: set[str] = set()
        self.facts: Facts = replay(self.head, [])

    def live_through(self, days: int) -> tuple[Task, ...]:
        listed: tuple[Task, ...] = ()
        for now in _looks(days):
            self._ferment()
            for _ in range(12):  # one act may bring the next one due
                listed = self._tasks(now)
                due = [task for task in listed if task.state in ("due", "late")]
                if not due:
                    break
                self._do(due[0], now)
            else:
                pytest.fail(f"never done on {now}: {[task.key for task in due]}")
        return listed

    def _tasks(self, now: datetime) -> tuple[Task, ...]:
        listed = tasks(self.facts, self.schedule, self.head.plan, None, now, ZONE, "rowan")
        for task in listed:
            assert task.state in STATES
            self.late |= {task.key} if task.state == "late" else set()
            if self.seen.get(task.key) in ("done", "dropped") and task.step is not None and task.every_days is None:
                assert task.state == self.seen[task.key], f"{task.key} came back on {now}"
            self.seen[task.key] = task.state
        return listed

    def _ferment(self) -> None:
        if self.facts.pitched_at is not None and not self.facts.sweetened_g:
            self.sg = max(0.999, self.sg - (self.sg - 0.998) * 0.1 * self.step)

    step = 0.25

    def _do(self, task: Task, now: datetime) -> None:
        values: dict[str, Any] = dict(VALUES.get(task.do, {}))
        if task.do == "read":
            values = {"sg": round(self.sg, 3), "temp_c": 20, "ph": 3.3}
        if task.what is not None and task.do in ("add", "chore", "pull"):
            values["what"] = task.what
        if task.key == KEEP_TASK:  # too weak for sorbate
            values["what"] = USUAL_CHORE
        if self.names:
            values["task"] = task.key
        before = self.facts
        key = f"e{len(self.entries):04d}"
        self.entries.append(entry_from(key, {"at": now, "did": task.do, **values}))
        self.facts = replay(self.head, self.entries)
        if len(self.facts.changes) > len(before.changes):
            self.sg += self.facts.changes[-1].added_sg


def _looks(days: int) -> Iterator[datetime]:
    for day in range(days):
        for hours in (0, 6, 12, 18) if day < 40 else (0,):
            Maker.step = 0.25 if day < 40 else 1.0
            yield START + timedelta(days=day, hours=hours)


def test_the_library_holds_these() -> None:
    assert library_names() == NAMES


@pytest.mark.slow
@pytest.mark.parametrize("names", [True, False], ids=["ticked", "written"])
@pytest.mark.parametrize("sweet", [False, True], ids=["dry", "sweet"])
@pytest.mark.parametrize("name", NAMES)
def test_it_runs_from_mixing_to_the_tasting_at_six_months(name: str, sweet: bool, names: bool) -> None:
    maker = Maker(name, PLANS.get(name, PLAN) + ("sweet = true\n" if sweet else ""), names)
    end = {task.key: task for task in maker.live_through(LONG_DAYS if name == "long-sack" else 430)}
    for task in end.values():
        assert task.state in ("done", "dropped"), f"{task.key} is {task.state}: {task.why}"
    tasted = [task for task in end.values() if task.do == "taste"]
    assert all(task.state == "done" for task in (*tasted, end["bottle"]))
    assert len(tasted) >= (1 if name == "short-mead" else 2)
    steps = [
        task for task in end.values() if task.do in ("mix", "pitch", "dose", "fruit", "pull", "sulfite", "sweeten")
    ]
    assert all(task.state == "done" for task in steps)
    assert not maker.late, "somebody who does all that is due on the day is never late"
    asked = sum(1 for entry in maker.entries if entry.did == "read")
    assert asked < 40


def test_a_step_of_a_plan_that_is_not_sweet_is_not_there() -> None:
    maker = Maker("two-doses", PLAN, names=True)
    keys = {task.key for task in maker._tasks(START)}  # noqa: SLF001 - the maker of this file
    assert not keys & {"sulfite", "sorbate", "sweeten", "watch-1", "watch-2"}


def test_a_schedule_of_the_cellar_comes_before_the_library(tmp_path: Path) -> None:
    own = 'title = "Mine"\n[[step]]\nkey = "pitch"\ndo = "pitch"\n'
    (tmp_path / "two-doses.toml").write_text(own)
    mine, problems = load("two-doses", tmp_path)
    assert not problems
    assert mine is not None
    assert mine.title == "Mine"
    assert schedule_bytes("two-doses", tmp_path) == own.encode()
    assert own_names(tmp_path) == ("two-doses",)
    theirs, _ = load("two-doses", None)
    assert theirs is not None
    assert theirs.title != "Mine"


def test_a_schedule_is_parsed_once_for_the_same_bytes() -> None:
    assert load("spiced", None)[0] is load("spiced", None)[0]


@pytest.mark.parametrize("name", ["../vessel", "no-such-one", "a/b", "", "x" * 200])
def test_a_schedule_that_is_not_there_is_a_problem(name: str, tmp_path: Path) -> None:
    schedule, problems = load(name, tmp_path)
    assert schedule is None
    assert len(problems) == 1
    assert schedule_bytes(name, tmp_path) is None
