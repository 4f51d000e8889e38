"""A widget that paints lines of (text, role) runs: all our own pictures stand on it.

A picture is drawn by a pure function into runs; here a role becomes a component class, so that dark, light and ansi
themes colour it, and each line is simplified so that few bytes go over a slow line.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip
from textual.widget import Widget

Run = tuple[str, str]
Line = Sequence[Run]

ROLES = (
    "ink", "strong", "quiet", "accent", "late", "due", "warn", "good", "title", "key",
    "axis", "grid", "band", "likely", "target", "today", "struck", "reading", "event",
)  # fmt: skip
Paint = Callable[[int, int], list[Line]]
CURSOR = "+"
"""A line whose first run has this role (and any text) is the line under the cursor."""


class Cells(Widget):
    """Paints what `paint` returns. `paint` is called again only after `repaint` or when the size changed."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        *(f"cells--{role}" for role in (*ROLES, "cursor", "cursor-idle"))
    }
    DEFAULT_CSS = """
    Cells {
        & > .cells--ink { color: $text; }
        & > .cells--strong { color: $text; text-style: bold; }
        & > .cells--quiet { color: $text-muted; }
        & > .cells--accent { color: $text-accent; }
        & > .cells--late { color: $text-error; text-style: bold; }
        & > .cells--due { color: $text-accent; text-style: bold; }
        & > .cells--warn { color: $text-warning; text-style: bold; }
        & > .cells--good { color: $text-success; }
        & > .cells--title { color: $text-muted; }
        & > .cells--key { color: $text-accent; text-style: bold; }
        & > .cells--axis { color: $text-muted; }
        & > .cells--grid { color: $text-muted; text-style: dim; }
        & > .cells--band { color: $text-muted; }
        & > .cells--likely { color: $text; }
        & > .cells--target { color: $text-secondary; }
        & > .cells--today { color: $text; text-style: bold; }
        & > .cells--struck { color: $text-muted; text-style: dim; }
        & > .cells--reading { color: $text-accent; text-style: bold; }
        & > .cells--event { color: $text; }
        & > .cells--cursor { background: $panel; text-style: bold; }
        & > .cells--cursor-idle { text-style: none; }
        &:ansi > .cells--quiet, &:ansi > .cells--axis, &:ansi > .cells--title { text-style: dim; }
        &:ansi > .cells--band { text-style: dim; }
    }
    """

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id, classes=classes)
        self._painted: list[Line] = []
        self._painted_size: tuple[int, int] | None = None

    def paint(self, width: int, height: int) -> list[Line]:
        """Lines of runs for this size; lines may be shorter than `width` and fewer than `height`."""
        raise NotImplementedError

    def lines(self) -> list[Line]:
        """The lines as they stand on the screen now."""
        size = (self.size.width, self.size.height)
        if self._painted_size != size:
            self._painted = self.paint(*size)
            self._painted_size = size
        return self._painted

    def repaint(self) -> None:
        """Ask `paint` again, because the data changed."""
        self._painted_size = None
        self.refresh()

    def text(self) -> list[str]:
        """What stands on the screen, as text: for tests."""
        return ["".join(text for text, _ in line).rstrip() for line in self.lines()]

    def render_line(self, y: int) -> Strip:
        lines, width = self.lines(), self.size.width
        if y >= len(lines):
            return Strip.blank(width, self.rich_style)
        under: Style | None = None
        segments: list[Segment] = []
        used = 0
        for text, role in lines[y]:
            if role == CURSOR:
                name = "cells--cursor" if self.has_focus else "cells--cursor-idle"
                under, role = self.get_component_rich_style(name, partial=True), "accent"
            style = self.get_component_rich_style(f"cells--{role}")
            if under is not None:
                style = style + under
            cells = cell_len(text)
            if used + cells > width:
                text, cells = fit(text, width - used), width - used
            segments.append(Segment(text, style))
            used += cells
        fill = self.rich_style if under is None else self.rich_style + under
        segments.append(Segment(" " * (width - used), fill))
        return Strip(segments, width).simplify()


class Words(Cells):
    """Lines that someone else put together, or a function that puts them together for a width and a height."""

    def __init__(self, lines: Sequence[Line] = (), *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id, classes=classes)
        self.content: list[Line] | Paint = [*lines]

    def show(self, lines: Sequence[Line] | Paint) -> None:
        """Show other lines."""
        content = lines if callable(lines) else [*lines]
        if content != self.content:
            self.content = content
            self.repaint()

    def paint(self, width: int, height: int) -> list[Line]:
        return (self.content(width, height) if callable(self.content) else self.content)[:height]


def fit(text: str, cells: int) -> str:
    """Text cut or padded to a count of cells; a cut is marked by two dots, which every terminal has."""
    if cell_len(text) <= cells:
        return set_cell_size(text, cells)
    return set_cell_size(text, max(0, cells - 2)) + ".."[: max(0, cells)]
