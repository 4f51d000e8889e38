"""The one table of actions: every screen's keys, key lines, help, README and keymap come from it."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import fermtui
from fermtui.tui.actions import ACTIONS, BY_ID, KEY_LINES, TYPED, keymap
from fermtui.tui.screens.help import help_lines
from looking import SIZE, Make, shown

TUI = Path(fermtui.__file__).parent / "tui"


def test_every_action_has_its_own_name_and_the_key_lines_name_real_ones() -> None:
    names = [action.id for action in ACTIONS]
    assert len(set(names)) == len(names)
    assert {name for line in KEY_LINES.values() for name in line} <= set(names)


def test_every_key_line_names_actions_that_work_there() -> None:
    inside = {"shelf": {"list", "app"}, "vessel": {"app"}, "entries": {"list"}, "schedules": {"list"}}
    for place, line in KEY_LINES.items():
        places = {place, *inside.get(place, set())}
        assert [name for name in line if not places & set(BY_ID[name].where)] == []


def is_table(node: ast.expr | None) -> bool:
    """Whether an expression is a call of `bindings`."""
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "bindings"


@pytest.mark.parametrize("path", sorted(TUI.rglob("*.py")), ids=lambda path: path.name)
def test_no_key_is_bound_outside_the_table(path: Path) -> None:
    if path.name == "actions.py":
        return
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Call):
            assert getattr(node.func, "id", "") != "Binding"
        if isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            if any(isinstance(target, ast.Name) and target.id == "BINDINGS" for target in targets):
                assert is_table(node.value)


def test_help_names_every_action() -> None:
    text = "\n".join("".join(run for run, _ in line) for line in help_lines({}, 240, ascii_only=False))
    assert [action.id for action in ACTIONS if action.says not in text] == []


def own_keys(cellar: Path, lines: str) -> None:
    """Put the maker's own keys into cellar.toml."""
    place = cellar / "cellar.toml"
    place.write_text(place.read_text("utf-8") + f"[keys]\n{lines}\n", "utf-8")


async def test_own_keys_work_on_a_list_over_the_shelf_and_its_key_line_shows_them(cellar: Path, app_of: Make) -> None:
    own_keys(cellar, 'copy = "y"\nback = "B"\nclose = "X"')
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("S")
        assert "y copy, to edit" in shown(app, "keys")
        assert "B back" in shown(app, "keys")
        await pilot.press("c", "escape", "q")
        assert type(app.screen).__name__ == "Schedules"
        await pilot.press("y")
        assert type(app.screen).__name__ == "CopyLine"
        await pilot.press("escape", "X")
        assert type(app.screen).__name__ == "Shelf"


async def test_own_keys_write_and_leave_a_form_and_its_title_shows_them(cellar: Path, app_of: Make) -> None:
    own_keys(cellar, 'write = "f9"\nleave = "f10"\nundo = "f5"')
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("r")
        assert "F9 writes it" in shown(app, "foot-title")
        assert "F10 leaves it" in shown(app, "foot-title")
        await pilot.press("f10")
        assert type(app.screen).__name__ == "Shelf"
        await pilot.press("n", *"hello", "f9")
        assert type(app.screen).__name__ == "Shelf"
        assert "hello" in shown(app, "message")
        assert "(F5 takes it back)" in shown(app, "message")


async def test_a_click_on_the_key_line_of_a_list_does_what_the_key_does(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("S")
        await pilot.click("#keys", offset=(shown(app, "keys").index("copy"), 0))
        assert type(app.screen).__name__ == "CopyLine"


async def test_the_key_line_follows_when_the_keys_change(cellar: Path, app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        assert "u undo" in shown(app, "keys")
        own_keys(cellar, 'undo = "f5"')
        await pilot.pause(1.5)
        assert "F5 undo" in shown(app, "keys")


def test_a_letter_is_refused_where_text_is_typed() -> None:
    taken, problems = keymap({"leave": "y", "how": "f4"})
    assert taken == {"how": "f4"}
    assert "'y' for leave would be typed as text" in problems[0]
    assert {action.id for action in ACTIONS if set(action.where) & TYPED} >= {"write", "leave", "how"}


def test_a_page_over_the_shelf_may_use_the_keys_that_it_covers() -> None:
    assert keymap({"taste": "r", "given": "q1"})[1] == []
    assert keymap({"taste": "j"})[1] != []  # the list on that page moves down by it


def test_no_key_does_two_things_in_one_place() -> None:
    assert keymap({action.id: action.keys for action in ACTIONS})[1] == []


@pytest.mark.parametrize("key", ["ctrl", "alt", "cmd"])
def test_daily_work_needs_no_chord(key: str) -> None:
    assert not any(key in action.keys for action in ACTIONS)


def test_own_keys_are_taken_unless_they_clash_or_mean_nothing() -> None:
    taken, problems = keymap({"read": "R,f5", "note": "q", "fly": "f"})
    assert taken == {"read": "R,f5"}
    assert len(problems) == 2
    assert "'q' for note already means quit" in problems[0]
    assert "no action 'fly'" in problems[1]


def test_two_actions_may_change_places() -> None:
    taken, problems = keymap({"read": "n", "note": "r"})
    assert taken == {"read": "n", "note": "r"}
    assert problems == []
