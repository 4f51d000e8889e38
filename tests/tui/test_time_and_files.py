"""What happens while the cellar stands open: midnight, other writers, odd files, a folder that cannot be written."""

from __future__ import annotations

import zlib
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from fermtui.cli.main import run
from fermtui.daybook.places import open_cellar
from fermtui.tui.app import FOLLOW_S, Fermtui
from fermtui.tui.first import LOOKING, READING, First, bare_first, keep_first, read_first
from fermtui.tui.opening import keep_shelf
from fermtui.tui.row_builders import first_of
from fermtui.tui.screens.shelf import Shelf
from fermtui.tui.session import Session
from fermtui.tui.widgets.painted_lines import PaintedLines
from looking import SIZE, Make, shown

from .conftest import CELLAR_TOML, DAMSON, NOW, Clock, write_vessel


async def test_midnight_passes_while_it_stands_open(app_of: Make, clock: Clock) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        assert "Wed 4 Mar 2026" in shown(app, "head")
        assert "LATE   Damson" not in shown(app, "due").replace("LATE  ", "LATE ")
        clock.move(hours=40)
        await pilot.pause(FOLLOW_S * 1.5)
        assert "Fri 6 Mar 2026" in shown(app, "head")
        assert "LATE" in shown(app, "due")


async def test_what_another_program_writes_is_shown(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        line = '20260304T070000000-zzzzzz = { at = 2026-03-04T08:00:00+01:00, did = "read", sg = 1.077, temp_c = 20 }\n'
        with (cellar / "vessels" / "damson" / "daybook.toml").open("a", encoding="utf-8") as book:
            book.write(line)
        await pilot.pause(FOLLOW_S * 1.5)
        assert "1.077" in shown(app, "line")
        write_vessel(cellar, "linden", 'name = "Linden"\n', "")
        await pilot.pause(FOLLOW_S * 1.5)
        assert "Linden" in shown(app, "line")


async def test_an_import_is_followed_and_fills_the_daybook_with_one_line(app_of: Make, cellar: Path) -> None:
    rows = [f"2026-03-0{day}T{hour:02d}:{minute:02d}:00+01:00,{1.095 - 0.004 * (day + hour / 24 - 1.8):.4f}"
            for day in (2, 3) for hour in range(24) for minute in (0, 20, 40)]  # fmt: skip
    table = cellar.parent / "float.csv"
    table.write_text("\n".join(["time,sg", *rows]) + "\n")
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        before = shown(app, "line")
        run(["--cellar", str(cellar), "--on", "2026-03-04 08:30", "import", "damson", str(table), "--by", "float-1"])
        await pilot.pause(FOLLOW_S * 1.5)
        assert shown(app, "line") != before
        await pilot.press("tab")
        while "▸ Damson" not in shown(app, "line"):
            await pilot.press("j")
        await pilot.press("enter")
        book = shown(app, "book")
        assert book.count("by float-1") == 2  # one before the airing of the third day, one after it
        assert book.count("by float-1 and 1 before it") == 2
        assert "float-1" in shown(app, "facts")


@pytest.mark.parametrize("name", ["[bold red]Rot[/]", "\\u001b[2J\\u001b[31mred", "a\\nb", "\\u202Eabc", "x" * 500])
async def test_text_from_files_is_shown_literally(app_of: Make, cellar: Path, name: str) -> None:
    write_vessel(cellar, "odd", f'name = "{name}"\nschedule = "two-doses"\n[plan]\nvolume_l = 4\n', "")
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("tab", "G", "enter")
        for widget in app.screen.query(PaintedLines):
            for y in range(widget.size.height):
                text = widget.render_line(y).text
                assert not any(ord(sign) < 32 or sign in "\u202e\x9b" for sign in text)
                assert len(text) <= SIZE[0]
        if name.startswith("[bold"):
            assert "[bold red]Rot[/]" in shown(app, "head")


async def test_a_damaged_vessel_is_marked_and_hides_no_other(app_of: Make, cellar: Path) -> None:
    book = cellar / "vessels" / "heather" / "daybook.toml"
    book.write_bytes(book.read_bytes() + b'20260228T173200000-bbbbbz = { at = 2026-02-28T18:32:00+01:00, did = "re')
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        assert "1 problem" in shown(app, "head")
        assert "Heather?" in shown(app, "line").replace(" ", "")
        assert "Damson" in shown(app, "line")
        await pilot.press("tab", "G")
        assert "daybook.toml, line 8" in shown(app, "detail")
        await pilot.press("enter")
        assert "line 8" in shown(app, "facts")


async def test_a_mistake_in_cellar_toml_is_said(app_of: Make, cellar: Path) -> None:
    (cellar / "cellar.toml").write_text(CELLAR_TOML + '[units]\nvolume = "bucket"\n', "utf-8")
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert "cellar.toml" in shown(app, "message")
        assert "1 problem" in shown(app, "head")


async def test_the_makers_own_keys(app_of: Make, cellar: Path) -> None:
    (cellar / "cellar.toml").write_text(CELLAR_TOML + '[keys]\nread = "R"\nnote = "q"\nfly = "f"\n', "utf-8")
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert "R reading" in shown(app, "keys")
        assert "already means quit" in shown(app, "message")
        await pilot.press("r")
        assert isinstance(app.screen, Shelf)
        await pilot.press("R")
        assert not isinstance(app.screen, Shelf)


@pytest.mark.parametrize("theme", ["cellar-light", "ansi-dark", "ansi-light", "no-such-theme"])
async def test_the_theme_of_the_maker(app_of: Make, cellar: Path, theme: str) -> None:
    (cellar / "cellar.toml").write_text(CELLAR_TOML + f'[look]\ntheme = "{theme}"\n', "utf-8")
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        known = theme in app.available_themes
        assert app.theme == (theme if known else "cellar-dark")
        assert known or "no theme" in shown(app, "message")


async def test_a_cellar_that_cannot_be_written_says_so(house_of: Callable[[], Session]) -> None:
    def opens() -> Session:
        session = house_of()
        session.read_only = True
        return session

    app = Fermtui(opens)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert "read-only" in shown(app, "message")


async def test_an_empty_cellar_says_what_to_do(cellar: Path, app_of: Make) -> None:
    for vessel in ("damson", "heather"):
        (cellar / "vessels" / vessel).rename(cellar.parent / vessel)
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        assert "Press a" in shown(app, "due")
        await pilot.press("space", "r", "n", "enter", "p", "s", "u")
        assert isinstance(app.screen, Shelf)


def kept(cellar: Path, session: Session, began: datetime) -> First:
    first = first_of(session.view)
    keep_first(open_cellar(cellar), first, began, None)
    return first


def test_the_first_picture_is_that_of_the_last_look(cellar: Path, house_of: Callable[[], Session]) -> None:
    first = kept(cellar, house_of(), NOW.replace(hour=0))
    assert read_first(open_cellar(cellar), NOW, None) == first


def test_on_another_day_what_is_due_is_left_open(cellar: Path, house_of: Callable[[], Session], clock: Clock) -> None:
    first = kept(cellar, house_of(), NOW.replace(hour=0))
    clock.move(days=1)
    found = read_first(open_cellar(cellar), clock(), None)
    assert found is not None
    assert found.due == ()
    assert found.calm == LOOKING
    assert (found.today - first.today).days == 1
    assert [row.gravity for row in found.rows] == [row.gravity for row in first.rows]


def test_another_byte_or_a_damaged_cache_is_no_first_picture(cellar: Path, house_of: Callable[[], Session]) -> None:
    kept(cellar, house_of(), NOW.replace(hour=0))
    head = cellar / "vessels" / "damson" / "vessel.toml"
    head.write_text(DAMSON + "# a word\n", "utf-8")
    assert read_first(open_cellar(cellar), NOW, None) is None
    head.write_text(DAMSON, "utf-8")
    assert read_first(open_cellar(cellar), NOW, None) is not None
    assert read_first(open_cellar(cellar), NOW, "2026-03-04") is None
    for path in (cellar.parent / "cache").glob("*.shelf.json"):
        path.write_text(path.read_text("utf-8")[:-20], "utf-8")
    assert read_first(open_cellar(cellar), NOW, None) is None


def test_ascii_is_asked_of_this_terminal_and_not_of_the_last(
    cellar: Path, house_of: Callable[[], Session], monkeypatch: pytest.MonkeyPatch
) -> None:
    kept(cellar, house_of(), NOW.replace(hour=0))
    for term, ascii_only in (("linux", True), ("xterm-256color", False)):
        monkeypatch.setenv("TERM", term)
        found = read_first(open_cellar(cellar), NOW, None)
        assert found is not None
        assert found.ascii_only is ascii_only


@pytest.mark.parametrize(("old", "new"), [('"Damson"', "7"), ('"done"', '"undone"'), ("2026-03-04", "soon")])
def test_a_picture_out_of_shape_is_none(cellar: Path, house_of: Callable[[], Session], old: str, new: str) -> None:
    kept(cellar, house_of(), NOW.replace(hour=0))
    (path,) = (cellar.parent / "cache").glob("*.shelf.json")
    assert old in path.read_text("utf-8")
    lines = path.read_text("utf-8").partition("\n")[2].replace(old, new).encode()
    path.write_bytes(b"%08x\n" % zlib.crc32(lines) + lines)
    assert read_first(open_cellar(cellar), NOW, None) is None


async def test_a_first_picture_gives_way_to_the_view(
    cellar: Path, house_of: Callable[[], Session], app_of: Make
) -> None:
    first = kept(cellar, house_of(), NOW.replace(hour=0))
    app = app_of(first=first._replace(problems=3))
    async with app.run_test(size=SIZE) as pilot:
        for _ in range(200):  # the engine is loaded after the picture; how long that takes is not the test's business
            if app.first is None:
                break
            await pilot.pause(0.02)
        await pilot.pause()
        assert app.first is None
        assert "problems" not in shown(app, "head")
        assert "dose 1 of 2" in shown(app, "due")


def test_many_vessels_without_a_picture_are_named_at_once(cellar: Path) -> None:
    few = bare_first(open_cellar(cellar), NOW)
    assert few is not None
    assert [row.name for row in few.rows] == ["Damson", "Heather"]
    assert not few.due_known
    for number in range(40):
        write_vessel(cellar, f"batch-{number}", f'name = "Batch {number}"\n', "")
    first = bare_first(open_cellar(cellar), NOW)
    assert first is not None
    assert len(first.rows) == 42
    assert first.calm == READING


async def test_an_edited_cellar_toml_is_taken_on(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        text = CELLAR_TOML + '[look]\ntheme = "cellar-light"\n[keys]\nread = "R"\n'
        (cellar / "cellar.toml").write_text(text, "utf-8")
        await pilot.pause(FOLLOW_S * 1.5)
        assert app.theme == "cellar-light"
        await pilot.press("R")
        assert not isinstance(app.screen, Shelf)


async def test_an_entry_that_an_editor_saved_over_is_told_and_written_again(app_of: Make, cellar: Path) -> None:
    book = cellar / "vessels/damson/daybook.toml"
    before = book.read_text("utf-8")
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        app.commands.read("damson")
        await pilot.pause()
        await pilot.press(*"1.077 20", "enter")
        await pilot.pause(FOLLOW_S * 1.5)
        written = book.read_text("utf-8")
        assert "1.077" in written
        book.write_text(before, "utf-8")
        await pilot.pause(FOLLOW_S * 1.5)
        assert "an editor saved over Damson, read 1.077" in shown(app, "message")
        await pilot.press("U")
        assert book.read_text("utf-8") == written
        assert "written again" in shown(app, "message")
        await pilot.pause(FOLLOW_S * 1.5)
        assert "editor" not in shown(app, "message")


@pytest.mark.parametrize("told_by", ["the clock", "undo"])
async def test_keeping_the_shelf_swallows_no_change(
    house_of: Callable[[], Session], cellar: Path, told_by: str
) -> None:
    book = cellar / "vessels/damson/daybook.toml"
    before = book.read_text("utf-8")
    app = Fermtui(house_of)
    async with app.run_test(size=SIZE) as pilot:
        app.commands.read("damson")
        await pilot.pause()
        await pilot.press(*"1.077 20", "enter")
        assert "1.077" in shown(app, "line")
        written = book.read_text("utf-8")
        app.session.follow()
        book.write_text(before, "utf-8")
        keep_shelf(app.session, None)  # as it is done at rest, half a second after the entry
        if told_by == "undo":
            await pilot.press("u")
        else:
            await pilot.pause(FOLLOW_S * 1.5)
        assert "an editor saved over Damson, read 1.077" in shown(app, "message")
        assert "U writes it again" in shown(app, "message")
        assert "1.077" not in shown(app, "line")
        assert book.read_text("utf-8") == before  # undo took no other entry back
        await pilot.press("U")
        assert book.read_text("utf-8") == written
        await pilot.press("u")
        assert "taken back: " in shown(app, "message")


@pytest.mark.slow
async def test_an_editor_that_saves_at_any_moment_is_told(soak: Callable[[str], Any], tmp_path: Path) -> None:
    figures = await soak("soak_outside_changes").run(tmp_path, 4)
    assert (figures["told"], figures["old value stands"]) == (4, 0)


async def test_what_was_typed_when_it_was_ended_is_told_once_at_the_next_start(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        app.commands.form("damson", "fruit")
        await pilot.pause()
        await pilot.press("tab", *"odd [bold]words")
        app.end_by(15)
        await pilot.pause()
    assert app.return_code == 143
    assert app.typed_kept is not None
    assert "Damson" in app.typed_kept.read_text("utf-8")
    for told in (True, False):
        again = app_of()
        async with again.run_test(size=(200, 24)) as pilot:
            await pilot.pause()
            assert ("not written when fermtui was ended: Damson" in shown(again, "message")) is told
            assert ("odd [bold]words" in shown(again, "message")) is told
    assert len([*app.typed_kept.parent.glob("*.typed.seen.txt")]) == 1
