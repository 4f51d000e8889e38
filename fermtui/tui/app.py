"""The program on the terminal: themes, keys, the clock that ticks, and which screen stands in front."""

from __future__ import annotations

import asyncio
import subprocess
import sys
from functools import cached_property
from time import monotonic
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import SystemCommand
from textual.binding import BindingType
from textual.screen import Screen

from fermtui.tui.actions import ACTIONS, ALL, bindings, keymap, shown_keys
from fermtui.tui.cellar_app import CellarApp
from fermtui.tui.ended import keep_typed, told_once, typed_on
from fermtui.tui.screens.base import TooSmall
from fermtui.tui.screens.shelf import Shelf
from fermtui.tui.themes import DEFAULT
from fermtui.tui.widgets.painted_lines import PaintedLines
from fermtui.wording.plain import plain
from fermtui.wording.problems import problem_text

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from pathlib import Path

    from fermtui.daybook.settings import Settings
    from fermtui.tui.act_commands import ActCommands
    from fermtui.tui.first import First
    from fermtui.tui.session import Session

LEAST_WIDTH, LEAST_HEIGHT = 60, 20
FOLLOW_S = 1.0
WRITER_S = 0.01
SHOW_EVERY_S = 0.25
PAGES_AFTER_S = 2.0
OPENS = ("help", "palette", "command_palette", "change_theme")


