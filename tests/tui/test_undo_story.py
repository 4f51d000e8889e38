"""`u` lifts the last act, whatever it was, and goes on where an earlier sitting left off; `U` goes the other way."""

from __future__ import annotations

from pathlib import Path

from fermtui.tui.screens.shelf import Shelf
from looking import SIZE, Make, shown


def book(cellar: Path, vessel: str = "damson") -> list[str]:
    return (cellar / "vessels" / vessel / "daybook.toml").read_text("utf-8").splitlines()


READ = "Damson: read 1.085 at 20 °C, Tue 3 Mar 19:32"


async def test_u_after_x_lifts_the_x_and_names_day_and_value(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("tab", "enter", "tab", "x")
        assert f"taken back: {READ}" in shown(app, "message")
        await pilot.press("u")
        assert f"stands again: {READ}" in shown(app, "message")
        await pilot.press("U")
        assert f"taken back: {READ}" in shown(app, "message")
        await pilot.press("u")
        assert f"stands again: {READ}" in shown(app, "message")
        await pilot.press("u")
        assert f"taken back: {READ}" in shown(app, "message"), "then comes what was done before the x"
        await pilot.press("u")
        assert "taken back: Damson: aerated" in shown(app, "message")


async def test_undo_and_redo_outlive_the_program(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("tab", "enter", "tab", "x")
    later = app_of()
    async with later.run_test(size=SIZE) as pilot:
        await pilot.press("u")
        assert f"stands again: {READ}" in shown(later, "message"), "the last act was the x"
        await pilot.press("u", "u")
        assert "taken back: Damson: aerated" in shown(later, "message")
    third = app_of()
    async with third.run_test(size=SIZE) as pilot:
        await pilot.press("U")
        assert "stands again: Damson: aerated" in shown(third, "message")
        await pilot.press("U")
        assert f"stands again: {READ}" in shown(third, "message")
        await pilot.press("n", *"tart", "enter", "U")
        assert "nothing was taken back" in shown(third, "message"), "what is written anew leaves nothing to restore"


async def test_u_in_a_vessel_touches_no_other(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("n", *"tart", "enter")
        assert "tart" in book(cellar)[-1]
        app.open_vessel("heather")
        await pilot.pause()
        await pilot.press("u")
        assert "taken back: Heather: read 1.001 at 20 °C, Sat 28 Feb 18:32" in shown(app, "message")
        assert "tart" in book(cellar)[-1]


async def test_shift_u_on_a_line_that_takes_back_restores_that_one(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("tab", "enter", "tab", "x", "n", *"tart", "enter", "tab", "tab")
        rows = shown(app, "book").splitlines()
        place = next(at for at, row in enumerate(rows) if "takes back: read 1.085" in row)
        app.screen.query_one("#book").go(place - 1)  # type: ignore[attr-defined]
        await pilot.pause()
        await pilot.press("U")
        assert f"stands again: {READ}" in shown(app, "message")


async def test_a_vessel_started_by_mistake_goes_with_one_key_and_comes_back_with_another(
    app_of: Make, cellar: Path
) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("a", *"Quince", "down", *"4", "down", *"1.090", "enter", "enter")
        await pilot.pause()
        assert (cellar / "vessels" / "quince").is_dir(), shown(app, "message")
        await pilot.press("u")
        await pilot.pause()
        assert not (cellar / "vessels" / "quince").exists()
        assert (cellar / "past" / "quince").is_dir()
        assert "Quince put away, into past/quince" in shown(app, "message")
        assert isinstance(app.screen, Shelf)
        await pilot.press("U")
        assert (cellar / "vessels" / "quince").is_dir()
        await pilot.press("u")
        assert (cellar / "past" / "quince").is_dir()


async def test_an_empty_vessel_of_an_earlier_sitting_goes_with_u_on_its_own_page(app_of: Make, cellar: Path) -> None:
    place = cellar / "vessels" / "quince"
    place.mkdir()
    (place / "vessel.toml").write_text('name = "Quince"\n', "utf-8")
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        app.open_vessel("quince")
        await pilot.pause()
        await pilot.press("u")
        await pilot.pause()
        assert not place.exists()


async def test_put_away_works_everywhere_by_its_name_and_says_why_it_refuses(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        assert any(one.title.startswith("put away") for one in app.get_system_commands(app.screen))
        app.open_vessel("damson")
        await pilot.pause()
        (command,) = [one for one in app.get_system_commands(app.screen) if one.title.startswith("put away")]
        command.callback()
        await pilot.pause()
        assert "still in damson" in shown(app, "message")
        assert (cellar / "vessels" / "damson").is_dir()
