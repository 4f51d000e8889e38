"""The key line at the bottom: the few keys of this place, from the one table of actions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from textual import events

from fermtui.reports.runs import Run
from fermtui.tui.actions import Action, shown_keys
from fermtui.tui.widgets.cells import Line, PaintedLines


class KeyLine(PaintedLines):
    """As many keys as fit; 'keys' and 'quit' always do. A click does what the key does."""

    def __init__(self, actions: Iterable[Action], changed: Mapping[str, str], *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self.entries = [(action.id, shown_keys(action, changed, first_only=True), action.label) for action in actions]
        self._spots: list[tuple[int, int, str]] = []

    def paint(self, width: int, height: int) -> list[Line]:  # noqa: ARG002
        kept = list(self.entries)
        while kept and sum(len(key) + len(label) + 3 for _, key, label in kept) - 1 > width:
            drop = next((i for i in range(len(kept) - 1, -1, -1) if kept[i][0] not in ("help", "quit", "back")), None)
            if drop is None:
                break
            del kept[drop]
        runs: list[Run] = [(" ", "quiet")]
        self._spots, at = [], 1
        for action, key, label in kept:
            runs += [(key, "key"), (f" {label}  ", "quiet")]
            self._spots.append((at, at + len(key) + len(label) + 1, action))
            at += len(key) + len(label) + 3
        runs[-1] = (runs[-1][0].rstrip(), runs[-1][1])
        return [runs]

    async def on_click(self, event: events.Click) -> None:
        for start, end, action in self._spots:
            if start <= event.x < end:
                await self.run_action(f"screen.{action}" if action not in ("help", "quit") else f"app.{action}")
