"""The daily loop at the keys: see what is due, tick it off, type a gravity, take it back."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from fermtui.tui.app import Fermtui
from fermtui.tui.screens.shelf import Shelf
from fermtui.tui.widgets.painted_lines import PaintedText
from looking import SIZE, Make, shown


def book(cellar: Path, vessel: str = "damson") -> list[str]:
    return (cellar / "vessels" / vessel / "daybook.toml").read_text("utf-8").splitlines()


def message(app: Fermtui) -> str:
    shelf = next(screen for screen in app.screen_stack if isinstance(screen, Shelf))
    return "\n".join(shelf.query_one("#message", PaintedText).text())


async def to_task(pilot: Pilot[int], words: str) -> None:
    """The cursor of the due list onto the row with these words."""
    app = pilot.app
    assert isinstance(app, Fermtui)
    assert isinstance(app.screen, Shelf)
    rows = app.screen.due.rows
    app.screen.due.go(next(i for i, row in enumerate(rows) if words in f"{row.name} {row.do}"))
    await pilot.pause()


async def test_the_shelf_at_a_glance(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert shown(app, "head").split() == ["Wed", "4", "Mar", "2026", *shown(app, "head").split()[4:]]
        assert "late" in shown(app, "head")
        assert "Damson" in shown(app, "due")
        assert "1.1 g DAP" in shown(app, "due")
        assert "dose 1 of 2" in shown(app, "due")
        assert "1.085" in shown(app, "line")
        assert "Heather" in shown(app, "line")


async def test_space_writes_the_planned_amounts(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await to_task(pilot, "Damson dose 1")
        before = len(book(cellar))
        await pilot.press("space")
        lines = book(cellar)
        assert len(lines) == before + 1
        assert 'did = "dose"' in lines[-1]
        assert "dap_g = 1.1" in lines[-1]
        assert 'task = "dose-1"' in lines[-1]
        assert "Damson: dosed 1.1 g DAP" in message(app)
        assert "dose 1 of 2" not in shown(app, "due")


async def test_undo_says_what_it_took_back_and_restores(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await to_task(pilot, "Damson dose 1")
        await pilot.press("space", "u")
        assert 'did = "strike"' in book(cellar)[-1]
        assert message(app).strip().startswith("taken back: Damson: dosed 1.1 g DAP")
        assert "dose 1 of 2" in shown(app, "due")
        await pilot.press("U")
        assert message(app).strip().startswith("stands again: Damson: dosed")
        assert "dose 1 of 2" not in shown(app, "due")
        await pilot.press("u")
        assert "dose 1 of 2" in shown(app, "due")


async def test_undo_in_a_later_sitting_brings_nothing_back(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await to_task(pilot, "Damson dose 1")
        await pilot.press("space", "u")
    later = app_of()
    async with later.run_test(size=SIZE) as pilot:
        await to_task(pilot, "Damson dose 1")
        await pilot.press("enter")
        for _ in range(2):
            await pilot.press("u")
            assert message(later).strip().startswith("taken back: ")
            assert "taken back: Damson: taken back" not in message(later)
            assert "dosed" not in message(later)
        struck = [line for line in book(cellar) if 'did = "strike"' in line]
        assert len(struck) == 3


async def test_undo_without_anything_written_touches_nothing(app_of: Make, cellar: Path) -> None:
    for vessel in ("damson", "heather"):
        (cellar / "vessels" / vessel / "daybook.toml").write_text("", "utf-8")
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("u")
        assert book(cellar) == []
        assert "nothing has been written" in message(app)


async def test_a_reading_in_a_few_keystrokes(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await to_task(pilot, "Damson dose 1")
        await pilot.press("r", *"1078 20")
        assert "1.0780 at 20 °C" in shown(app, "foot-says")
        assert "down 7 points" in shown(app, "foot-says")
        await pilot.press("enter")
        assert "sg = 1.078" in book(cellar)[-1]
        assert "1.078" in shown(app, "line")


async def test_a_rising_gravity_is_asked_for_once_more(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await to_task(pilot, "Damson dose 1")
        before = len(book(cellar))
        await pilot.press("r", *"1.091", "enter")
        assert len(book(cellar)) == before
        assert "Enter once more" in shown(app, "foot-says")
        await pilot.press("enter")
        assert len(book(cellar)) == before + 1
        assert "sg = 1.091" in book(cellar)[-1]
        assert "override" in book(cellar)[-1]


@pytest.mark.parametrize("typed", ["1.9", "abc", "1.042 @ 400", ""])
async def test_what_cannot_be_is_refused_and_stays_typed(app_of: Make, cellar: Path, typed: str) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await to_task(pilot, "Damson dose 1")
        before = book(cellar)
        await pilot.press("r")
        app.screen.query_one(Input).value = typed
        await pilot.press("enter", "enter")
        assert book(cellar) == before
        assert app.screen.query_one(Input).value == typed
        assert "write it like" in shown(app, "foot-says") or "°C" in shown(app, "foot-says")


async def test_note_put_off_and_leave_out(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await to_task(pilot, "Damson dose 1")
        await pilot.press("n")
        app.screen.query_one(Input).value = "smells of pear"
        await pilot.press("enter")
        assert 'text = "smells of pear"' in book(cellar)[-1]
        await to_task(pilot, "Damson dose 1")
        await pilot.press("p")
        app.screen.query_one(Input).value = "+1 no scales here"
        assert "Thu 5 Mar" in await said(pilot)
        await pilot.press("enter")
        assert "until = 2026-03-05" in book(cellar)[-1]
        assert 'reason = "no scales here"' in book(cellar)[-1]
        await to_task(pilot, "Damson dose 1")
        await pilot.press("s", "enter")
        assert 'did = "skip"' in book(cellar)[-1]
        assert "dose 1 of 2" not in shown(app, "due")


async def said(pilot: Pilot[int]) -> str:
    await pilot.pause()
    app = pilot.app
    assert isinstance(app, Fermtui)
    return shown(app, "foot-says")


async def test_postponing_into_the_past_is_refused(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await to_task(pilot, "Damson dose 1")
        before = book(cellar)
        await pilot.press("p")
        app.screen.query_one(Input).value = "2026-03-01"
        await pilot.press("enter")
        assert book(cellar) == before
        assert "not later than today" in shown(app, "foot-says")


async def test_a_full_disk_is_told_and_the_text_stays(
    app_of: Make, cellar: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await to_task(pilot, "Damson dose 1")
        before = book(cellar)
        real_write = __import__("os").write

        def short_write(fd: int, data: bytes) -> int:
            return int(real_write(fd, data[:7])) if b"did" in data else int(real_write(fd, data))

        await pilot.press("r", *"1.078")
        monkeypatch.setattr("os.write", short_write)
        await pilot.press("enter")
        monkeypatch.undo()
        assert app.screen.query_one(Input).value == "1.078"
        assert "disk" in shown(app, "foot-says")
        assert book(cellar) == before


async def test_after_a_tick_the_cursor_stays_with_the_vessel(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        shelf = app.screen
        assert isinstance(shelf, Shelf)
        await to_task(pilot, "Damson dose 1")
        while shelf.due.has("damson"):
            assert shelf.target()[0] == "damson"
            await pilot.press("space")
            if not isinstance(app.screen, Shelf):  # a task with numbers to give: leave it out instead
                await pilot.press("escape", "s", "enter")
            await pilot.pause()
        assert shelf.focused is shelf.line
        assert shelf.target()[0] == "damson"
        await pilot.press("n", *"smells of plum", "enter")
        assert "smells of plum" in book(cellar)[-1]
