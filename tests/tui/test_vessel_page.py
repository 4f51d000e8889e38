"""The pieces of a vessel's screen: what stands where, and that nothing that matters is cut off."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import pytest

from fermtui.cellar.agenda import by_time
from fermtui.cellar.store import CellarStore
from fermtui.forecast.forecast import BandRow, Forecast
from fermtui.tui import vessel_parts as pages
from fermtui.tui.app import Fermtui
from fermtui.tui.screens.sources import Sources
from fermtui.tui.screens.vessel_screen import VesselScreen
from fermtui.units import METRIC
from fermtui.wording.checklist import likely_text
from looking import SIZE, Make, shown

from .conftest import write_vessel


async def test_the_steps_stand_in_the_order_of_time(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        await app.workers.wait_for_complete()
        for vessel in ("damson", "heather"):
            app.open_vessel(vessel)
            await pilot.pause()
            screen = app.screen
            assert isinstance(screen, VesselScreen)
            seen = app.session.vessel(vessel)
            assert seen is not None
            over = [task for task in by_time(seen.tasks) if task.state in ("done", "dropped")]
            days = [task.likely for task in by_time(seen.tasks) if task.is_open and task.likely is not None]
            assert [item.key for item in screen.steps.items][: len(over)] == [task.key for task in over]
            assert days == sorted(days)
            assert len(screen.steps.items) == len(seen.tasks)
            chosen = seen.task(screen.steps.chosen or "")
            assert chosen is not None
            assert chosen.state in ("late", "due")


async def test_a_forecast_that_fails_leaves_its_vessel_without_and_the_others_whole(
    app_of: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Any error of a sum in the worker would else close the program over every vessel."""
    made = CellarStore.make_forecasts

    def fails(self: CellarStore, names: Iterable[str] | None = None) -> None:
        if names is not None and "damson" in names:
            raise ZeroDivisionError("division by zero")
        made(self, names)

    monkeypatch.setattr(CellarStore, "make_forecasts", fails)
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        await app.workers.wait_for_complete()
        assert not app.session.forecasting
        heather = app.session.vessel("heather")
        assert heather is not None
        assert heather.forecast is not None
        app.open_vessel("damson")
        await pilot.pause()
        assert "no forecast: the sum of its" in shown(app, "facts")
        assert "division by zero" in shown(app, "facts").replace("\n", " ")
        await pilot.press("r", *"1.080", "enter")
        assert "1.080" in shown(app, "book")


async def test_a_band_that_cannot_be_drawn_does_not_close_the_program(
    app_of: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> list[BandRow]:
        raise OverflowError("math range error")

    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        await app.workers.wait_for_complete()
        monkeypatch.setattr(Forecast, "band", fails)
        app.open_vessel("damson")
        await pilot.pause()
        assert isinstance(app.screen, VesselScreen)
        assert "no forecast" in shown(app, "facts")


async def test_the_shelf_says_while_forecasts_are_made(app_of: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    app = app_of()
    monkeypatch.setattr(Fermtui, "_fill_forecasts", lambda _: None)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert "forecasting" in shown(app, "head")
        assert "the forecast is being made" in " ".join(
            "".join(text for text, _ in line) for line in pages.fact_lines(
                app.session.view.vessels[0], METRIC, 30, 20, ascii_only=True, check_key="c")
        ).replace("  ", " ")  # fmt: skip
        monkeypatch.undo()
        app._fill_forecasts()  # noqa: SLF001  # what the next second would do
        await pilot.pause()
        await app.workers.wait_for_complete()
        assert "forecasting" not in shown(app, "head")


def test_chances_say_what_is_likely_and_are_never_certain() -> None:
    assert [likely_text(chance) for chance in (0.0, 0.004, 0.85, 0.999, 1.0)] == [
        "under 1 % likely", "under 1 % likely", "85 % likely", "over 99 % likely", "over 99 % likely",
    ]  # fmt: skip


async def test_where_the_forecast_comes_from_is_opened_like_any_number(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        await app.workers.wait_for_complete()
        app.open_vessel("damson")
        await pilot.pause()
        await pilot.press("e")
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, Sources)
        names = [step.name for step in screen.steps]
        await pilot.press("G", *["up"] * (len(names) - 1 - names.index("finish")))
        await pilot.pause()
        assert "likely, five in ten" in shown(app, "source")
        await pilot.press("up")
        await pilot.pause()
        assert "left to itself" in shown(app, "source")


STALLED = """\
name = "Sloe"
capacity_l = 5.0
schedule = "two-doses"
[plan]
volume_l = 4.0
gravity = 1.100
"""
STALLED_BOOK = """\
20260110T173000000-ccccca = { at = 2026-01-10T18:30:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1300 }
20260110T173100000-cccccb = { at = 2026-01-10T18:31:00+01:00, did = "read", sg = 1.100, temp_c = 20 }
20260110T173200000-cccccc = { at = 2026-01-10T18:32:00+01:00, did = "pitch", yeast_g = 2.0 }
20260125T173200000-cccccd = { at = 2026-01-25T18:32:00+01:00, did = "read", sg = 1.046, temp_c = 20 }
20260210T173200000-ccccce = { at = 2026-02-10T18:32:00+01:00, did = "read", sg = 1.045, temp_c = 20 }
20260302T173200000-cccccf = { at = 2026-03-02T18:32:00+01:00, did = "read", sg = 1.045, temp_c = 20 }
"""


async def test_in_a_small_window_the_alarm_gives_way_to_the_facts(app_of: Make, cellar: Path) -> None:
    write_vessel(cellar, "sloe", STALLED, STALLED_BOOK)
    app = app_of()
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.pause()
        await app.workers.wait_for_complete()
        app.open_vessel("sloe")
        await pilot.pause()
        facts = shown(app, "facts").splitlines()
        assert facts[0] == "stalled!  c says more"
        assert [line.split()[0] for line in facts[1:3]] == ["gravity", "strength"]
        assert [line[:13].strip() for line in facts[3:5]] == ["has stopped", "ends high"]
        assert not any(".." in line for line in facts)
        await pilot.resize_terminal(100, 40)
        await pilot.pause()
        assert shown(app, "facts").startswith("stalled at 1.045, 45 points")
        assert "what to look at" in shown(app, "facts")
