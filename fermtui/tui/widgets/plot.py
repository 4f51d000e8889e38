"""The gravity plot as a widget: `reports.plot_cells` draws, the theme colours."""

from __future__ import annotations

from fermtui.reports.plot_cells import plot_cells
from fermtui.reports.plot_scale import PlotData
from fermtui.tui.widgets.lines import Line
from fermtui.tui.widgets.painted_lines import PaintedLines


class Plot(PaintedLines):
    """Readings, band, targets and events of one vessel."""

    def __init__(self, *, ascii_only: bool = False, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self.ascii_only = ascii_only
        self.data: PlotData | None = None

    def show(self, data: PlotData) -> None:
        """Draw other data."""
        if data != self.data:
            self.data = data
            self.repaint()

    def paint(self, width: int, height: int) -> list[Line]:
        if self.data is None:
            return []
        return [*plot_cells(self.data, width, height, ascii_only=self.ascii_only)]
