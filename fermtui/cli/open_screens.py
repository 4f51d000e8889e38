"""`fermtui`: open the cellar on the screen; where there is no screen to draw on, print what is due."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from fermtui.cli.args import Call, WrongUsage
from fermtui.daybook.files import expanded
from fermtui.daybook.places import default_path


def run(call: Call) -> int:
    """Open the cellar that the call names."""
    if call.operands or call.pairs:
        raise WrongUsage(f"there is no command {call.operands[0] if call.operands else min(call.pairs)!r}")
    given = call.options.get("cellar")
    return open_screen(call, expanded(given) if given else default_path())


def open_screen(call: Call, path: Path) -> int:
    """The screens, or the plain list where the terminal cannot draw them."""
    if "json" in call.options or not can_draw():
        # Textual, and the command for a terminal without screens: only one of them is needed.
        from fermtui.cli import due

        options = {name: value for name, value in call.options.items() if name != "theme"}
        return due.run(Call("due", {**options, "cellar": str(path)}, (), {}))
    from fermtui.tui.opening import open_cellar_app

    return open_cellar_app(path, on=call.options.get("on"), theme=call.options.get("theme"))


def can_draw() -> bool:
    """Whether standard output is a terminal that understands cursor movement, or a server draws for a browser."""
    if os.environ.get("TEXTUAL_DRIVER"):
        return True
    return sys.stdout.isatty() and sys.stdin.isatty() and os.environ.get("TERM", "") not in ("", "dumb", "unknown")
