"""What a form's number comes from: worked by hand from its inputs. Shares of doses: common practice, no source."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from fermtui.daybook.head import head_from
from fermtui.daybook.lines import read_lines
from fermtui.daybook.settings import read_settings
from fermtui.explain.explained import Explained
from fermtui.explain.task_amounts import explain_task
from fermtui.replay.replay import replay
from fermtui.schedule.library import load
from fermtui.schedule.tasks import tasks

PAGE = b"""
a0 = { at = 2026-03-01T18:00:00Z, did = "mix", volume_l = 4.0, honey_g = 1200 }
a1 = { at = 2026-03-01T18:10:00Z, did = "read", sg = 1.090, temp_c = 20 }
a2 = { at = 2026-03-01T18:20:00Z, did = "pitch" }
"""
PLAN = {"volume_l": 4.0, "gravity": 1.090, "doses": {"dap_g": 2.0, "autolysate_g": 4.0}}


def explained(key: str, on: str, more: bytes = b"", **plan: object) -> dict[str, Explained]:
    head = head_from({"name": "Rowan", "plan": {**PLAN, **plan}})
    facts = replay(head, read_lines(PAGE + more, "daybook.toml")[0])
    schedule, _ = load("two-doses", None)
    assert schedule is not None
    now = datetime.fromisoformat(on).replace(tzinfo=UTC)
    every = {task.key: task for task in tasks(facts, schedule, head.plan, None, now, UTC, "rowan")}
    return {one.name: one for one in explain_task(every[key], facts, head.plan, read_settings(b"")[0])}


def inputs(one: Explained) -> dict[str, object]:
    return {given.name: given.value for given in one.inputs}


def test_a_dose_is_its_share_of_all_doses() -> None:
    found = explained("dose-1", "2026-03-03T18:00:00")
    assert found["DAP, this dose"].value == pytest.approx(1.0)
    assert inputs(found["DAP, this dose"])["all doses together"] == pytest.approx(2.0)
    assert inputs(found["DAP, this dose"])["share of this one"] == pytest.approx(50.0)
    assert found["autolysate, this dose"].value == pytest.approx(2.0)


def test_a_racking_leaves_its_percent() -> None:
    (found,) = explained("rack-1", "2026-03-03T18:00:00").values()
    volume, percent = inputs(found)["in it"], inputs(found)["stays with the lees"]
    assert isinstance(volume, float)
    assert isinstance(percent, float)
    assert found.value == pytest.approx(volume * (1 - percent / 100), abs=0.06), "to the scale of the form"


def test_a_task_that_is_over_or_reckons_nothing_explains_nothing() -> None:
    given = b'a3 = { at = 2026-03-03T18:00:00Z, did = "dose", dap_g = 1.0, task = "dose-1" }\n'
    assert explained("dose-1", "2026-03-03T19:00:00", given) == {}
    assert explained("aerate", "2026-03-02T19:00:00") == {}