class Fermtui(CellarApp):
    """The whole program: an open cellar with its screens, its clock and its forecasts."""

    CSS_PATH = "styles/app.tcss"
    TITLE = "fermtui"
    ENABLE_COMMAND_PALETTE = True
    COMMAND_PALETTE_BINDING = "colon"
    BINDINGS: ClassVar[list[BindingType]] = bindings(ALL)

    def __init__(
        self,
        opens: Callable[[], Session],
        *,
        first: First | None = None,
        keeps: Callable[[Session], None] | None = None,
        place: str = "",
        theme: str | None = None,
    ) -> None:
        """`opens` opens the session; with `first`, only after that was drawn. `keeps` keeps the next `first`."""
        super().__init__(opens, first, place)
        self._foretelling = False
        self._keeps = keeps
        self.typed_kept: Path | None = None
        loaded = first.theme if first else self.session.view.settings.look.theme
        self.wanted_theme = theme or loaded or DEFAULT
        self.dress(self.wanted_theme)

    @cached_property
    def commands(self) -> ActCommands:
        """What the keys do."""
        from fermtui.tui.act_commands import ActCommands  # not needed for the first picture

        return ActCommands(self)

    def get_default_screen(self) -> Screen[None]:
        return Shelf(lambda: self.commands)

    def on_mount(self) -> None:
        if self.changed_keys:
            self.set_keymap(self.changed_keys)
        if self.first is None:
            self.call_after_refresh(self._go_on)
        else:  # the thread that writes to the terminal needs a moment before the engine's imports take the interpreter
            self.call_after_refresh(self.set_timer, WRITER_S, self._go_on)

    def _go_on(self) -> None:
        """After the first picture: the engine, the clock, the forecasts."""
        if self.first is not None:
            self.first = None
            self.drawn()
        if ended := told_once(self.session.store.cellar):
            self.say(ended, "warn")
        elif self.session.read_only:
            self.say("this cellar can be looked at only: its folder is read-only for you", "warn")
        elif self.wanted_theme not in self.available_themes:
            self.say(f"there is no theme '{plain(self.wanted_theme, 40)}'; '{DEFAULT}' is shown", "warn")
        elif self.key_problems:
            self.say(plain(self.key_problems[0], 300), "warn")
        elif self.session.view.problems:
            self.say(plain(problem_text(self.session.view.problems[0]), 300), "warn")
        self.set_interval(FOLLOW_S, self.follow)
        self._fill_forecasts()

    def end_by(self, number: int) -> None:
        """Keep what is typed and not written, then leave."""
        typed = typed_on(self.screen_stack)
        if typed and self.first is None:
            self.typed_kept = keep_typed(self.session.store.cellar, typed)
        super().end_by(number)

    def wrote(self, *vessels: str) -> None:
        """These changed by our own hand: show them at once, their forecasts follow."""
        self.session.see_again(vessels)
        self.drawn()
        self._fill_forecasts()
        if self.session.view.settings.page.out:
            self.run_worker(self._renew_pages(), group="pages", exclusive=True)

    async def _renew_pages(self) -> None:
        """Write the pages anew beside the work, once the hand rests; say why where that fails."""
        await asyncio.sleep(PAGES_AFTER_S)
        command = (sys.executable, "-m", "fermtui", "page", "--cellar", str(self.session.store.cellar.path))
        made = await asyncio.to_thread(subprocess.run, command, capture_output=True, check=False)
        if made.returncode:
            lines = made.stderr.decode(errors="replace").splitlines()
            self.say(f"the pages were not written: {plain(lines[-1] if lines else 'no reason was given', 200)}", "warn")

    def follow(self) -> None:
        """Each second, and before an undo: did someone else write, did a minute pass, did midnight come?"""
        before = self.session.view.settings
        known, changed = len(self.session.lost), self.session.follow()
        if len(self.session.lost) > known:
            self.say_lost()
        if self.session.view.settings is not before:
            self._adopt(before)
        now, shown = self.session.clock(), self.session.view.now
        if (now.date(), now.hour, now.minute) != (shown.date(), shown.hour, shown.minute):
            self.session.renew()
            changed = True
        if changed:
            self.drawn()
            self._fill_forecasts()

    def _adopt(self, before: Settings) -> None:
        """cellar.toml was edited: take on its theme and its keys where those are others now."""
        settings = self.session.view.settings
        if settings.look.theme != before.look.theme and settings.look.theme in self.available_themes:
            self.theme = settings.look.theme
        if settings.keys != before.keys:
            self.changed_keys, self.key_problems = keymap(settings.keys)
            self.set_keymap(self.changed_keys)
            for screen in self.screen_stack:
                for line in screen.query(PaintedLines):
                    line.repaint()
            self.say(plain(self.key_problems[0], 300) if self.key_problems else "your keys are in use", "quiet")

    def _fill_forecasts(self) -> None:
        if self._foretelling:
            return
        if self.session.store.without_forecast():
            self.run_worker(self._foretell(), name="forecasts")
        else:
            self.set_timer(FOLLOW_S, self._at_rest)

    def _at_rest(self) -> None:
        """Nothing is left to compute: load what the keys need, and keep the shelf for the next start."""
        _ = self.commands
        if self._keeps is not None:
            self._keeps(self.session)

    async def _foretell(self) -> None:
        """One forecast at a time between key presses; what the maker looks at comes first."""
        self._foretelling = True
        try:
            await asyncio.to_thread(self.session.learn)
            shown = monotonic()
            while waiting := self.session.store.without_forecast():
                await asyncio.sleep(0.002)
                looked_at = self.vessel_in_sight()
                self.session.make_forecast(looked_at if looked_at in waiting else waiting[0])
                if monotonic() - shown > SHOW_EVERY_S or len(waiting) == 1 or looked_at in waiting:
                    self.drawn()
                    shown = monotonic()
            await asyncio.to_thread(self.session.store.save)
        finally:
            self._foretelling = False
        self._fill_forecasts()

    def open_vessel(self, vessel: str, task: str | None = None) -> None:
        """The screen of one vessel."""
        from fermtui.tui.screens.vessel_screen import VesselScreen  # not needed for the first paint

        self.push_screen(VesselScreen(lambda: self.commands, vessel, task))

    def vessel_started(self, vessel: str | None) -> None:
        """Show a new vessel, where one was started."""
        if vessel:
            self.session.renew_some([vessel])
            self.commands.started(vessel)
            self.drawn()
            self.open_vessel(vessel)

    def on_resize(self, event: events.Resize) -> None:
        small = event.size.width < LEAST_WIDTH or event.size.height < LEAST_HEIGHT
        if small and not any(isinstance(screen, TooSmall) for screen in self.screen_stack):
            self.push_screen(TooSmall(LEAST_WIDTH, LEAST_HEIGHT))
        elif not small and isinstance(self.screen, TooSmall):
            self.pop_screen()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:  # noqa: ARG002 - Textual's
        """Open nothing over the message that the window is too small: it could not be read there either."""
        return action not in OPENS or not any(isinstance(screen, TooSmall) for screen in self.screen_stack[-1:])

    def action_help(self) -> None:
        from fermtui.tui.screens.help import Help  # this screen is opened now and then

        self.push_screen(Help(self.changed_keys, ascii_only=self.session.ascii_only))

    def action_palette(self) -> None:
        self.action_command_palette()

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Every action that works on this screen, and the themes."""
        for action in ACTIONS:
            if callable(getattr(screen, f"action_{action.id}", None)):
                key = shown_keys(action, self.changed_keys, first_only=True)
                label = f"{action.label}  ({key})"
                yield SystemCommand(label, action.says, getattr(screen, f"action_{action.id}"))
        yield SystemCommand(f"keys  ({self.key('help')})", "all keys and signs on one page", self.action_help)
        yield SystemCommand("theme", "try another theme; cellar.toml keeps it", self.action_change_theme)
        yield SystemCommand(f"quit  ({self.key('quit')})", "close the cellar", self.action_quit)
