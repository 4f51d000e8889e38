"""A vessel's tasks out of a page of its daybook, a schedule and a clock."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from fermtui.daybook.entry import Entry
from fermtui.daybook.head import Head, plan_from
from fermtui.daybook.kinds import entry_from
from fermtui.daybook.strikes import live
from fermtui.replay.facts import Facts
from fermtui.replay.replay import replay
from fermtui.schedule.library import load
from fermtui.schedule.parser import schedule_from
from fermtui.schedule.steps import Schedule
from fermtui.schedule.task import Task
from fermtui.schedule.tasks import tasks

ZONE = ZoneInfo("Europe/Vienna")
PLAN = """
volume_l = 4.2
gravity = 1.099
yeast = { demand = "medium", tolerance_abv = 14 }
"""
Tasks = Mapping[str, Task]


def entries_of(page: str) -> list[Entry]:
    """The live entries of a page. A line is `{ ... }`, or `KEY = { ... }` where the key matters."""
    found: list[Entry] = []
    for number, line in enumerate(one.strip() for one in page.strip().splitlines()):
        if line:
            text = line if not line.startswith("{") else f"e{number:03d} = {line}"
            found.extend(entry_from(key, values) for key, values in tomllib.loads(text).items())
    return list(live(found, "daybook.toml", b"")[0])


def facts_of(page: str, plan: str = PLAN) -> tuple[Facts, Head]:
    """The facts after a page, and the head that it belongs to."""
    head = Head(name="Rowan", capacity_l=5.0, plan=plan_from(tomllib.loads(plan)))
    return replay(head, entries_of(page)), head


def schedule_named(schedule: str) -> Schedule:
    """A schedule of the library by its name, or the one that stands in the text."""
    found, problems = load(schedule, None) if "\n" not in schedule else schedule_from(schedule.encode(), "own.toml")
    assert found is not None, problems
    return found


def _story(
    page: str,
    on: str,
    schedule: str = "two-doses",
    plan: str = PLAN,
    outlook: Any = None,
    zone: ZoneInfo = ZONE,
) -> Tasks:
    facts, head = facts_of(page, plan)
    now = datetime.fromisoformat(on)
    now = now if now.tzinfo else now.replace(tzinfo=zone)
    return {task.key: task for task in tasks(facts, schedule_named(schedule), head.plan, outlook, now, zone, "rowan")}


@pytest.fixture
def story() -> Callable[..., Tasks]:
    """(page, on, schedule, plan, outlook, zone) -> tasks by key."""
    return _story


@pytest.fixture
def facts() -> Callable[..., tuple[Facts, Head]]:
    """(page, plan) -> facts and head."""
    return facts_of


@pytest.fixture
def day() -> Callable[..., str]:
    """A date of a task as text: `2026-03-03`, or `2026-03-03 18:30` with hours."""

    def shown(at: datetime | None, *, hours: bool = False) -> str:
        return "never" if at is None else at.astimezone(ZONE).strftime("%Y-%m-%d %H:%M" if hours else "%Y-%m-%d")

    return shown
