"""A painted list with a cursor: keys, mouse and scrolling for the due list, the time line and the vessel's lists."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.binding import BindingType
from textual.message import Message

from fermtui.tui.actions import bindings
from fermtui.tui.widgets.painted_lines import PaintedLines


class Listing(PaintedLines, can_focus=True):
    """Rows under a few head lines. `self.cursor` is the chosen row, `self.top` the first one drawn."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("list")
    HEAD = 0
    STEP = 1
    """lines a row takes"""

    class Moved(Message):
        """Another row is under the cursor."""

        def __init__(self, listing: Listing) -> None:
            super().__init__()
            self.listing = listing

        @property
        def control(self) -> Listing:
            return self.listing

    class Opened(Moved):
        """Enter, or a click on the row that already is under the cursor."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id, classes=classes)
        self.cursor = 0
        self.top = 0

    def count(self) -> int:
        """How many rows there are."""
        raise NotImplementedError

    def room_for(self, height: int) -> int:
        """How many rows find room in a height; the last line says how many are below when not all do."""
        room = max(1, (height - self.HEAD) // self.STEP)
        return room if self.count() <= room else max(1, (height - self.HEAD - 1) // self.STEP)

    def window(self, height: int) -> range:
        """The rows to draw: moves `top` as little as it can so that the cursor is among them."""
        room, count = self.room_for(height), self.count()
        self.cursor = max(0, min(self.cursor, count - 1))
        self.top = max(min(self.top, self.cursor, count - room), self.cursor - room + 1, 0)
        return range(self.top, min(count, self.top + room))

    def go(self, row: int) -> None:
        """Put the cursor on a row, or the nearest there is."""
        row = max(0, min(row, self.count() - 1))
        if row != self.cursor:
            self.cursor = row
            self.repaint()
            self.post_message(self.Moved(self))

    def action_down(self) -> None:
        self.go(self.cursor + 1)

    def action_up(self) -> None:
        self.go(self.cursor - 1)

    def action_page_down(self) -> None:
        self.go(self.cursor + self.room_for(self.size.height))

    def action_page_up(self) -> None:
        self.go(self.cursor - self.room_for(self.size.height))

    def action_first(self) -> None:
        self.go(0)

    def action_last(self) -> None:
        self.go(self.count() - 1)

    def action_open(self) -> None:
        self.post_message(self.Opened(self))

    def on_focus(self) -> None:
        self.refresh()

    def on_blur(self) -> None:
        self.refresh()

    def on_click(self, event: events.Click) -> None:
        row = self.top + (event.y - self.HEAD) // self.STEP
        if event.y < self.HEAD or not self.top <= row < self.count():
            return
        if row == self.cursor and event.chain > 1:
            self.action_open()
        self.go(row)

    def on_mouse_scroll_down(self) -> None:
        self.action_down()

    def on_mouse_scroll_up(self) -> None:
        self.action_up()


def more(shown: range, count: int) -> str:
    """What a list says of the rows that found no room."""
    parts = [f"{shown.start} above"] if shown.start else []
    if count > shown.stop:
        parts.append(f"{count - shown.stop} below")
    return ", ".join(parts)
