"""The shelf with many vessels: what spoils first, every row that has room, one line a vessel, any vessel by name."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from textual.widgets import Input

from fermtui.tui.app import Fermtui
from fermtui.tui.screens.shelf import Shelf
from fermtui.tui.widgets.headline import headline
from fermtui.tui.widgets.painted_lines import PaintedLines
from fermtui.tui.widgets.rows import Rows
from looking import SIZE, Make, shown

COUNT = 25


@pytest.fixture
def many(cellar: Path) -> Path:
    """As many vessels as a keen maker has, like the two of the small cellar."""
    for number in range(COUNT - 2):
        source = cellar / "vessels" / ("damson" if number % 2 else "heather")
        place = cellar / "vessels" / f"batch-{number:02d}"
        place.mkdir()
        head = (source / "vessel.toml").read_text("utf-8").replace('container = "Demijohn 1"', "capacity_l = 5.0")
        name = "Damson" if number % 2 else "Heather"
        (place / "vessel.toml").write_text(head.replace(f'"{name}"', f'"Batch {number:02d}"'), "utf-8")
        (place / "daybook.toml").write_text((source / "daybook.toml").read_text("utf-8"), "utf-8")
    return cellar


def lines_of(app: Fermtui) -> list[str]:
    """Every line of the screen, top down."""
    lines = [""] * app.size.height
    for piece in app.screen.query(PaintedLines):
        if piece.display:
            for at, text in enumerate(piece.text()[: piece.size.height]):
                lines[piece.region.y + at] = text
    return lines


@pytest.mark.usefixtures("many")
@pytest.mark.parametrize("size", [SIZE, (60, 20), (120, 40)])
async def test_no_line_is_empty_while_rows_are_hidden(app_of: Make, size: tuple[int, int]) -> None:
    app = app_of()
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        assert "below" in shown(app, "due")
        assert "below" in shown(app, "line")
        assert all(line.strip() for line in lines_of(app)), lines_of(app)
        await pilot.press("n", *"tart", "enter")
        assert "tart" in shown(app, "message"), "what was done is still said"


@pytest.mark.usefixtures("many")
async def test_every_vessel_is_one_line_on_demand(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=(80, 32)) as pilot:
        app.session.store.make_forecasts()
        app.session.renew()
        app.drawn()
        await pilot.pause()
        before = shown(app, "head")
        await pilot.press("f")
        rows = shown(app, "due").splitlines()
        assert len(rows) == COUNT
        first = next(row for row in rows if "Damson" in row)
        assert "1.085" in first
        assert "dose 1 of 2" in first
        assert shown(app, "head") == before, "the counts are of tasks, however they are shown"
        await pilot.press("tab")
        assert "shows the time line again" in shown(app, "message")
        await pilot.press("f")
        assert "vessel" in shown(app, "line")


@pytest.mark.usefixtures("many")
async def test_a_vessel_is_found_by_its_name(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("slash", *"ch 07")
        assert shown(app, "foot-says").strip() == "Batch 07"
        await pilot.press("enter")
        assert isinstance(app.screen, Shelf)
        assert app.screen.target()[0] == "batch-07"
        await pilot.press("enter", "slash", *"heath", "enter")
        assert "Heather" in shown(app, "head"), "in a vessel it goes to the other one's page"
        await pilot.press("slash", *"nobody", "enter")
        assert "no vessel is called so" in shown(app, "foot-says")
        app.screen.query_one(Input).value = ""
        await pilot.press("enter")
        assert "type some letters" in shown(app, "foot-says")
        await pilot.press("escape")


async def test_what_spoils_by_waiting_stands_above_a_tasting_however_late(app_of: Make, cellar: Path) -> None:
    """Common practice, no source: a dose and the cap today, a tasting when there is time."""
    book = cellar / "vessels" / "heather" / "daybook.toml"
    with book.open("a", encoding="utf-8") as file:
        file.write(
            'zz = { at = 2025-08-01T12:00:00+02:00, did = "bottle", count = 5, size_ml = 750, override = "a test" }\n'
        )
    app = app_of()
    async with app.run_test(size=SIZE):
        rows = [row for row in app.screen.query_one("#due").rows if row.task]  # type: ignore[attr-defined]
        assert any(row.do.startswith("taste") and row.state == "late" for row in rows)
        pressing = [row for row in rows if row.state in ("late", "due")]
        first_taste = next(at for at, row in enumerate(pressing) if row.do.startswith("taste"))
        assert all(row.do.startswith(("taste", "bottle", "open")) for row in pressing[first_taste:])


async def test_the_likely_finish_stands_beside_each_ferment(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        app.session.store.make_forecasts()
        app.session.renew()
        app.drawn()
        await pilot.pause()
        view = app.session.vessel("damson")
        assert view is not None
        assert view.forecast is not None
        assert view.forecast.finish is not None
        likely = view.forecast.finish.likely
        row = next(line for line in shown(app, "line").splitlines() if "Damson" in line)
        assert f"~{likely.day} {likely:%b}" in row
        assert view.forecast.chances.finish is not None
        assert abs(view.forecast.chances.finish.likely_day - view.forecast.answers.finish()[1]) < 1e-9  # type: ignore[index]


@pytest.mark.usefixtures("many")
async def test_the_page_of_a_vessel_begins_at_its_next_open_step(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        for name in ("heather", "damson"):
            app.open_vessel(name)
            await pilot.pause()
            view = app.session.vessel(name)
            chosen = app.screen.query_one("#steps", Rows).chosen
            assert view is not None
            task = view.task(chosen or "")
            assert task is not None
            pressing = [one for one in view.tasks if one.state in ("late", "due")]
            assert task.is_open
            assert not pressing or task in pressing
            rows = shown(app, "steps").splitlines()
            assert any(row.startswith("▸") for row in rows), "it is in sight"
            await pilot.press("escape")


@pytest.mark.parametrize("width", [60, 64, 80])
def test_the_head_counts_trouble_and_drops_what_presses_least(width: int) -> None:
    line = headline(date(2026, 3, 18), 14, 12, 41, 0, width, "", check=4)
    text = "".join(part for part, _ in line)
    assert len(text) <= width
    assert "4 to check" in text
    assert ("this week" in text) == (width > 60)
