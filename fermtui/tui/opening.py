"""How the commands open the screens."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from fermtui.tui.app import Fermtui
from fermtui.tui.house import House

if TYPE_CHECKING:
    from fermtui.view import Watched


def run(watched: Watched, clock: Callable[[], datetime], *, theme: str | None = None, place: str = "") -> int:
    """Open this cellar on the terminal until it is closed; the exit status.

    `clock` gives now in the cellar's zone; `theme` goes before the one in cellar.toml; `place` stands in the head line.
    """
    look = watched.settings.look
    house = House(watched, clock, ascii_only=look.ascii or os.environ.get("TERM") == "linux",
                  read_only=not os.access(watched.cellar.path, os.W_OK))  # fmt: skip
    return Fermtui(house, place, theme).run(mouse=look.mouse) or 0
