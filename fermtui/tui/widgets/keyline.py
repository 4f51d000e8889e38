"""The key line at the bottom: the few keys of a place, from the one table of actions."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, cast

from textual import events

from fermtui.reports.runs import Run
from fermtui.tui.actions import BY_ID, KEY_LINES, key_of
from fermtui.tui.widgets.lines import Line
from fermtui.tui.widgets.painted_lines import PaintedLines

if TYPE_CHECKING:
    from fermtui.tui.cellar_app import CellarApp

ALWAYS = ("help", "quit", "back", "leave")


def key_runs(place: str, changed: Mapping[str, str]) -> Line:
    """The keys of a place, three blanks apart."""
    names = KEY_LINES[place]
    pairs = [((key_of(name, changed), "key"), (f" {BY_ID[name].label}   ", "quiet")) for name in names]
    runs = [run for pair in pairs for run in pair]
    return [*runs[:-1], (runs[-1][0].rstrip(), "quiet")]


class KeyLine(PaintedLines):
    """As many keys of a place as fit; those that lead out or to help always do. A click does what the key does."""

    def __init__(self, place: str, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self.place = place
        self._spots: list[tuple[int, int, str]] = []

    def paint(self, width: int, height: int) -> list[Line]:  # noqa: ARG002
        changed = cast("CellarApp", self.app).changed_keys
        kept = [(name, key_of(name, changed), BY_ID[name].label) for name in KEY_LINES[self.place]]
        while kept and sum(len(key) + len(label) + 3 for _, key, label in kept) - 1 > width:
            drop = next((i for i in range(len(kept) - 1, -1, -1) if kept[i][0] not in ALWAYS), None)
            if drop is None:
                break
            del kept[drop]
        runs: list[Run] = [(" ", "quiet")]
        self._spots, at = [], 1
        for name, key, label in kept:
            runs += [(key, "key"), (f" {label}  ", "quiet")]
            self._spots.append((at, at + len(key) + len(label) + 1, name))
            at += len(key) + len(label) + 3
        runs[-1] = (runs[-1][0].rstrip(), runs[-1][1])
        return [runs]

    async def on_click(self, event: events.Click) -> None:
        for start, end, name in self._spots:
            if start <= event.x < end:
                await self.run_action(self._command(name))

    def _command(self, name: str) -> str:
        """What a click runs: the list under the cursor first, then the screen, then the app."""
        command = BY_ID[name].run or name
        method = f"action_{command.partition('(')[0]}"
        focused = self.screen.focused
        if "." in command:
            return command
        if focused is not None and hasattr(focused, method):
            return f"focused.{command}"
        return f"screen.{command}" if hasattr(self.screen, method) else f"app.{command}"
