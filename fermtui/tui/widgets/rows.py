"""A list of ready lines with a title: the steps and the daybook of a vessel."""

from __future__ import annotations

from typing import NamedTuple

from fermtui.tui.widgets.lines import CURSOR, Line
from fermtui.tui.widgets.listing import Listing, more


class ListItem(NamedTuple):
    """One row: `key` names what it stands for."""

    key: str
    runs: Line


class Rows(Listing):
    """Ready rows under a title."""

    HEAD = 1

    def __init__(self, title: str, *, ascii_only: bool = False, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self.heading, self.ascii_only = title, ascii_only
        self.items: tuple[ListItem, ...] = ()

    def show(self, items: tuple[ListItem, ...]) -> None:
        """Other rows; the cursor stays on the same key."""
        if items == self.items:
            return
        held = self.chosen
        self.items = items
        self.choose(held)
        self.repaint()

    @property
    def chosen(self) -> str | None:
        """The key under the cursor."""
        return self.items[self.cursor].key if self.cursor < len(self.items) else None

    def choose(self, key: str | None, *, lead: int | None = None) -> None:
        """The cursor to that key, if it is there; with `lead`, that many rows from the top."""
        for index, item in enumerate(self.items):
            if item.key == key:
                self.cursor = index
                if lead is not None:
                    self.top = max(0, index - lead)
                self.repaint()

    def count(self) -> int:
        return len(self.items)

    def runs_of(self, index: int) -> Line:
        """The line of a row; asked only for the rows in the window."""
        return self.items[index].runs

    def paint(self, width: int, height: int) -> list[Line]:  # noqa: ARG002
        shown = self.window(height)
        rest = more(shown, len(self.items)) if len(shown) < len(self.items) else ""
        lines: list[Line] = [[("  " + self.heading, "title"), (f"   {rest}" if rest else "", "quiet")]]
        for index in shown:
            here = index == self.cursor
            sign = (">" if self.ascii_only else "▸") if here else " "
            lines.append([(sign + " ", CURSOR if here else "text"), *self.runs_of(index)])
        return lines

    def room_for(self, height: int) -> int:
        """What is hidden stands in the title, so every line below it can hold a row."""
        return max(1, height - self.HEAD)
