"""The other screens: a vessel, the short form, the start of a vessel, keys, a window too small."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path

import pytest
from textual.screen import Screen
from textual.widgets import Input

from fermtui.tui.actions import ACTIONS
from fermtui.tui.app import Fermtui
from fermtui.tui.screens.base import TooSmall
from fermtui.tui.screens.help import Help, help_lines
from fermtui.tui.screens.new_vessel_screen import StartScreen
from fermtui.tui.screens.shelf import Shelf
from fermtui.tui.screens.sources import Sources
from fermtui.tui.screens.tick import TickForm
from fermtui.tui.screens.vessel_screen import VesselScreen
from fermtui.tui.session import Session
from fermtui.tui.widgets.rows import Rows
from looking import SIZE, Make, shown

Opens = Callable[[], Session]


def book(cellar: Path, vessel: str = "damson") -> list[str]:
    return (cellar / "vessels" / vessel / "daybook.toml").read_text("utf-8").splitlines()


async def test_a_vessel_with_plot_facts_steps_and_daybook(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("tab", "enter")
        assert isinstance(app.screen, VesselScreen)
        assert "Damson" in shown(app, "head")
        assert "day 3" in shown(app, "head")
        assert "third break 1.063" in shown(app, "plot")
        assert "1.085" in shown(app, "facts")
        assert "±" in shown(app, "facts")
        assert "dose 1 of 2" in shown(app, "steps")
        assert "two days after pitching" in shown(app, "detail").lower()
        assert "read 1.085 at 20 °C" in shown(app, "book")
        await pilot.press("escape")
        assert isinstance(app.screen, Shelf)


async def test_a_struck_line_stays_readable_in_the_daybook_and_the_plot(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("tab", "enter", "tab", "x")
        assert 'entry = "20260303T183200000-aaaaaf"' in book(cellar)[-1]
        assert "taken back: Damson: read 1.085" in shown(app, "message")
        rows = shown(app, "book").split("\n")
        assert any(line.lstrip("▸ ").startswith("x") and "read 1.085" in line for line in rows)
        assert "x" in shown(app, "plot").split("third break")[0]
        await pilot.press("U")
        assert "stands again" in shown(app, "message")
        rows = shown(app, "book").split("\n")
        assert any("restores: read 1.085" in line for line in rows)
        assert any(line.lstrip("▸ ").startswith("3 Mar  read 1.085") for line in rows)


async def test_a_forecast_that_comes_while_the_screens_are_taken_down_draws_nothing(app_of: Make) -> None:
    app = app_of()
    bare: set[str] = set()

    async def keep_drawing(screens: list[Screen[object]]) -> None:
        while len(bare) < len(screens):
            app.drawn()
            bare.update(type(screen).__name__ for screen in screens if not screen.query("*"))
            await asyncio.sleep(0)

    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("tab", "enter")
        drawing = asyncio.create_task(keep_drawing(list(app.screen_stack)))
    await asyncio.wait_for(drawing, 5.0)
    assert bare == {"Shelf", "VesselScreen"}


async def test_left_and_right_go_to_the_next_vessel(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("tab", "enter", "l")
        assert "Heather" in shown(app, "head")
        await pilot.press("h", "h")
        assert "Heather" in shown(app, "head")


async def test_the_plot_zooms(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("tab", "enter")
        whole = shown(app, "plot")
        await pilot.press("z")
        assert shown(app, "plot") != whole
        await pilot.press("z", "z")
        assert shown(app, "plot") == whole


async def test_a_form_comes_filled_in_and_enter_writes_it(app_of: Make, cellar: Path) -> None:
    """Fruit needs weighing, so its step opens a form with the planned mass and the caution of that moment."""
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("tab", "enter")
        assert isinstance(app.screen, VesselScreen)
        app.screen.steps.choose("fruit")
        await pilot.press("space")
        assert isinstance(app.screen, TickForm)
        assert app.screen.query_one("#field-kind", Input).value == "plum"
        assert app.screen.query_one("#field-mass_g", Input).value == "500"
        assert "mould" in shown(app, "foot-says")
        app.screen.query_one("#field-mass_g", Input).value = "1 lb"
        await pilot.press("enter")
        assert isinstance(app.screen, VesselScreen)
        assert 'did = "fruit"' in book(cellar)[-1]
        assert "mass_g = 453.592" in book(cellar)[-1]


async def test_a_guard_refuses_until_a_reason_is_typed(app_of: Make, cellar: Path) -> None:
    """Bottling what still ferments can burst bottles: the form says so and asks why all the same."""
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("tab", "enter")
        assert isinstance(app.screen, VesselScreen)
        app.screen.steps.choose("bottle")
        before = len(book(cellar))
        await pilot.press("space", "enter")
        assert isinstance(app.screen, TickForm)
        assert len(book(cellar)) == before
        assert app.screen.query_one("#reason").display
        assert "type a reason beside 'why all the same'" in shown(app, "foot-says")
        await pilot.press("enter")
        assert "type a reason" in shown(app, "foot-says")
        assert len(book(cellar)) == before
        app.screen.query_one("#override", Input).value = "straight into the refrigerator"
        for name, value in (("count", "5"), ("size_ml", "750")):
            app.screen.query_one(f"#field-{name}", Input).value = value
        await pilot.press("enter")
        assert 'override = "straight into the refrigerator"' in book(cellar)[-1]


async def test_a_new_vessel_is_seen_before_it_is_written(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("a")
        assert isinstance(app.screen, StartScreen)
        for name, text in (("name", "Sour Cherry"), ("volume_l", "4 L"), ("strength", "12%"), ("container", "6 L")):
            app.screen.query_one(f"#want-{name}", Input).value = text
        await pilot.pause()
        assert "honey" in shown(app, "plan")
        assert "12.0 % vol" in shown(app, "plan")
        assert "dose 1 of 2" in shown(app, "plan")
        assert not (cellar / "vessels" / "sour-cherry").exists()
        await pilot.press("enter")
        assert not (cellar / "vessels" / "sour-cherry").exists()
        assert "Enter once more" in shown(app, "message")
        await pilot.press("enter")
        assert (cellar / "vessels" / "sour-cherry" / "vessel.toml").exists()
        assert isinstance(app.screen, VesselScreen)
        assert "Sour Cherry" in shown(app, "head")


async def test_an_unfit_plan_says_what_is_missing(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("a", *"Plum", "enter", "enter")
        assert isinstance(app.screen, StartScreen)
        assert "4.2 L" in shown(app, "plan")
        await pilot.press("escape")
        assert sorted(path.name for path in (cellar / "vessels").iterdir()) == ["damson", "heather"]


async def test_every_key_stands_on_the_help_page(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("question_mark")
        assert isinstance(app.screen, Help)
        page = shown(app, "text")
        assert all(action.says in page or action.label in page for action in ACTIONS)
        assert len(page.partition("\n\n on pages")[0].split("\n")) <= SIZE[1]
        await pilot.press("escape")
        assert isinstance(app.screen, Shelf)


async def test_the_keys_scroll_in_a_low_window(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.press("question_mark")
        assert ".." not in shown(app, "text").replace("bottles ..", "")
        sheet = app.screen.query_one("#sheet")
        for keys, there in ((("G",), True), (("g",), False), (("end",), True), (("home",), False), (("j",), True)):
            await pilot.press(*keys)
            await pilot.pause()
            assert (sheet.scroll_y > 0) is there
        await pilot.press("q")
        assert isinstance(app.screen, Shelf)


def test_no_sign_means_two_things() -> None:
    for ascii_only in (False, True):
        lines = help_lines({}, 400, ascii_only=ascii_only)
        signs = [text for line in lines if line and line[0][0] == " signs  " for text, _ in line[1::2]]
        assert len(signs) == len(set(signs)) == 10


async def test_a_small_window_says_so_and_recovers(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.resize_terminal(50, 18)
        await pilot.pause()
        assert isinstance(app.screen, TooSmall)
        assert "60 x 20" in shown(app, "small")
        await pilot.resize_terminal(60, 20)
        await pilot.pause()
        assert isinstance(app.screen, Shelf)
        assert "Damson" in shown(app, "due")


@pytest.mark.parametrize("before", ["", "?", ":"])
@pytest.mark.parametrize("key", ["?", ":", "q"])
async def test_nothing_opens_over_a_window_that_is_too_small(app_of: Make, before: str, key: str) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        if before:
            await pilot.press(before)
        stood = app.screen
        for size in ((50, 18), (48, 17), (59, 30)):
            await pilot.resize_terminal(*size)
            await pilot.press(*(key if key != "q" else ""))
            await pilot.pause()
            assert isinstance(app.screen, TooSmall)
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        assert app.screen is stood
        if key == "q":
            await pilot.resize_terminal(50, 18)
            await pilot.press("q")
            assert app.return_code == 0


async def test_the_mouse_chooses_and_a_double_click_opens(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        await pilot.click("#line", offset=(4, 2))
        assert isinstance(app.screen, Shelf)
        assert app.screen.line.chosen == "heather"
        await pilot.click("#line", offset=(4, 2), times=2)
        assert isinstance(app.screen, VesselScreen)
        assert app.screen.vessel == "heather"


async def test_a_number_can_be_opened_to_its_formula_inputs_and_source(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("tab", "enter", "e")
        assert isinstance(app.screen, Sources)
        numbers = app.screen.query_one("#numbers", Rows)
        numbers.go(next(n for n, step in enumerate(app.screen.steps) if step.name == "strength"))
        await pilot.pause()
        assert "alcohol" in shown(app, "source")
        assert "OIML R 22" in shown(app, "source")
        await pilot.press("escape")
        assert isinstance(app.screen, VesselScreen)


async def test_a_window_that_begins_too_small_says_so(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=(50, 15)) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, TooSmall)
        assert "60 x 20" in shown(app, "small")
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        assert isinstance(app.screen, Shelf)


@pytest.mark.parametrize("theme", ["ansi-dark", "ansi-light"])
async def test_the_row_under_the_cursor_is_one_block_where_grounds_have_no_colour(house_of: Opens, theme: str) -> None:
    app = Fermtui(house_of, theme=theme)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, Shelf)
        due = app.screen.due
        styles = [segment.style for segment in due.render_line(due.cursor)]
        assert all(style is not None and style.reverse and style.bold for style in styles[:-1])
        assert not any(style is not None and style.reverse for style in (s.style for s in due.render_line(1)))


async def test_so_in_16_colours(house_of: Opens, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("rich.console.Console.color_system", "standard")
    app = Fermtui(house_of)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert app.role_style("cursor").reverse
        assert not app.role_style("cursor-idle").reverse


async def test_in_many_colours_the_row_keeps_its_own(app_of: Make) -> None:
    app = app_of()
    app.remove_class("-few-colours")
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert not app.role_style("cursor").reverse
        assert app.role_style("cursor").bgcolor is not None
