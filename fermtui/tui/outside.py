"""What leaves the screens for a moment: a file opened in the maker's editor, and text copied to the terminal."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
from pathlib import Path
from typing import TYPE_CHECKING

from textual.app import SuspendNotSupported

from fermtui.daybook.lines import line_number
from fermtui.daybook.places import DAYBOOK, SCHEDULES, SETTINGS, VESSELS
from fermtui.reports.vessel_text import fact_rows, forecast_rows
from fermtui.wording.plain import plain

if TYPE_CHECKING:
    from fermtui.tui.cellar_app import CellarApp

TO_A_LINE = frozenset({"vi", "vim", "nvim", "nano", "emacs", "emacsclient", "micro", "kak", "joe", "ne", "mg", "hx"})
"""Editors that take `+LINE` before the file."""
USUAL = ("sensible-editor", "nano", "vi")


def editor_command(path: Path, line: int | None) -> list[str] | None:
    """The words that open a file at a line in $VISUAL, $EDITOR or a usual editor; None where there is none."""
    named = os.environ.get("VISUAL") or os.environ.get("EDITOR") or next(filter(shutil.which, USUAL), "")
    try:
        words = shlex.split(named)
    except ValueError:
        words = [named]
    if not words or shutil.which(words[0]) is None:
        return None
    at = [f"+{line}"] if line is not None and Path(words[0]).name in TO_A_LINE else []
    return [*words, *at, str(path)]


def edit(app: CellarApp, path: Path, line: int | None = None) -> None:
    """Leave the screens to the editor until it is closed, then look at the files again."""
    command = editor_command(path, line)
    if command is None:
        app.say("no editor is known: set EDITOR, as in EDITOR=nano", "warn")
        return
    try:
        with app.suspend():
            status = subprocess.call(command)
    except SuspendNotSupported:
        app.say(f"this terminal cannot be left for an editor; the file is {plain(path, 200)}", "warn")
        return
    except OSError as fault:
        app.say(f"{plain(command[0], 60)} could not be started: {plain(fault.strerror or fault, 100)}", "warn")
        return
    app.refresh(layout=True)
    if status:
        app.say(f"{plain(command[0], 60)} ended with {status}: look whether the file was kept", "warn")
    else:
        name = plain(Path(command[0]).name, 40)
        app.say(f"{plain(path.name, 60)} was open in {name}; `fermtui check` explains mistakes")


def edit_settings(app: CellarApp) -> None:
    """Open cellar.toml."""
    edit(app, app.session.store.cellar.path / SETTINGS)


def edit_daybook(app: CellarApp, vessel: str, key: str | None) -> None:
    """Open a vessel's daybook, at the line of an entry where one is chosen."""
    path = app.session.store.cellar.path / VESSELS / vessel / DAYBOOK
    line = None
    if key is not None and path.is_file():
        line = line_number(path.read_bytes(), key)
    edit(app, path, line)


def edit_schedule(app: CellarApp, name: str) -> None:
    """Open a schedule of the maker's own; one of the library is copied first."""
    path = app.session.store.cellar.path / SCHEDULES / f"{name}.toml"
    if path.is_file():
        edit(app, path)
    else:
        app.say(f"{plain(name, 60)} is of the library: copy it first ({app.key('copy')})", "warn")


def copy_entry(app: CellarApp, vessel: str, key: str) -> None:
    """Copy the line of an entry as it stands in the file."""
    path = app.session.store.cellar.path / VESSELS / vessel / DAYBOOK
    data = path.read_bytes() if path.is_file() else b""
    number = line_number(data, key)
    lines = data.split(b"\n")
    if number is None or number > len(lines):
        app.say("that line is no longer in the file", "warn")
        return
    copy(app, lines[number - 1].decode("utf-8", "replace").strip(), "the line of the daybook")


def copy_numbers(app: CellarApp, vessel: str) -> None:
    """Copy what the vessel's page shows of it."""
    view = app.session.vessel(vessel)
    if view is None:
        return
    settings, now = app.session.view.settings, app.session.view.now
    rows = [("vessel", plain(view.name, 60)), *fact_rows(view, settings.units), *forecast_rows(view, settings, now)]
    copy(app, "\n".join(f"{label}: {value}" if label else value for label, value in rows), "the numbers")


def copy(app: CellarApp, text: str, what: str) -> None:
    """Hand text to the terminal's clipboard (OSC 52); whether it takes it, nobody is told."""
    app.copy_to_clipboard(text)
    app.say(f"copied {what}, if your terminal lets programs do that")
