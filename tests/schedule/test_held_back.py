"""What a guard would refuse is not due: it waits for what would lift it, and the reading is asked for ahead."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from fermtui.daybook.settings import Settings
from fermtui.schedule.held_back import held_back
from fermtui.schedule.task import Task
from fermtui.wording.tasks import reason_text

ZONE = ZoneInfo("Europe/Berlin")
SETTINGS = Settings(zone=ZONE, timezone="Europe/Berlin")
Tasks = dict[str, Task]
PITCHED = """
{ at = 2026-03-01T18:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1130 }
{ at = 2026-03-01T18:10:00+01:00, did = "read", sg = 1.090, temp_c = 20 }
{ at = 2026-03-01T19:00:00+01:00, did = "pitch" }
"""
BOTTLED_AT_LAST = """
title = "Rest and bottle"
[[step]]
key = "rack-1"
do = "rack"
due = { after = "pitch", days = 20 }
[[step]]
key = "bottle"
do = "bottle"
due = { after = "step:rack-1", days = 14 }
"""
RACKED = '{ at = 2026-04-01T19:00:00+02:00, did = "rack", volume_l = 3.8, task = "rack-1" }\n'


def read(day: str, sg: float, ph: float | None = None) -> str:
    more = "" if ph is None else f", ph = {ph}"
    return f'{{ at = 2026-{day}T19:00:00+02:00, did = "read", sg = {sg}, temp_c = 20{more} }}\n'


@pytest.fixture
def held(story: Callable[..., Tasks], facts: Callable[..., Any]) -> Callable[..., Tasks]:
    """held(page, on, plan) -> the tasks by key, those that a guard would refuse held back."""

    def asked(page: str, on: str, plan: str = "volume_l = 4.0\ngravity = 1.090", schedule: str = "two-doses") -> Tasks:
        seen, head = facts(page, plan)
        found = tuple(story(page, on, schedule, plan).values())
        now = datetime.fromisoformat(on).replace(tzinfo=ZONE)
        return {task.key: task for task in held_back(found, seen, head.plan, SETTINGS, now, "rowan")}

    return asked


CALM = read("03-28", 0.998) + read("03-31", 0.998)
PROVEN = PITCHED + CALM + RACKED + read("04-15", 0.998) + read("04-29", 0.998)


def test_a_bottling_that_is_proven_is_due(held: Callable[..., Tasks]) -> None:
    tasks = held(PROVEN, "2026-05-02T12:00", schedule=BOTTLED_AT_LAST)
    assert tasks["bottle"].state == "due"
    assert "ask-gravity" not in tasks


def test_with_an_old_reading_it_waits_and_the_reading_is_due(held: Callable[..., Tasks]) -> None:
    tasks = held(PROVEN, "2026-05-09T12:00", schedule=BOTTLED_AT_LAST)
    assert tasks["bottle"].state == "coming"
    assert tasks["bottle"].why.kind == "held"
    assert (tasks["ask-gravity"].state, tasks["ask-gravity"].why.values["for_task"]) == ("due", "bottle")
    assert "the last reading is 10 days old" in reason_text(tasks["bottle"], SETTINGS)


def test_calm_above_the_lowest_end_says_when_it_will_be_proven(held: Callable[..., Tasks]) -> None:
    page = PITCHED + RACKED + read("04-22", 0.998) + read("04-26", 0.998) + read("05-02", 0.998)
    tasks = held(page, "2026-05-03T12:00", schedule=BOTTLED_AT_LAST)
    bottle, reading = tasks["bottle"], tasks["ask-gravity"]
    assert bottle.state == "coming"
    assert reading.likely is not None
    assert reading.likely.date().isoformat() == "2026-05-16"  # a fortnight after the newest reading
    assert bottle.likely is not None
    assert bottle.likely.date().isoformat() == "2026-05-22"  # thirty days from the first calm reading


def test_a_sulfite_that_hangs_on_a_ph_asks_for_it(held: Callable[..., Tasks]) -> None:
    page = PITCHED + CALM + RACKED + read("04-12", 0.998) + read("04-15", 0.998)
    sweet = "volume_l = 4.0\ngravity = 1.090\nsweet = 1.010"
    tasks = held(page, "2026-04-16T12:00", sweet)
    assert tasks["sulfite"].state == "waiting"
    assert tasks["ask-ph"].state == "due"
    assert "pH" in reason_text(tasks["sulfite"], SETTINGS)
    known = held(page + read("04-16", 0.998, ph=3.4), "2026-04-16T20:00", sweet)
    assert known["sulfite"].state == "due"
    assert "ask-ph" not in known


def test_a_sorbate_on_old_calm_asks_for_a_reading_instead_of_being_refused(held: Callable[..., Tasks]) -> None:
    given = '{ at = 2026-04-16T20:00:00+02:00, did = "sulfite", metabisulfite_g = 0.3, task = "sulfite" }\n'
    page = PITCHED + CALM + RACKED + read("04-08", 0.998) + read("04-15", 0.998, ph=3.4) + given
    sweet = "volume_l = 4.0\ngravity = 1.090\nsweet = 1.010"
    tasks = held(page, "2026-04-25T12:00", sweet)
    assert tasks["sorbate"].state == "coming"
    assert tasks["ask-gravity"].state == "due"
    fresh = held(page + read("04-25", 0.998), "2026-04-25T20:00", sweet)
    assert fresh["sorbate"].state in ("due", "late")
    assert "ask-gravity" not in fresh


def test_a_reading_that_was_left_out_is_not_asked_for_at_once_again(held: Callable[..., Tasks]) -> None:
    skip = '{ at = 2026-05-09T12:00:00+02:00, did = "skip", task = "ask-gravity" }\n'
    asked = held(PROVEN + skip, "2026-05-09T13:00", schedule=BOTTLED_AT_LAST)["ask-gravity"]
    assert asked.state == "coming"
    assert asked.likely is not None
    assert asked.likely.date().isoformat() == "2026-05-12"
