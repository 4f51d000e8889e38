"""What the keys do, the same on the shelf and in a vessel: every one ends in `acts`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fermtui.wording.plain import plain

if TYPE_CHECKING:
    from fermtui.cellar.store import VesselView
    from fermtui.schedule.tasks import Task
    from fermtui.tui.app import Fermtui
    from fermtui.tui.session import Session
    from fermtui.writing import entries as acts

STRAIGHT = frozenset({"dose", "aerate", "degas", "punch", "chore"})
"""Ticked by one key. The others have a number or a word that only the maker knows."""


class ActCommands:
    """Opens the line or form that an act needs, or writes it straight away."""

    def __init__(self, app: Fermtui) -> None:
        self.app = app

    @property
    def session(self) -> Session:
        """The open cellar."""
        return self.app.session

    def vessel_in_sight(self) -> str | None:
        """The vessel whose screen is open."""
        return next((vessel for screen in self.app.screen_stack if (vessel := getattr(screen, "vessel", None))), None)

    def check(self, vessel: str | None) -> None:
        """What to look at when a vessel is in trouble."""
        seen = self._seen(vessel)
        if seen is not None:
            from fermtui.tui.screens.check import check_page

            self.app.push_screen(check_page(seen, self.session.view.settings.units))

    def open(self, vessel: str | None, task: str | None = None) -> None:
        """The screen of a vessel."""
        seen = self._seen(vessel)
        if seen is not None:
            self.app.open_vessel(seen.vessel, task)

    def _seen(self, vessel: str | None) -> VesselView | None:
        seen = self.session.vessel(vessel)
        if seen is None:
            self.app.say(f"there is no vessel under the cursor; {self.app.key('start')} starts one", "warn")
        return seen

    def read(self, vessel: str | None, task: str | None = None) -> None:
        """Open the reading line."""
        seen = self._seen(vessel)
        if seen is not None:
            from fermtui.tui.screens.reading_line_screen import (
                ReadingLine,  # acts and replay are not needed for the first paint
            )

            self.app.push_screen(ReadingLine(self, seen.vessel, seen.name, task))

    def tick(self, vessel: str | None, key: str | None) -> None:
        """The task is done: straight away, by the reading line, or by a short form."""
        found = self._open_task(vessel, key)
        if found is None:
            return
        seen, task = found
        if task.do == "read":
            self.read(seen.vessel, task.key)
        elif task.do not in STRAIGHT or task.state not in ("due", "late") or not self._straight(seen, task.key):
            from fermtui.tui.screens.tick import TickForm

            self.app.push_screen(TickForm(self, seen, task))

    def _straight(self, seen: VesselView, key: str) -> bool:
        """Write the planned amounts; False when a guard or advice wants to be read first."""
        from fermtui.reports.entry_text import written_line
        from fermtui.writing import entries as acts

        now = self.session.clock()
        try:
            did, fields = acts.fields_of_task(self.session.store, seen, key, {})
            ready = acts.prepare(self.session.store, seen.vessel, did, fields, at=now, now=now)
            if ready.findings:
                return False
            done = acts.tick(self.session.store, seen, key, {}, at=now, now=now)
        except acts.Refused:
            return False  # the form says why, and keeps what is typed
        self.was_written(done, written_line(done, self.session.view))
        return True

    def was_written(self, done: acts.WrittenEntry, words: str) -> None:
        """Remember it for undo, say it, and show what follows from it."""
        self.session.wrote(done.vessel, done.key, words)
        self.app.wrote(done.vessel, *done.also)
        self.app.say(f"{words}   ({self.app.key('undo')} takes it back)")

    def any_entry(self, vessel: str | None) -> None:
        """Choose a kind of entry, then its form."""
        seen = self._seen(vessel)
        if seen is not None:
            from fermtui.tui.screens.kinds import Kinds

            self.app.push_screen(Kinds(self, seen))

    def form(self, vessel: str, did: str) -> None:
        """The form of one kind of entry."""
        seen = self._seen(vessel)
        if seen is not None:
            from fermtui.tui.screens.form import EntryForm
            from fermtui.tui.screens.kinds import planned_for
            from fermtui.wording.kinds import to_do

            self.app.push_screen(EntryForm(self, seen, did, planned_for(self, seen, did), to_do(did)))

    def open_bottle(self, vessel: str | None) -> None:
        """A bottle is opened."""
        seen = self._seen(vessel)
        if seen is None:
            return
        if not any(lot.bottles > lot.opened for lot in seen.facts.lots):
            self.app.say("no bottle of this vessel is left to open", "warn")
            return
        from fermtui.tui.screens.bottle import OpenBottle

        self.app.push_screen(OpenBottle(self, seen))

    def undo(self, vessel: str | None = None) -> None:
        """Strike what was written last in this sitting; in a vessel's screen else its last entry."""
        from fermtui.reports.entry_text import entry_line
        from fermtui.writing import entries as acts

        session, now = self.session, self.session.clock()
        last = session.written[-1] if session.written else None
        if last is None and vessel is None:
            self.app.say("nothing was written in this sitting; open a vessel to take back its last line", "warn")
            return
        target, key = (last.vessel, last.key) if last else (vessel or "", self._last_done(vessel or ""))
        try:
            done = acts.strike(session.store, target, key, at=now)
        except acts.Refused as why:
            if last:
                session.written.pop()
            self.app.say(str(why), "warn")
            return
        if last:
            session.written.pop()
        struck = last.words if last else entry_line(session.view, session.file(target), str(done.fields["entry"]))
        session.struck_out(target, done.key, struck)
        self.app.wrote(target, *done.also)
        self.app.say(f"taken back: {struck}   ({self.app.key('redo')} restores it)")

    def _last_done(self, vessel: str) -> str | None:
        """The last entry that stands and is no taking back: undoing twice must not bring back what went first."""
        from fermtui.daybook.strikes import last_live_key

        return last_live_key(entry for entry in self.session.file(vessel).live if entry.did != "strike")

    def strike(self, vessel: str, key: str) -> None:
        """Take back that line of the daybook."""
        from fermtui.reports.entry_text import entry_line
        from fermtui.writing import entries as acts

        now = self.session.clock()
        try:
            done = acts.strike(self.session.store, vessel, key, at=now)
        except acts.Refused as why:
            self.app.say(str(why), "warn")
            return
        words = entry_line(self.session.view, self.session.file(vessel), key)
        self.session.struck_out(vessel, done.key, words)
        self.app.wrote(vessel, *done.also)
        self.app.say(f"taken back: {words}   ({self.app.key('redo')} restores it)")

    def redo(self) -> None:
        """Strike the last strike: what was taken back stands again."""
        from fermtui.writing import entries as acts

        session, now = self.session, self.session.clock()
        if session.lost:
            self._write_again()
            return
        if not session.struck:
            self.app.say("nothing was taken back in this sitting", "warn")
            return
        last = session.struck.pop()
        try:
            done = acts.strike(session.store, last.vessel, last.key, at=now)
        except acts.Refused as why:
            self.app.say(str(why), "warn")
            return
        session.wrote(last.vessel, done.key, last.words)
        self.app.wrote(last.vessel, *done.also)
        self.app.say(f"stands again: {last.words}")

    def _write_again(self) -> None:
        """Put the lines that an editor took out on the disk again, as they were."""
        from fermtui.writing import entries as acts

        lines, self.session.lost = self.session.lost, []
        try:
            acts.append_lines(self.session.store, lines)
        except acts.Refused as why:
            self.session.lost = lines
            self.app.say(str(why), "warn")
            return
        self.app.wrote(*dict.fromkeys(vessel for vessel, _ in lines))
        self.app.say(f"written again: {len(lines)} of this sitting stand{'s' if len(lines) == 1 else ''} as before")

    def postpone(self, vessel: str | None, key: str | None) -> None:
        """Put a task off."""
        from fermtui.tui.screens.reason import PutOffLine
        from fermtui.wording.tasks import task_text

        found = self._open_task(vessel, key)
        if found is not None:
            seen, task = found
            self.app.push_screen(PutOffLine(self, seen.vessel, f"put off: {seen.name}, {task_text(task)}", task.key))

    def skip(self, vessel: str | None, key: str | None) -> None:
        """Leave a step out."""
        from fermtui.tui.screens.reason import LeaveOutLine
        from fermtui.wording.tasks import task_text

        found = self._open_task(vessel, key)
        if found is not None:
            seen, task = found
            title = f"leave out: {seen.name}, {task_text(task)}"
            self.app.push_screen(LeaveOutLine(self, seen.vessel, title, task.key))

    def _open_task(self, vessel: str | None, key: str | None) -> tuple[VesselView, Task] | None:
        """The task under the cursor, if it is still to be done; else it is said why nothing happens."""
        seen = self._seen(vessel)
        if seen is None:
            return None
        task = seen.task(key) if key else None
        if task is not None and task.is_open:
            return seen, task
        name = plain(seen.name, 40)
        if task is not None:
            self.app.say(f"that is over already; {self.app.key('undo')} takes back what was written last", "warn")
        elif not seen.tasks:
            self.app.say(f"{name} has no steps: its vessel.toml names no schedule that can be used", "warn")
        else:
            self.app.say(f"nothing is due for {name}; {self.app.key('open')} opens it with all its steps", "warn")
        return None

    def note(self, vessel: str | None) -> None:
        """A sentence for the daybook."""
        from fermtui.tui.screens.reason import NoteLine

        seen = self._seen(vessel)
        if seen is not None:
            self.app.push_screen(NoteLine(self, seen.vessel, f"note, {seen.name}", "a sentence for the daybook"))
