"""Bench, needs, bottles and past, any entry: by the keyboard at 80 x 24, with the files looked at after each act."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from fermtui.daybook.kinds import KINDS
from fermtui.tui.app import Fermtui
from fermtui.tui.screens.bench import BenchScreen
from fermtui.tui.screens.entry_chooser import EntryChooser
from fermtui.tui.screens.form import EntryForm
from fermtui.tui.screens.needs_screen import NeedsScreen
from fermtui.tui.screens.past import PastScreen
from fermtui.tui.screens.shelf import Shelf
from fermtui.tui.screens.text_page import TextPage
from fermtui.tui.widgets.painted_lines import PaintedLines
from looking import SIZE, Make, shown

QUINCE = """\
name = "Quince"
schedule = "two-doses"
[plan]
volume_l = 4.0
gravity = 1.090
"""
BOTTLED = """\
20250901T173000000-ccccca = { at = 2025-09-01T18:30:00+02:00, did = "read", sg = 1.090, temp_c = 20 }
20250901T173200000-cccccb = { at = 2025-09-01T18:32:00+02:00, did = "pitch" }
20251001T173200000-cccccc = { at = 2025-10-01T18:32:00+02:00, did = "read", sg = 0.998, temp_c = 20 }
20251120T173200000-cccccd = { at = 2025-11-20T18:32:00+01:00, did = "bottle", count = 2, size_ml = 750 }
20251220T173200000-ccccce = { at = 2025-12-20T18:32:00+01:00, did = "taste", taste = "quince", score = 14 }
"""


@pytest.fixture
def bottled(cellar: Path) -> Path:
    """A bottled vessel beside the others; its daybook."""
    place = cellar / "vessels" / "quince"
    place.mkdir()
    (place / "vessel.toml").write_text(QUINCE, "utf-8")
    (place / "daybook.toml").write_text(BOTTLED, "utf-8")
    return place / "daybook.toml"


def said(app: Fermtui) -> str:
    return "\n".join("\n".join(words.text()) for words in app.screen.query("#message").results(PaintedLines))


async def test_a_sum_on_the_bench_follows_what_is_typed(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("b", "j")
        assert isinstance(app.screen, BenchScreen)
        assert "strength needs" in shown(app, "result")
        await pilot.press("tab", *"1,095", "tab", *"1000")
        # HMRC Notice 226, factor 0.135 between 89.8 and 100.7 points: 95 x 0.135 = 12.8 % vol.
        assert "12.7 %" in shown(app, "result")
        await pilot.press("f2")
        assert isinstance(app.screen, TextPage)
        assert "by volume" in shown(app, "text") or "vol" in shown(app, "text")
        await pilot.press("f2", "shift+tab", "backspace", "backspace", "backspace", "backspace", *"9")
        assert "needs" in shown(app, "result") or "gravity" in shown(app, "result")
        await pilot.press("escape")
        assert isinstance(app.screen, Shelf)


async def test_the_sulfite_caution_stands_above_its_numbers(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("b", *"jjjj", "enter", *"4L", "tab", *"3.4", "tab", *"12")
        page = shown(app, "result")
        assert "metabisulfite" in page
        assert page.index("asthma") < page.index("free SO2 wanted")


async def test_needs_change_with_the_span(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("w")
        assert isinstance(app.screen, NeedsScreen)
        month = shown(app, "needs")
        assert "next 30 days" in month
        assert "DAP" in month
        await pilot.press("minus")
        assert "next 14 days" in shown(app, "needs")
        await pilot.press("plus", "plus")
        assert "next 60 days" in shown(app, "needs")
        await pilot.press("escape")
        assert isinstance(app.screen, Shelf)


async def test_a_bottle_opened_is_one_entry_and_one_undo(app_of: Make, bottled: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("v")
        assert isinstance(app.screen, PastScreen)
        assert "2 left" in shown(app, "lots")
        assert "scored 14 of 20" in shown(app, "lots")
        await pilot.press("o", "d")
        assert 'did = "open", count = 1, size_ml = 750.0, why = "drunk"' in bottled.read_text("utf-8")
        assert "1 left" in shown(app, "lots")
        await pilot.press("u")
        assert 'did = "strike"' in bottled.read_text("utf-8")
        assert "2 left" in shown(app, "lots")


async def test_a_burst_bottle_warns_for_its_whole_lot(app_of: Make, bottled: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("v", "o", "b")
        assert 'why = "burst"' in bottled.read_text("utf-8")
        assert "whole lot may go" in said(app)
        assert "1 BURST" in shown(app, "lot")


async def test_the_last_bottle_leads_to_putting_away_and_back(app_of: Make, bottled: Path, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("v", "p")
        assert "2 bottles are left" in said(app)
        assert bottled.exists()
        await pilot.press("o", "d", "o", "g")
        assert "last one" in said(app)
        await pilot.press("p")
        assert (cellar / "past" / "quince" / "daybook.toml").is_file()
        assert "put away" in shown(app, "lots")
        await pilot.press("o")
        assert "p brings it back" in said(app)
        await pilot.press("u")
        assert bottled.is_file()


async def test_a_tasting_by_its_form(app_of: Make, bottled: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("v", "t")
        assert isinstance(app.screen, EntryForm)
        app.screen.query_one("#field-score", Input).value = "21"
        before = bottled.read_bytes()
        await pilot.press("enter")
        assert bottled.read_bytes() == before
        assert "0 to 20" in shown(app, "foot-says")
        app.screen.query_one("#field-score", Input).value = "16,5"
        await pilot.press("enter")
        assert "score = 16.5" in bottled.read_text("utf-8")
        assert "scored 14, 16.5 of 20" in shown(app, "lots")


async def test_marked_batches_stand_side_by_side(app_of: Make, bottled: Path, cellar: Path) -> None:
    other = cellar / "past" / "rowan"
    other.mkdir(parents=True)
    (other / "vessel.toml").write_text('name = "Rowan"\n', "utf-8")
    (other / "daybook.toml").write_text(bottled.read_text("utf-8"), "utf-8")
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("v", "c")
        assert "m marks a vessel, and another" in said(app)
        await pilot.press("m", "j", "m", "c")
        assert isinstance(app.screen, TextPage)
        page = shown(app, "text")
        assert "Quince" in page
        assert "Rowan" in page
        assert "days to dry" in page


async def test_any_entry_has_its_form_its_guard_and_its_undo(app_of: Make, cellar: Path) -> None:
    book = cellar / "vessels" / "damson" / "daybook.toml"
    before = book.read_bytes()
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("i")
        assert isinstance(app.screen, EntryChooser)
        rows = app.screen.query_one("#kinds")
        listed = [did for did, kind in KINDS.items() if kind.listed]
        await pilot.press(*["j"] * listed.index("bottle"))
        assert rows.chosen == "bottle"  # type: ignore[attr-defined]  # a Rows, by its own id
        await pilot.press("enter")
        assert isinstance(app.screen, EntryForm)
        app.screen.query_one("#field-count", Input).value = "4"
        app.screen.query_one("#field-size_ml", Input).value = "750"
        await pilot.press("enter")
        assert book.read_bytes() == before  # a live ferment is not bottled without a reason
        assert app.screen.query_one("#reason").display
        app.screen.query_one("#override", Input).value = "a test of the guard"
        await pilot.press("enter")
        assert isinstance(app.screen, Shelf)
        assert 'override = "a test of the guard"' in book.read_text("utf-8")
        await pilot.press("u")
        assert 'did = "strike"' in book.read_text("utf-8")


async def test_racking_offers_the_free_containers(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        app.commands.form("damson", "rack")
        await pilot.pause()
        assert app.focused is app.screen.query_one("#field-into")
        assert "free: Demijohn 2" in shown(app, "foot-says")
        await pilot.press("d", "e", "right", "enter")
        assert 'into = "Demijohn 2"' in (cellar / "vessels" / "damson" / "daybook.toml").read_text("utf-8")


async def test_no_bottle_no_opening(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("o")
        assert isinstance(app.screen, Shelf)
        assert "no bottle" in said(app)


STALLED = """\
20260101T173000000-ddddda = { at = 2026-01-01T18:30:00+01:00, did = "read", sg = 1.100, temp_c = 20 }
20260101T173200000-dddddb = { at = 2026-01-01T18:32:00+01:00, did = "pitch" }
20260115T173200000-dddddc = { at = 2026-01-15T18:32:00+01:00, did = "read", sg = 1.042, temp_c = 17 }
20260205T173200000-dddddd = { at = 2026-02-05T18:32:00+01:00, did = "read", sg = 1.040, temp_c = 17, ph = 2.9 }
20260222T173200000-ddddde = { at = 2026-02-22T18:32:00+01:00, did = "read", sg = 1.040, temp_c = 17 }
20260303T173200000-dddddf = { at = 2026-03-03T18:32:00+01:00, did = "read", sg = 1.040, temp_c = 17 }
"""


async def test_a_stalled_vessel_leads_to_its_check_list(app_of: Make, bottled: Path) -> None:
    bottled.write_text(STALLED, "utf-8")
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await app.workers.wait_for_complete()
        app.open_vessel("quince")
        await pilot.pause()
        facts = shown(app, "facts")
        assert "stalled at 1.039" in facts  # 1.040 read at 17 °C
        assert "c what to look at" in facts
        await pilot.press("c")
        page = shown(app, "acts")
        assert "pH            2.90 is too low" in page
        assert "Leave alone" in page
        assert "now            warm and swirl" in page
        await pilot.press("escape", "escape")
        assert "CHECK" in shown(app, "due").splitlines()[0]
        await pilot.press("g", "enter")
        assert "what to do" in shown(app, "acts"), "Enter on the row opens the check list"
        await pilot.press("enter")  # the act under the cursor
        await pilot.pause()
        assert 'task = "trouble-warm"' in bottled.read_text("utf-8")
        assert "CHECK" not in shown(app, "due")
        await pilot.press("G", "c")
        assert "Nothing is the matter" in shown(app, "text")


async def test_a_schedule_is_looked_at_copied_and_taken_back(app_of: Make, cellar: Path) -> None:
    copy = cellar / "schedules" / "my-braggot.toml"
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("S", "enter")
        assert isinstance(app.screen, TextPage)
        assert "pitch the yeast" in shown(app, "text")
        await pilot.press("escape", "c", "enter")
        assert copy.is_file()
        assert "yours, Braggot" in shown(app, "schedules")
        await pilot.press("c", *"my-braggot", "enter")
        assert "already" in shown(app, "foot-says")
        await pilot.press("escape", "u")
        assert not copy.exists()
        await pilot.press("u")
        assert "nothing was copied" in said(app)


async def test_an_edited_copy_of_a_schedule_is_not_taken_back(app_of: Make, cellar: Path) -> None:
    copy = cellar / "schedules" / "mine.toml"
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("S", "c", *"mine", "enter")
        copy.write_text(copy.read_text("utf-8") + "# mine\n", "utf-8")
        await pilot.press("u")
        assert "has been edited" in said(app)
        assert copy.is_file()


async def test_a_split_by_its_form_starts_a_vessel_and_one_undo_takes_both_lines(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        app.commands.form("damson", "split")
        await pilot.pause()
        assert "Still to give: into, volume." in shown(app, "foot-says")
        await pilot.press(*"damson-b", "tab", *"1.5", "enter")
        assert 'did = "split", into = "damson-b"' in (cellar / "vessels" / "damson" / "daybook.toml").read_text("utf-8")
        book = cellar / "vessels" / "damson-b" / "daybook.toml"
        assert 'did = "receive", from = "damson"' in book.read_text("utf-8")
        await pilot.press("u")
        assert 'did = "strike"' in book.read_text("utf-8")
        assert "taken back" in said(app)


async def test_a_form_leads_to_where_its_numbers_come_from(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        app.commands.form("damson", "dose")
        await pilot.pause()
        await pilot.press("f2")
        assert "DAP, this dose  1.1 g" in shown(app, "source"), "the number that the form filled in"
        assert "all doses together" in shown(app, "source")
        assert "nitrogen need" in shown(app, "numbers")
        await pilot.press("f2")
        assert isinstance(app.screen, EntryForm)


async def test_a_closure_is_named_with_the_age_it_is_good_for(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        app.commands.form("damson", "bottle")
        await pilot.pause()
        app.screen.query_one("#field-closure").focus()
        await pilot.pause()
        assert "hand cork 6 months" in shown(app, "foot-says")
        assert "screw cap 10 y" in shown(app, "foot-says")


async def test_a_form_says_what_follows_and_it_comes_true(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        app.commands.form("heather", "feed")
        await pilot.pause()
        await pilot.press(*"300")
        follows = next(line for line in shown(app, "foot-says").splitlines() if "Then:" in line)
        await pilot.press("enter")
        seen = app.session.vessel("heather")
        assert seen is not None
        assert seen.gravity is not None
        assert f"{seen.gravity:.3f}" in follows
        assert f"{seen.abv_percent:.1f} % vol" in follows


async def test_a_plan_says_how_it_is_reckoned_before_it_is_written(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("a", "f2")
        assert "not whole yet" in said(app)
        await pilot.press(*"Rowan", "tab", *"4L", "tab", *"1095", "f2")
        page = shown(app, "text")
        for number in ("honey  ", "water  ", "strength at the end", "yeast  ", "nitrogen need", "DAP, all doses"):
            assert number in page
        await pilot.press("f2", "f3")
        assert "two-doses" in shown(app, "schedules")
        await pilot.press("escape", "escape")
        assert isinstance(app.screen, Shelf)
    assert not (cellar / "vessels" / "rowan").exists()
