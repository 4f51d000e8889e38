"""Texts of the files are shown, never obeyed: no escape, line end or turned line reaches the terminal."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from pathlib import Path

import pytest
from textual.widgets import Input

from fermtui.tui.app import Fermtui
from fermtui.tui.widgets.painted_lines import PaintedText
from looking import Make

SIZE = (100, 30)
EVIL = '"=1+1\\u001b[31m\\u009b2J[bold]b[/bold][/]\\u202eabc\\r\\nLINE2"'
HEAD = f"""\
name = {EVIL}
capacity_l = 5.0
schedule = "own"
[plan]
volume_l = 4.0
gravity = 1.095
spice = {EVIL}
"""
BOOK = """\
a0 = { at = 2026-03-01T18:30:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1200 }
a1 = { at = 2026-03-01T18:32:00+01:00, did = "pitch", yeast_g = 2.0 }
"""
OWN = f"""\
title = {EVIL}
[[step]]
key = "odd"
do = "add"
what = {EVIL}
say = {EVIL}
due = {{ after = "pitch", days = 1 }}
"""


@pytest.fixture
def evil(cellar: Path) -> Path:
    folder = cellar / "vessels/evil"
    folder.mkdir()
    (folder / "vessel.toml").write_text(HEAD, "utf-8")
    (folder / "daybook.toml").write_text(BOOK, "utf-8")
    (cellar / "schedules").mkdir()
    (cellar / "schedules/own.toml").write_text(OWN, "utf-8")
    with (cellar / "cellar.toml").open("a", encoding="utf-8") as file:
        file.write(f"[[container]]\nname = {EVIL}\ncapacity_l = 5.0\n[[yeast]]\nname = {EVIL}\n")
    return cellar


def fit(text: str) -> bool:
    return not any(unicodedata.category(char) in ("Cc", "Cf", "Cs", "Zl", "Zp") for char in text)


def on_screen(app: Fermtui) -> str:
    """Everything on the screen, as it goes to the terminal."""
    width, height = app.size
    strips = [widget.render_line(y) for widget in app.screen.query("*") for y in range(min(height, widget.size.height))]
    assert width
    return "".join(strip.text for strip in strips)


async def test_a_name_full_of_escapes_is_shown_as_marks_everywhere(app_of: Make, evil: Path) -> None:
    del evil
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        acts: tuple[Callable[[], object], ...] = (
            lambda: app.commands.note("evil"), lambda: app.commands.read("evil"),
            lambda: app.commands.form("evil", "add"), lambda: app.commands.postpone("evil", None),
        )  # fmt: skip
        for act in acts:
            act()
            await pilot.pause()
            text = on_screen(app)
            assert fit(text), ascii(text)
            await pilot.press("escape")
        await pilot.press("a")
        assert fit("".join(name for names in app.screen._listed.values() for name in names))  # type: ignore[attr-defined]  # noqa: SLF001


async def test_what_a_form_fills_in_is_plain_and_is_written_as_it_was_planned(app_of: Make, evil: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        app.commands.tick("evil", "odd")
        await pilot.pause()
        what = app.screen.query_one("#field-what", Input)
        assert what.value.startswith("=1+1\N{REPLACEMENT CHARACTER}[31m")
        assert fit(what.value)
        app.screen.query_one("#field-mass_g", Input).value = "5"
        await pilot.press("enter")
        assert 'what = "=1+1\\u001b[31m' in (evil / "vessels/evil/daybook.toml").read_text("utf-8")


async def test_the_last_line_of_defence_is_the_widget_that_paints(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        app.say("\x1b[2J\u202egone")
        await pilot.pause()
        message = app.screen.query_one("#message", PaintedText)
        assert fit(message.render_line(0).text)
