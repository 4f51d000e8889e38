"""What the screens say of a typed reading."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest

from fermtui.cellar.store import CellarStore, VesselView
from fermtui.daybook.places import Cellar
from fermtui.forecast.window import Window
from fermtui.reports.entry_text import reading_meaning
from fermtui.reports.plan_page import DateRow
from fermtui.schedule.task import Task
from fermtui.schedule.why import Why
from fermtui.tui.vessel_parts import step_items
from fermtui.units import METRIC
from fermtui.wording.tasks import span_text
from fermtui.writing.reading_check import interpret
from looking import Make, shown

NOW = datetime.fromisoformat("2026-03-05T20:00:00+01:00")


@pytest.mark.parametrize(("text", "says"), [("1.064 20", "down 14 points since 08:10"), ("1.078 20", "as at 08:10")])
def test_a_second_reading_of_the_day_says_since_what_hour(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, text: str, says: str
) -> None:
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "cache"))
    folder = tmp_path / "cellar/vessels/damson"
    folder.mkdir(parents=True)
    (tmp_path / "cellar/cellar.toml").write_text('timezone = "Europe/Berlin"\n')
    (folder / "vessel.toml").write_text('name = "Damson"\n[plan]\nvolume_l = 4\ngravity = 1.09\n')
    (folder / "daybook.toml").write_text(
        'a = { at = 2026-03-01T18:30:00+01:00, did = "pitch" }\n'
        'b = { at = 2026-03-05T07:10:00Z, did = "read", sg = 1.078, temp_c = 20 }\n'
    )
    store = CellarStore(Cellar(tmp_path / "cellar"), lambda: NOW)
    store.load()
    said = reading_meaning(interpret(store, store.vessels["damson"], text, NOW), METRIC)
    assert says in said


def task(earliest: str, likely: str, latest: str) -> Task:
    dates = (datetime.fromisoformat(day + "T12:00:00+01:00") for day in (earliest, likely, latest))
    return Task("sloe", "bottle", None, "bottle", None, "coming", Window(*dates), True, Why("step"), forecast=True)


@pytest.mark.parametrize(
    ("earliest", "latest", "says"),
    [
        ("2026-11-27", "2026-11-30", "27 to 30 Nov"),
        ("2026-11-27", "2026-12-02", "27 Nov to 2 Dec"),
        ("2026-12-06", "2027-01-01", "6 Dec 2026 to 1 Jan 2027"),
        ("2026-03-06", "2027-03-01", "6 Mar 2026 to 1 Mar 2027"),
    ],
)
def test_a_window_over_the_end_of_a_year_says_both_years(earliest: str, latest: str, says: str) -> None:
    assert span_text(task(earliest, earliest, latest)) == says


def test_a_step_of_another_year_says_which_and_is_not_cut() -> None:
    far, near = task("2027-02-06", "2027-02-18", "2027-03-01"), task("2026-03-10", "2026-03-12", "2026-03-14")
    view = cast(VesselView, SimpleNamespace(tasks=(near, far)))
    rows = ["".join(text for text, _ in item.runs) for item in step_items(view, NOW, ascii_only=True)]
    assert rows == ["? ~12 Mar     bottle", "? ~18 Feb '27 bottle"]


async def test_the_dates_of_a_plan_are_never_cut(app_of: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    dates = [DateRow("today", "aerate", "", ""), DateRow("6 Feb-1 Mar 2027", "bottle", "", "")]
    monkeypatch.setattr("fermtui.tui.plan_lines.date_rows", lambda *_: dates)
    app = app_of()
    async with app.run_test(size=(60, 30)) as pilot:
        await pilot.press("a", *"Sloe", "down", *"4", "down", *"1.090")
        await pilot.pause()
        assert shown(app, "plan").splitlines()[-2:] == ["  today            aerate", "  6 Feb-1 Mar 2027 bottle"]
