"""A file in the maker's editor and back, and text for the terminal's clipboard."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from fermtui.tui import outside
from fermtui.tui.app import Fermtui
from looking import SIZE, Make, shown


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """What editors were started; the screens are left for them."""
    calls: list[list[str]] = []

    @contextmanager
    def suspend(_app: Fermtui) -> Iterator[None]:
        calls.append(["left the screens"])
        yield

    def start(words: list[str]) -> int:
        calls.append(words)
        return 0

    monkeypatch.setattr(Fermtui, "suspend", suspend)
    monkeypatch.setattr("subprocess.call", start)
    monkeypatch.setattr("shutil.which", lambda name: f"/bin/{name}" if name in ("nano", "code") else None)
    monkeypatch.delenv("VISUAL", raising=False)
    monkeypatch.setenv("EDITOR", "nano -w")
    return calls


def test_an_editor_is_named_by_the_maker_or_a_usual_one(
    opened: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert opened == []
    path = Path("/cellar/daybook.toml")
    assert outside.editor_command(path, 7) == ["nano", "-w", "+7", str(path)]
    monkeypatch.setenv("VISUAL", "code --wait")  # knows no +LINE
    assert outside.editor_command(path, 7) == ["code", "--wait", str(path)]
    monkeypatch.delenv("VISUAL")
    monkeypatch.delenv("EDITOR")
    assert outside.editor_command(path, None) == ["nano", str(path)]
    for wrong in ("nosuch", 'nano "', ""):
        monkeypatch.setenv("EDITOR", wrong)
        assert outside.editor_command(path, 1) is None or wrong == ""


async def test_the_shelf_opens_the_settings(app_of: Make, cellar: Path, opened: list[list[str]]) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        await pilot.press("E")
        await pilot.pause()
        assert opened == [["left the screens"], ["nano", "-w", str(cellar / "cellar.toml")]]
        assert "cellar.toml was open in nano" in shown(app, "message")


async def test_a_vessel_opens_its_daybook_at_the_line(app_of: Make, cellar: Path, opened: list[list[str]]) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        app.open_vessel("damson")
        await pilot.pause()
        app.screen.query_one("#book").focus()
        await pilot.press("G", "E")
        await pilot.pause()
        words = opened[-1]
        assert words[:2] == ["nano", "-w"]
        assert words[-1] == str(cellar / "vessels/damson/daybook.toml")
        assert words[2].startswith("+")
        assert 1 <= int(words[2][1:]) <= len((cellar / "vessels/damson/daybook.toml").read_text().splitlines())


async def test_without_an_editor_it_says_how_to_name_one(
    app_of: Make, opened: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("EDITOR", "nosuch")
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        await pilot.press("E")
        await pilot.pause()
        assert "set EDITOR" in shown(app, "message")
        assert opened == []


async def test_a_terminal_that_cannot_be_left_is_said(app_of: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("EDITOR", "true")  # the test's driver cannot be suspended
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        await pilot.press("E")
        await pilot.pause()
        assert "cannot be left for an editor" in shown(app, "message")


async def test_numbers_and_lines_are_copied(app_of: Make, cellar: Path) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        app.open_vessel("damson")
        await pilot.pause()
        app.screen.query_one("#steps").focus()
        await pilot.press("y")
        await pilot.pause()
        assert app.clipboard.startswith("vessel: Damson\nstage: ")
        assert "strength: " in app.clipboard
        assert "copied the numbers" in shown(app, "message")
        app.screen.query_one("#book").focus()
        await pilot.press("G", "y")
        await pilot.pause()
        assert app.clipboard in (cellar / "vessels/damson/daybook.toml").read_text().splitlines()


async def test_the_palette_shows_the_key_of_each_action(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        named = [command.title for command in app.get_system_commands(app.screen)]
        assert "reading  (r)" in named
        assert "keys  (?)" in named
