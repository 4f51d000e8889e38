"""The same life by the keyboard at 80 x 24, with a moving clock; it leaves the same daybook but for ids."""

from __future__ import annotations

import importlib.util
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from fermtui.cellar.store import CellarStore
from fermtui.cli.main import run
from fermtui.daybook.places import open_cellar
from fermtui.tui.app import Fermtui
from fermtui.tui.screens.form import EntryForm
from fermtui.tui.screens.new_vessel_screen import StartScreen
from fermtui.tui.screens.shelf import Shelf
from fermtui.tui.screens.vessel_screen import VesselScreen
from fermtui.tui.session import Session

pytestmark = pytest.mark.slow

_SPEC = importlib.util.spec_from_file_location("whole_life", Path(__file__).parent.parent / "cli" / "whole_life.py")
assert _SPEC is not None
assert _SPEC.loader is not None
life: Any = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(life)

LAST = "2026-12-01T20:00:00+01:00"
VIENNA = ZoneInfo("Europe/Vienna")


def moment(text: str) -> datetime:
    return datetime.fromisoformat(text).astimezone(VIENNA)


class Hand:
    """Presses keys, and looks where they lead."""

    def __init__(self, app: Fermtui, pilot: Pilot[Any]) -> None:
        self.app, self.pilot = app, pilot

    async def type_into(self, name: str, text: str) -> None:
        """Tab to the field of that id, and type over what stands there."""
        for _ in range(30):
            focused = self.app.focused
            if isinstance(focused, Input) and focused.id == name:
                break
            await self.pilot.press("tab")
        assert self.app.focused is not None
        assert self.app.focused.id == name
        await self.pilot.press("end", "ctrl+u", *(_key(char) for char in text))

    async def to_step(self, key: str) -> None:
        """The cursor of the steps to that step, from the top down."""
        screen = self.app.screen
        assert isinstance(screen, VesselScreen)
        await self.pilot.press("g")
        for _ in range(30):
            if screen.steps.chosen == key:
                return
            await self.pilot.press("j")
        raise AssertionError(f"no step {key}")


def _key(char: str) -> str:
    return {" ": "space", ".": "full_stop", ",": "comma", "-": "minus", "@": "at"}.get(char, char)


async def start(hand: Hand) -> None:
    await hand.pilot.press("a")
    assert isinstance(hand.app.screen, StartScreen)
    for name, text in life.VESSEL.items():
        await hand.type_into(f"want-{name}", text)
    await hand.pilot.press("enter", "enter")
    assert isinstance(hand.app.screen, VesselScreen)


async def do(hand: Hand, act: Any) -> None:
    if act.how == "read":
        await hand.pilot.press("r", *(_key(char) for char in act.what), "enter")
        return
    await hand.to_step(act.what)
    await hand.pilot.press("space")
    if isinstance(hand.app.screen, EntryForm):
        for name, text in act.typed.items():
            await hand.type_into(f"field-{name}", text)
        await hand.pilot.press("enter")


def by_commands(folder: Path) -> Path:
    """The same life by commands, in another cellar; its daybook."""
    folder.mkdir()
    (folder / "cellar.toml").write_text('timezone = "Europe/Vienna"\n', "utf-8")
    (folder / "vessels").mkdir()
    begin = [
        "start", "Damson", "--volume", "3.2L", "--gravity", "1.095", "--capacity", life.GALLON_L, "--schedule",
        "fruit-to-bottle", "--fruit", "plum", "--mass", "1lb", "--treatment", "frozen",
    ]  # fmt: skip
    assert run(["--cellar", str(folder), *begin, "--on", "2026-03-01T17:50:00+01:00"]) == 0
    for act in life.LIFE:
        words = ["read", "damson", act.what] if act.how == "read" else ["tick", "damson", act.what]
        typed = [f"{name}={text}" for name, text in act.typed.items()]
        assert run(["--cellar", str(folder), *words, *typed, "--on", act.at]) == 0
    for _ in range(4):
        words = ["write", "damson", "open", "count=1", "size_ml=750", "why=drunk"]
        assert run(["--cellar", str(folder), *words, "--on", LAST]) == 0
    assert run(["--cellar", str(folder), "put-away", "damson"]) == 0
    return folder / "past" / "damson" / "daybook.toml"


async def test_from_an_idea_to_the_last_bottle_by_the_keyboard(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "cache"))
    cellar = tmp_path / "cellar"
    (cellar / "vessels").mkdir(parents=True)
    (cellar / "cellar.toml").write_text('timezone = "Europe/Vienna"\n', "utf-8")
    now = [moment("2026-03-01T17:50:00+01:00")]

    def opens() -> Session:
        return Session(CellarStore(open_cellar(cellar), lambda: now[0]), lambda: now[0])

    book = cellar / "vessels" / "damson" / "daybook.toml"
    app = Fermtui(opens)
    clock: Callable[[str], None] = lambda text: now.__setitem__(0, moment(text))  # noqa: E731 - moves the clock
    async with app.run_test(size=(80, 24)) as pilot:
        hand = Hand(app, pilot)
        await start(hand)
        for number, act in enumerate(life.LIFE, start=1):
            clock(act.at)
            app.session.renew()
            app.drawn()
            await do(hand, act)
            assert isinstance(app.screen, VesselScreen), act
            assert life.lines(book) == number, act
        clock(LAST)
        app.session.renew()
        await pilot.press("escape")
        assert isinstance(app.screen, Shelf)
        for _ in range(4):
            await pilot.press("v", "o", "d", "escape")
        assert [entry["did"] for entry in life.told(book)].count("open") == 4
        await pilot.press("v", "p")
        assert (cellar / "past" / "damson").is_dir()
    by_keys = life.told(cellar / "past" / "damson" / "daybook.toml")
    other = by_commands(tmp_path / "commands")
    capsys.readouterr()
    assert by_keys == life.told(other)
    head = (cellar / "past" / "damson" / "vessel.toml").read_text("utf-8")
    assert head == other.with_name("vessel.toml").read_text("utf-8")
