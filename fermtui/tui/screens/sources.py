"""Where the numbers of a vessel come from: to the left each number, to the right its formula, inputs and source."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal

from fermtui.explain.explained import Explained, quantity
from fermtui.explain.forecast_numbers import explain_forecast
from fermtui.explain.task_amounts import explain_task
from fermtui.explain.vessel_numbers import explain_vessel
from fermtui.tui.actions import SOURCES, bindings
from fermtui.tui.screens.base import Modal, head
from fermtui.tui.widgets.keyline import KeyLine
from fermtui.tui.widgets.lines import Line, fit, wrapped
from fermtui.tui.widgets.listing import Listing
from fermtui.tui.widgets.painted_lines import PaintedText
from fermtui.tui.widgets.rows import ListItem, Rows
from fermtui.units import Units
from fermtui.wording.plain import plain

if TYPE_CHECKING:
    from fermtui.cellar.store import VesselView
    from fermtui.schedule.task import Task
    from fermtui.tui.session import Session


class Sources(Modal):
    """One vessel's computed numbers, opened one by one with the cursor."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(SOURCES)
    AUTO_FOCUS = "#numbers"

    def __init__(
        self, session: Session, view: VesselView, about: str | None = None, task: Task | None = None
    ) -> None:
        """`about` names the number to begin with; those of a task, where it has its own, go before it."""
        super().__init__()
        self.ascii_only, self.units = session.ascii_only, session.view.settings.units
        self.heading = plain(view.name, 40)
        settings, plan = session.view.settings, view.head.plan
        own = () if task is None else explain_task(task, view.facts, plan, settings)
        self.about = own[0].name if own else about
        self.steps = (
            *own,
            *explain_vessel(view.facts, plan, view.present, settings, session.view.now),
            *explain_forecast(view.forecast, view.facts, plan, settings.zone),
        )

    def compose(self) -> ComposeResult:
        yield head(self.heading, "where its numbers come from")
        with Horizontal(id="sources"):
            yield Rows("number", ascii_only=self.ascii_only, id="numbers")
            yield PaintedText(id="source")
        yield KeyLine(SOURCES, id="keys")

    def on_mount(self) -> None:
        items = tuple(ListItem(str(index), self._row(step)) for index, step in enumerate(self.steps))
        self.query_one("#numbers", Rows).show(items)
        first = next((str(index) for index, step in enumerate(self.steps) if step.name == self.about), None)
        self.query_one("#numbers", Rows).choose(first, lead=2)
        self._show()

    def _row(self, step: Explained) -> Line:
        return [(fit(step.name, 24) + " ", "quiet"), (quantity(step.value, step.unit, self.units), "text")]

    def action_sources(self) -> None:
        self.action_back()

    def action_how(self) -> None:
        self.action_back()

    def action_earlier(self) -> None:
        self.action_back()

    def on_listing_moved(self, event: Listing.Moved) -> None:
        event.stop()
        self._show()

    def _show(self) -> None:
        chosen = self.query_one("#numbers", Rows).chosen
        if chosen is not None:
            step = self.steps[int(chosen)]
            self.query_one("#source", PaintedText).show(lambda width, _: source_lines(step, self.units, width))


def steps_lines(steps: tuple[Explained, ...], units: Units, width: int) -> list[Line]:
    """Several numbers one below the other, a little set in."""
    return [[("  ", "text"), *line] for step in steps for line in [*source_lines(step, units, width - 2), [], []]]


def source_lines(step: Explained, units: Units, width: int) -> list[Line]:
    """One number: how it comes about, from what, and where that is published."""
    lines: list[Line] = [[(f"{step.name}  ", "strong"), (quantity(step.value, step.unit, units), "accent")], []]
    lines += [*wrapped(step.formula, "text", width, 8, indent=""), []]
    for given in step.inputs:
        name = fit(plain(given.name, 60), max(8, min(30, width - 14)))
        lines.append([(f"{name} ", "quiet"), (plain(quantity(given.value, given.unit, units), 40), "text")])
    return [*lines, [], *wrapped(step.source, "quiet", width, 8, indent="")]
