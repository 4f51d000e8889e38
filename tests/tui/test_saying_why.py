"""A key that does nothing says why, in one line; one word stands for each act."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from fermtui.clock import NotATime
from fermtui.tui.actions import ACTIONS, ALL, LIST, SHELF, VESSEL, elsewhere
from fermtui.tui.screens.needs_screen import NeedsScreen
from fermtui.tui.screens.reason import later_day
from fermtui.tui.screens.shelf import Shelf
from fermtui.tui.screens.vessel_screen import VesselScreen
from looking import SIZE, Make, shown

TODAY = date(2026, 3, 4)


@pytest.mark.parametrize(
    ("key", "says"),
    [
        ("x", "x, strike a line, works inside a vessel"),
        ("e", "e, explain, works inside a vessel"),
        ("z", "z, zoom plot, works inside a vessel"),
        ("escape", "this is the shelf already"),
        ("o", "no bottle of this vessel is left"),
        ("U", "nothing was taken back"),
        ("t", "stands at today already"),
    ],
)
async def test_a_key_of_another_place_says_where_it_works(app_of: Make, key: str, says: str) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press(key)
        await pilot.pause()
        assert says in shown(app, "message")
        assert isinstance(app.screen, Shelf)


async def test_so_in_a_vessel(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("tab", "enter")
        for key, says in (
            ("a", "on the shelf"), ("t", "on the shelf"), ("plus", "on the shelf"), ("x", "go to the daybook first"),
            ("enter", "Space tick off, p put off, s leave out"),
        ):  # fmt: skip
            await pilot.press(key)
            await pilot.pause()
            assert says in shown(app, "message")
            assert isinstance(app.screen, VesselScreen)


async def test_the_scale_says_where_it_ends(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press(*["plus"] * 8)
        assert "as few days as it can" in shown(app, "message")
        await pilot.press(*["minus"] * 8)
        assert "as many days as it can" in shown(app, "message")
        await pilot.press("w", *["minus"] * 4)
        assert isinstance(app.screen, NeedsScreen)
        assert "a week is the shortest span" in shown(app, "head")


async def test_a_vessel_with_nothing_due_says_so(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        for act in (app.commands.tick, app.commands.postpone, app.commands.skip):
            act("heather", None)
            assert "nothing is due for Heather" in shown(app, "message")


async def test_an_empty_cellar_answers_every_key(app_of: Make, cellar: Path) -> None:
    for path in sorted((cellar / "vessels").rglob("*"), reverse=True):
        path.rmdir() if path.is_dir() else path.unlink()
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        for key in ("enter", "space", "r", "p", "s", "n", "i", "o", "c"):
            app.say("")
            await pilot.press(key)
            await pilot.pause()
            assert "there is no vessel" in shown(app, "message")
        for key, says in (("c", "m marks a vessel"), ("m", "nothing has been bottled"), ("p", "nothing has been")):
            await pilot.press("v", key)
            assert says in shown(app, "message")
            await pilot.press("escape")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("+9999", "more than 10 years away"),
        ("+9999w", "outside the years"),
        ("2201-01-01", "outside the years"),
        ("today", "not later than today"),
        ("soon", "is no day"),
        ("", "until when"),
    ],
)
def test_a_day_that_nobody_can_mean_is_refused_in_one_sentence(text: str, says: str) -> None:
    with pytest.raises(NotATime, match=says) as caught:
        later_day(text, TODAY)
    assert "\n" not in str(caught.value)


def test_a_day_to_put_off_to() -> None:
    assert later_day("+2w", TODAY) == date(2026, 3, 18)


async def test_putting_off_too_far_writes_nothing(app_of: Make, cellar: Path) -> None:
    book = cellar / "vessels" / "damson" / "daybook.toml"
    before = book.read_bytes()
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("p")
        assert "put off: Damson" in shown(app, "foot-title")
        await pilot.press(*"+9999 honey", "enter")
        assert "more than 10 years away" in shown(app, "foot-says")
        assert book.read_bytes() == before
        await pilot.press("escape", "s")
        assert "leave out: Damson" in shown(app, "foot-title")


def test_one_word_for_each_act() -> None:
    said = " ".join(f"{action.label} {action.says}" for action in ACTIONS)
    for word in ("skip", "postpone", "delay"):
        assert word not in said.lower()


def test_every_action_key_is_answered_in_both_places() -> None:
    for action in (one for one in ACTIONS if {SHELF, VESSEL, LIST, ALL} & set(one.where)):
        for place in (SHELF, VESSEL):
            here = {place, LIST, "app"} & set(action.where)
            key = action.keys.split(",")[0]
            assert bool(elsewhere(key, (place, LIST, "app"), {})) is not bool(here)
