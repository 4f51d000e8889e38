"""What screens have in common: the actions of shelf and vessel, and how a page or form over them goes."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult
from textual.screen import ModalScreen, Screen

from fermtui.tui.widgets.keyline import key_runs
from fermtui.tui.widgets.lines import Line
from fermtui.tui.widgets.painted_lines import PaintedText

if TYPE_CHECKING:
    from fermtui.tui.act_commands import ActCommands
    from fermtui.tui.app import Fermtui

RULE, ASCII_RULE = "⠤", "-"


class CellarScreen(Screen[None]):
    """The shelf or a vessel: the same keys act on the vessel and the task that `target` gives."""

    @property
    def fermtui(self) -> Fermtui:
        """The app, by its own type."""
        return cast("Fermtui", self.app)

    @property
    def commands(self) -> ActCommands:
        """What the keys do."""
        return self.fermtui.commands

    def target(self) -> tuple[str | None, str | None]:
        """Vessel and task under the cursor."""
        raise NotImplementedError

    def action_swap_back(self) -> None:
        self.action_swap()

    def action_swap(self) -> None:
        raise NotImplementedError

    def action_read(self) -> None:
        self.commands.read(self.target()[0])

    def action_tick(self) -> None:
        self.commands.tick(*self.target())

    def action_undo(self) -> None:
        self.commands.undo()

    def action_redo(self) -> None:
        self.commands.redo()

    def action_postpone(self) -> None:
        self.commands.postpone(*self.target())

    def action_skip(self) -> None:
        self.commands.skip(*self.target())

    def action_note(self) -> None:
        self.commands.note(self.target()[0])

    def action_entry(self) -> None:
        self.commands.any_entry(self.target()[0])

    def action_bottle(self) -> None:
        self.commands.open_bottle(self.target()[0])

    def action_check(self) -> None:
        self.commands.check(self.target()[0])

    # The screens below are not needed for the first picture.

    def action_schedules(self) -> None:
        from fermtui.tui.screens.schedules import Schedules  # opened now and then

        self.app.push_screen(Schedules(self.fermtui.session))

    def action_needs(self) -> None:
        from fermtui.tui.screens.needs_screen import NeedsScreen  # opened now and then

        self.app.push_screen(NeedsScreen(self.fermtui.session))

    def action_bench(self) -> None:
        from fermtui.tui.screens.bench import BenchScreen  # opened now and then

        self.app.push_screen(BenchScreen(self.fermtui.session))

    def action_past(self) -> None:
        from fermtui.tui.screens.past import PastScreen  # opened now and then

        self.app.push_screen(PastScreen(self.commands))


class Modal(ModalScreen[None]):
    """A page, a list or a form over another screen. It goes by `back` or `leave`; a subclass names its keys."""

    @property
    def fermtui(self) -> Fermtui:
        """The app, by its own type."""
        return cast("Fermtui", self.app)

    def action_back(self) -> None:
        self.dismiss(None)

    def action_leave(self) -> None:
        self.dismiss(None)

    def foot_title(self, heading: str, place: str) -> Line:
        """The line over a form at the foot of the window: its heading, a rule, its keys."""
        keys = key_runs(place, self.fermtui.changed_keys)
        rule = ASCII_RULE if self.fermtui.ascii_only else RULE
        room = max(0, self.app.size.width - len(heading) - sum(len(text) for text, _ in keys) - 7)
        return [(rule * 2 + " ", "accent"), (heading, "strong"), (" " + rule * room + " ", "accent"), *keys]


class TooSmall(Screen[None]):
    """Stands there while the window is too small; it goes by itself when the window grows."""

    def __init__(self, width: int, height: int) -> None:
        super().__init__(id="too-small")
        self.least = f"{width} x {height}"

    def compose(self) -> ComposeResult:
        yield PaintedText(id="small")

    def on_resize(self) -> None:
        quit_key = cast("Fermtui", self.app).key("quit")
        has = f"{self.app.size.width} x {self.app.size.height}"
        lines = [
            f"This window has {has} cells.",
            f"The cellar needs {self.least}.",
            f"Make it larger, or {quit_key} to quit.",
        ]
        self.query_one("#small", PaintedText).show([[(" " + line, "text")] for line in lines])


def head(heading: str, note: str) -> PaintedText:
    """The first line of a page."""
    return PaintedText([[(f"  {heading}", "strong"), (f"   {note}", "quiet")]], id="head")
