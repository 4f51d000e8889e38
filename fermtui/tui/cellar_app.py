"""The open cellar as its screens know it: the session, the message line, the keys. It imports no screen."""

from __future__ import annotations

from threading import Event, Thread
from typing import TYPE_CHECKING

from fermtui.tui.actions import elsewhere, key_of, keymap
from fermtui.tui.painted import Painted
from fermtui.tui.widgets.painted_lines import PaintedText

if TYPE_CHECKING:
    from collections.abc import Callable

    from fermtui.tui.first import First
    from fermtui.tui.session import Session
    from fermtui.writing.entries import WrittenEntry


class CellarApp(Painted[int]):
    """One open cellar. Which screens there are, `open_vessel` and `wrote` say in the subclass."""

    def __init__(self, opens: Callable[[], Session], first: First | None, place: str) -> None:
        super().__init__()
        self._opens = opens
        self._session = None if first else opens()
        self.first = first
        self.place = place
        self.sync_thread: Thread | None = None
        self.leaving = Event()
        wanted = first.keys if first else self.session.view.settings.keys
        self.changed_keys, self.key_problems = keymap(wanted)

    @property
    def session(self) -> Session:
        """The open cellar. It is there before the first key is looked at."""
        if self._session is None:
            self._session = self._opens()
        return self._session

    @property
    def ascii_only(self) -> bool:
        """Whether the terminal gets plain ASCII signs."""
        return self.first.ascii_only if self.first else self.session.ascii_only

    def say(self, text: str, role: str = "accent") -> None:
        """One line above the keys; it stays until the next one."""
        for screen in self.screen_stack:
            for words in screen.query("#message").results(PaintedText):
                words.show([[("  " + text, role)]] if text else [])
                words.set_class(not text, "-empty")

    def unsay(self, text: str) -> None:
        """Take that line away where it still stands: what it says is true no more."""
        for screen in self.screen_stack:
            for words in screen.query("#message").results(PaintedText):
                if [run[0].strip() for line in words.lines() for run in line] == [text]:
                    words.show([])
                    words.add_class("-empty")

    def drawn(self) -> None:
        """Show the session's view on every screen whose widgets are there: not while it is set up or taken down."""
        for screen in self.screen_stack:
            draw = getattr(screen, "draw", None)
            if draw is not None and screen.is_running and screen.is_mounted:
                draw()

    def wrote(self, *vessels: str) -> None:
        """These changed by our own hand: show them at once."""
        raise NotImplementedError

    def on_unmount(self) -> None:
        self.leaving.set()  # a sync beside the work is given up

    def follow(self) -> None:
        """Show what others wrote meanwhile."""
        raise NotImplementedError

    def say_lost(self) -> None:
        """Say which entry of this session an editor took out, and the key that writes it again."""
        from fermtui.reports.entry_text import lost_text  # not needed for the first picture

        lost = lost_text(self.session.lost, self.session.view)
        self.say(f"{lost}   ({self.key('redo')} writes it again)", "warn")

    def was_written(self, done: WrittenEntry, words: str) -> None:
        """Say it, and show what follows from it."""
        self.wrote(done.vessel, *done.also)
        self.say(f"{words}   ({self.key('undo')} takes it back)")

    def vessel_in_sight(self) -> str | None:
        """The vessel whose screen is open."""
        return next((vessel for screen in self.screen_stack if (vessel := getattr(screen, "vessel", None))), None)

    def vessel_started(self, vessel: str | None) -> None:
        """Show a new vessel, where one was started."""
        raise NotImplementedError

    def open_vessel(self, vessel: str, task: str | None = None) -> None:
        """The screen of one vessel."""
        raise NotImplementedError

    def key(self, name: str) -> str:
        """The key of an action as it is now, for a sentence."""
        return key_of(name, self.changed_keys)

    def say_where(self, key: str, *here: str) -> None:
        """Where a key works that does nothing here; keys that mean nothing anywhere stay silent."""
        if key not in self.screen.active_bindings:
            why = elsewhere(key, here, self.changed_keys)
            if why:
                self.say(why, "warn")
