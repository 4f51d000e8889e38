"""The one table of actions: help, README and keymap come from it."""

from __future__ import annotations

from pathlib import Path

import pytest

from fermtui.tui.actions import ACTIONS, FOOTER, keymap, shown_keys

README = Path(__file__).parents[2] / "README.md"


def test_the_readme_has_the_table_as_it_is() -> None:
    rows = [f"| {' '.join(f'`{key}`' for key in keys_of(action.id))} | {action.says} |" for action in ACTIONS]
    assert "\n".join(rows) in README.read_text("utf-8")


def keys_of(name: str) -> list[str]:
    action = next(action for action in ACTIONS if action.id == name)
    return ["Shift Tab"] if action.keys == "shift+tab" else shown_keys(action, {}).split(" ")


def test_every_action_has_its_own_name_and_the_footer_names_real_ones() -> None:
    names = [action.id for action in ACTIONS]
    assert len(set(names)) == len(names)
    assert set(names) >= FOOTER


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
