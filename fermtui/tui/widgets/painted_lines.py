"""Widgets that paint lines of (text, role) runs: all our own widgets stand on them.

Pure functions make the runs; the app turns a role into a style, so that dark, light and ansi themes colour it, and each
line is simplified so that few bytes go over a slow connection.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, cast

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip
from textual.widget import Widget

from fermtui.tui.widgets.lines import CURSOR, Line, fit
from fermtui.wording.plain import plain

if TYPE_CHECKING:
    from fermtui.tui.painted import Painted

Paint = Callable[[int, int], list[Line]]


class PaintedLines(Widget):
    """Paints what `paint` returns. `paint` is called again only after `repaint` or when the size changed."""

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
        ground = self.rich_style
        if y >= len(lines):
            return Strip.blank(width, ground)
        style_of = cast("Painted[object]", self.app).role_style
        under: Style | None = None
        segments: list[Segment] = []
        used = 0
        for text, role in lines[y]:
            if role == CURSOR:
                under, role = style_of("cursor" if self.has_focus else "cursor-idle"), "accent"
            if under is None:
                style = style_of(role) + ground.background_style
            elif under.reverse:  # one block: the roles' own colours would turn it into patches
                style = ground + under
            else:
                style = style_of(role) + under
            if not text.isprintable():  # a text from a file that nobody made plain must not reach the terminal
                text = plain(text)
            cells = cell_len(text)
            if used + cells > width:
                text, cells = fit(text, width - used), width - used
            segments.append(Segment(text, style))
            used += cells
        fill = ground if under is None else ground + under
        segments.append(Segment(" " * (width - used), fill))
        return Strip(segments, width).simplify()


class PaintedText(PaintedLines):
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
