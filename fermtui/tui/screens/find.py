"""The line that finds a vessel by its name."""

from __future__ import annotations

from collections.abc import Callable

from fermtui.cellar.store import View
from fermtui.tui.screens.line import LineScreen
from fermtui.tui.widgets.lines import Line, wrapped
from fermtui.wording.plain import plain

SHOWN = 12


class FindLine(LineScreen):
    """Goes to the first vessel that fits what is typed. Says which ones do."""

    ROOM = 1

    def __init__(self, view: View, go_to: Callable[[str], None]) -> None:
        super().__init__("find a vessel", "the first letters of its name")
        self.named = [(one.vessel, plain(one.name, 40)) for one in view.vessels]
        self.go_to = go_to

    def found(self, text: str) -> list[tuple[str, str]]:
        """The vessels that fit, those whose name or folder begins so first."""
        letters = text.strip().casefold()
        begin = [pair for pair in self.named if any(part.casefold().startswith(letters) for part in pair)]
        hold = [pair for pair in self.named if pair not in begin and any(letters in part.casefold() for part in pair)]
        return [*begin, *hold]

    def understood(self, text: str) -> list[Line]:
        found = self.found(text)
        if not found:
            return [[(f"  no vessel is called so: {plain(text.strip(), 40)}", "quiet")]]
        first, *others = [name for _, name in found[:SHOWN]]
        rest = f", then {', '.join(others)}" if others else ""
        role = "accent" if text.strip() else "quiet"
        return wrapped(f"{first}{rest}", role, self.app.size.width, 1)

    def enter(self, text: str) -> list[Line] | None:
        found = self.found(text)
        if not text.strip() or not found:
            return [[("  type some letters of its name", "warn")]] if not text.strip() else self.understood(text)
        self.go_to(found[0][0])
        return None
