"""A task is ticked by its key, by the name that is shown, or by the beginning of either."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

HEAD = 'name = "Damson"\nschedule = "two-doses"\n[plan]\nvolume_l = 4.0\ngravity = 1.099\ndoses = { dap_g = 2.2 }'
PITCHED = """
{ at = 2026-03-01T18:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1250 }
{ at = 2026-03-01T18:10:00+01:00, did = "read", sg = 1.099, temp_c = 20 }
{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }
"""
ON = ("--on", "2026-03-04T20:00:00+01:00")


@pytest.fixture
def page(cellar: Any) -> Path:
    folder: Path = cellar({"vessels/damson/vessel.toml": HEAD, "vessels/damson/daybook.toml": PITCHED})
    return folder / "vessels/damson/daybook.toml"


@pytest.mark.parametrize("said", [
    ("dose-1",), ("dose 1 of 2",), ("dose", "1", "of", "2"), ("Dose-1",), ("dose", "1"), ("dose",), ("dos",),
])  # fmt: skip
def test_what_due_shows_can_be_typed(page: Path, fermtui: Any, said: tuple[str, ...]) -> None:
    # Of the two doses only the first is due on the third day.
    assert fermtui("tick", "damson", *said, *ON).status == 0
    assert 'task = "dose-1"' in page.read_text("utf-8")


@pytest.mark.usefixtures("page")
def test_the_key_stands_behind_each_task(fermtui: Any) -> None:
    (line,) = [line for line in fermtui("due", *ON).out.splitlines() if "dose 1 of 2" in line]
    assert line.endswith("[dose-1]")
    (step,) = [line for line in fermtui("show", "damson", *ON).out.splitlines() if "dose 2 of 2" in line]
    assert step.endswith("[dose-2]")


def test_what_may_mean_two_tasks_is_asked_back(page: Path, fermtui: Any) -> None:
    before = page.read_bytes()
    ran = fermtui("tick", "damson", "ta", "--on", "2026-03-02T20:00:00+01:00")
    assert ran.status == 1
    assert "'ta' may mean sign (take a gravity and pH), taste-3 (taste)" in ran.err
    assert "say which" in ran.err
    assert page.read_bytes() == before


@pytest.mark.usefixtures("page")
def test_what_no_task_is_called_lists_the_open_ones(fermtui: Any) -> None:
    ran = fermtui("tick", "damson", "frobnicate", *ON)
    assert ran.status == 1
    assert "damson has no task 'frobnicate'; open are: " in ran.err
    assert "dose-2 (dose 2 of 2)" in ran.err
    assert fermtui("tick", "damson", "", *ON).status == 1


def test_of_two_that_are_called_the_same_the_first_is_meant(page: Path, fermtui: Any) -> None:
    assert fermtui("tick", "damson", "rack", "volume_l=3.8", *ON).status == 0
    assert 'task = "rack-1"' in page.read_text("utf-8")


@pytest.mark.usefixtures("page")
def test_a_task_that_is_done_says_so_under_its_name_too(fermtui: Any) -> None:
    assert fermtui("tick", "damson", "dose-1", *ON).status == 0
    ran = fermtui("tick", "damson", "dose 1 of 2", *ON)
    assert ran.status == 1
    assert "dose-1 (dose 1 of 2) of damson is done already" in ran.err


@pytest.mark.usefixtures("page")
def test_of_two_overdue_doses_one_stands_for_both(fermtui: Any) -> None:
    late = ("--on", "2026-03-07T20:00:00+01:00")
    rows = [line for line in fermtui("due", *late).out.splitlines() if "dose" in line.partition("[")[0]]
    assert len(rows) == 1
    assert "2.2 g DAP" in rows[0]
    assert "for two doses" in rows[0]
    given = fermtui("tick", "damson", "dose", *late)
    assert (given.status, "2.2 g DAP" in given.out, "The last dose went in" in given.err) == (0, True, False)
    again = fermtui("tick", "damson", "dose-2", *late)
    assert (again.status, "left out" in again.err) == (1, True)
    assert "The last dose went in" in fermtui("write", "damson", "dose", "dap_g=0.5", *late).err
