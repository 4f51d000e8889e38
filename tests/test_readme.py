"""The README says what the program does: its two commands, its keys and its commands come from the same tables."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from fermtui import __version__, clock
from fermtui.cli.usage import COMMANDS
from fermtui.schedule.condition_parser import CONDITIONS
from fermtui.schedule.parser import STEP_FIELDS
from fermtui.schedule.planned_steps import WHENS
from fermtui.tui.actions import ACTIONS, SIGNS
from fermtui.writing.reading_line import read_line

README = Path(__file__).parent.parent / "README.md"
DEVELOPERS = README.with_name("DEVELOPERS.md")


def key_rows() -> list[str]:
    """A row a key, as the README has them."""
    rows = ["| key | name | does |", "|---|---|---|"]
    for action in ACTIONS:
        keys = " ".join(f"`{SIGNS.get(key, key)}`" for key in action.keys.split(","))
        rows.append(f"| {keys} | `{action.id}` | {action.says} |")
    return rows


def command_rows() -> list[str]:
    """A line a command, as the README has them."""
    return [
        f"    {' '.join(part for part in ('fermtui', name, command.words) if part):<50} {command.does}"
        for name, command in COMMANDS.items()
    ]


def test_every_key_stands_in_the_readme() -> None:
    assert "\n".join(key_rows()) in README.read_text("utf-8")


def test_every_condition_and_field_of_a_schedule_stands_in_the_readme() -> None:
    page = README.read_text("utf-8")
    for name in (*CONDITIONS, *STEP_FIELDS, *WHENS):
        assert f"`{name}`" in page or f"`{name} = " in page, name


def test_every_command_stands_in_the_readme() -> None:
    assert "\n".join(command_rows()) in README.read_text("utf-8")


def test_the_two_commands_are_the_promised_ones() -> None:
    text = README.read_text("utf-8")
    assert "python3 -m venv .venv && .venv/bin/pip install -q . && .venv/bin/fermtui demo\n" in text
    assert "python3 -m venv .venv && .venv/bin/pip install -q '.[test]' && .venv/bin/pytest\n" in text


NOW = datetime(2026, 3, 18, 20, 15, tzinfo=ZoneInfo("Europe/Berlin"))


def test_each_time_in_the_readme_is_understood_in_commands_and_in_a_reading() -> None:
    table = README.read_text("utf-8").partition("| written | means |\n|---|---|\n")[2].partition("\n\n")[0]
    times = [said for row in table.splitlines() for said in re.findall(r"`([^`]+)`", row.split("|")[1])]
    assert len(times) > 10
    for said in times:
        assert clock.read_when(said, NOW.tzinfo or UTC, NOW) <= NOW
        assert read_line(f"1.042 21 {said}", NOW).at <= NOW


def test_each_day_to_come_in_the_readme_is_understood() -> None:
    (line,) = [line for line in README.read_text("utf-8").splitlines() if line.startswith("A day to come")]
    days = re.findall(r"`([^`]+)`", line)
    assert len(days) > 5
    assert all(clock.read_day(said, NOW.date()) > NOW.date() for said in days)


def test_the_newest_heading_of_the_changelog_is_the_version() -> None:
    changelog = DEVELOPERS.read_text("utf-8").partition("\n## CHANGELOG\n")[2]
    headings = re.findall(r"^### (.+)$", changelog, re.MULTILINE)
    assert headings[0] == __version__
    assert "\n## " not in changelog  # it stands at the end
    numbers = [tuple(int(part) for part in heading.split(".")) for heading in headings]
    assert numbers == sorted(numbers, reverse=True)
