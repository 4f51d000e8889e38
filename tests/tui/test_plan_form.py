"""The form of a new vessel shows what the plan really comes to, at 80x24 too, and starts two vessels from one must."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from fermtui.cellar.store import CellarStore
from fermtui.tui.screens.new_vessel_screen import StartScreen
from fermtui.tui.screens.text_page import TextPage
from looking import Make, shown

FRUITED = {"name": "Sloe", "volume_l": "8", "strength": "1.095", "container": "6 L", "fruit": "plum"}
SECOND = "Rowan, 4 L, 500 g cherry, in 5 L"


async def fill(pilot: Pilot[int], fields: dict[str, str]) -> None:
    for name, text in fields.items():
        pilot.app.screen.query_one(f"#want-{name}", Input).value = text
        await pilot.pause()


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_the_days_strength_and_room_are_in_sight(app_of: Make, size: tuple[int, int]) -> None:
    app = app_of()
    async with app.run_test(size=size) as pilot:
        await pilot.press("a")
        await fill(pilot, {**FRUITED, "volume_l": "4"})
        text = " ".join(shown(app, "plan").split())
        assert "strength 12.0 % vol" in text  # with its 480 g of plums; the must alone would come to 12.7
        assert "fruit about " in text
        assert "first taste about " in text
        assert "1.6 L free of 6.0 L" in text
        assert "pitted" in text
        assert ("take a gravity" in text) is (size == (120, 40))  # the list of days needs the taller screen


async def test_what_has_no_room_stands_under_f2(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("a")
        await fill(pilot, {**FRUITED, "second": SECOND})
        assert shown(app, "plan").rstrip().splitlines()[-1].strip() == "F2: all of it"
        await pilot.press("f2")
        assert isinstance(app.screen, TextPage)
        await pilot.pause()
        assert "nutrient" in shown(app, "text")


async def test_two_vessels_are_started_from_one_must(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.press("a")
        await fill(pilot, {**FRUITED, "second": SECOND})
        assert isinstance(app.screen, StartScreen)
        assert "and 4.0 L of the same must: Rowan (rowan)" in " ".join(shown(app, "plan").split())
        await pilot.press("enter", "enter")
        await pilot.pause()
        store: CellarStore = app.session.store
        assert {"sloe", "rowan"} <= set(store.names())
        plan = store.vessels["sloe"].head.plan
        assert plan.pour is not None
        assert (plan.volume_l, plan.pour.into, plan.pour.volume_l) == (4.0, "rowan", 4.0)
        assert store.vessels["rowan"].head.parent == "sloe"


async def test_a_second_vessel_that_cannot_be_is_told_beside_the_form(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("a")
        await fill(pilot, {**FRUITED, "second": "Rowan, 500 g gravel"})
        assert "'gravel' is no fruit" in " ".join(shown(app, "plan").split())


async def test_what_came_of_a_copied_batch_stands_beside_the_plan(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.press("a")
        await fill(pilot, {"name": "Again", "like": "heather"})
        text = " ".join(shown(app, "plan").split())
        assert "last time Heather: 1.090 to 1.001" in text


async def test_the_sulfite_form_tells_free_total_and_the_share_bound(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        app.commands.form("heather", "sulfite")
        await pilot.pause()
        app.screen.query_one("#field-metabisulfite_g", Input).value = "0.2"
        await pilot.pause()
        says = " ".join(shown(app, "foot-says").split())
        # 0.2 g hold 115 mg of SO2 (57.6 %, IUPAC weights): 28 mg/L in what is left of 4.2 L of must.
        assert "Then: 28 mg/L free at most, 28 mg/L in total: none of it counted as bound" in says


async def test_every_field_can_be_seen_in_the_smallest_window(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.press("a")
        await pilot.pause()
        for name in ("second", "like", "name"):
            field = app.screen.query_one(f"#want-{name}", Input)
            field.focus()
            await pilot.pause()
            await pilot.wait_for_scheduled_animations()
            assert app.screen.find_widget(field).visible_region.height == 1
