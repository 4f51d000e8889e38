"""The README says what the program does: its two commands, its keys and its commands come from the same tables."""

from __future__ import annotations

from pathlib import Path

from fermtui.cli.usage import COMMANDS
from fermtui.tui.actions import ACTIONS, SIGNS

README = Path(__file__).parent.parent / "README.md"


def key_rows() -> list[str]:
    """A row a key, as the README has them."""
    rows = ["| key | does |", "|---|---|"]
    for action in ACTIONS:
        keys = " ".join(f"`{SIGNS.get(key, key)}`" for key in action.keys.split(","))
        rows.append(f"| {keys} | {action.says} |")
    return rows


def command_rows() -> list[str]:
    """A line a command, as the README has them."""
    return [
        f"    {' '.join(part for part in ('fermtui', name, command.words) if part):<50} {command.does}"
        for name, command in COMMANDS.items()
    ]


def test_every_key_stands_in_the_readme() -> None:
    assert "\n".join(key_rows()) in README.read_text("utf-8")


def test_every_command_stands_in_the_readme() -> None:
    assert "\n".join(command_rows()) in README.read_text("utf-8")


def test_the_two_commands_are_the_promised_ones() -> None:
    text = README.read_text("utf-8")
    assert "python3 -m venv .venv && .venv/bin/pip install -q . && .venv/bin/fermtui demo\n" in text
    assert "python3 -m venv .venv && .venv/bin/pip install -q '.[test]' && .venv/bin/pytest\n" in text
