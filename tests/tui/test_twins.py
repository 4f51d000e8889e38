"""Every screen has its twin among the commands, and the README names it."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from pathlib import Path

from textual.screen import Screen

from fermtui.cli.usage import COMMANDS
from fermtui.tui import screens

README = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
ROW_OF = {
    "Shelf": "shelf", "VesselScreen": "vessel", "Sources": "explained number",
    "TroubleScreen": "check list of a trouble", "ReadingLine": "reading line", "TickForm": "ticking off",
    "LeaveOutLine": "ticking off",
    "PutOffLine": "ticking off", "EntryForm": "any entry", "EntryChooser": "any entry", "NoteLine": "any entry",
    "OpenBottle": "any entry", "StartScreen": "new vessel", "NeedsScreen": "what to buy", "BenchScreen": "bench",
    "PastScreen": "bottles and past", "Schedules": "schedules", "CopyLine": "schedules", "FindLine": "find a vessel",
    "Help": "keys",
}  # fmt: skip
NOT_THEMSELVES_SHOWN = {"Modal", "CellarScreen", "LineScreen", "ReasonLine", "TextPage", "TooSmall"}
"""Others are built on them, or they only say that the window is too small."""


def classes() -> set[str]:
    found: set[str] = set()
    for module in pkgutil.iter_modules(screens.__path__):
        loaded = importlib.import_module(f"{screens.__name__}.{module.name}")
        found |= {
            name for name, one in inspect.getmembers(loaded, inspect.isclass)
            if issubclass(one, Screen) and one.__module__ == loaded.__name__
        }  # fmt: skip
    return found


def test_every_screen_has_its_twin_in_the_readme() -> None:
    assert classes() - NOT_THEMSELVES_SHOWN == set(ROW_OF)
    table = README.partition("### Every screen in words")[2].partition("\n## ")[0]
    rows = dict(re.findall(r"^\| ([^|]+) \| ([^|]+) \|$", table, re.MULTILINE))
    for screen, row in ROW_OF.items():
        words = next((words for name, words in rows.items() if name.startswith(row)), None)
        assert words is not None, screen
        for command in re.findall(r"`fermtui ([^`]*)`", words):
            name = command.split()[0]
            assert name.startswith("--") or name in COMMANDS, command
