"""What the tests of the screens have in common: the window, how an app is made, and what stands in one piece of it."""

from __future__ import annotations

from collections.abc import Callable

from fermtui.tui.app import Fermtui
from fermtui.tui.widgets.painted_lines import PaintedLines

SIZE = (80, 24)
Make = Callable[..., Fermtui]


def shown(app: Fermtui, name: str) -> str:
    """The text of the piece of that id, line under line."""
    return "\n".join(app.screen.query_one(f"#{name}", PaintedLines).text())
