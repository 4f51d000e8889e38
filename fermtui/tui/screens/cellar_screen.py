"""What the shelf and a vessel have in common: the keys that act on a vessel or a task, or open a page."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual.screen import Screen

if TYPE_CHECKING:
    from collections.abc import Callable

    from fermtui.tui.act_commands import ActCommands
    from fermtui.tui.cellar_app import CellarApp


class CellarScreen(Screen[None]):
    """The shelf or a vessel: the same keys act on the vessel and the task that `target` gives."""

    def __init__(self, commands: Callable[[], ActCommands]) -> None:
        """`commands` gives what the keys do; it is asked at the first key, for that loads every form."""
        super().__init__()
        self._commands = commands

    @property
    def fermtui(self) -> CellarApp:
        """The app, by its own type."""
        return cast("CellarApp", self.app)

    @property
    def commands(self) -> ActCommands:
        """What the keys do."""
        return self._commands()

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

    def action_put_away(self) -> None:
        self.commands.put_away(self.target()[0])

    def action_check(self) -> None:
        self.commands.check(self.target()[0])

    def action_edit(self) -> None:
        self.commands.edit(None)

    def action_yank(self) -> None:
        self.commands.yank(self.target()[0])

    def action_sync(self) -> None:
        from fermtui.tui.sync_beside import start_sync  # git is run now and then

        start_sync(self.fermtui)

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
