"""What the keys do, the same on the shelf and in a vessel: every one ends in `acts`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fermtui.cellar.store import VesselView
from fermtui.daybook.kinds import kind_of
from fermtui.daybook.lines import entry_of_line
from fermtui.reports.entry_text import undone_line, written_line
from fermtui.schedule.task import Task
from fermtui.schedule.trouble_tasks import LOOK
from fermtui.tui import outside
from fermtui.tui.screens.bottle import OpenBottle
from fermtui.tui.screens.entry_chooser import EntryChooser, planned_for
from fermtui.tui.screens.find import FindLine
from fermtui.tui.screens.form import EntryForm
from fermtui.tui.screens.reading_line_screen import ReadingLine
from fermtui.tui.screens.reason import LeaveOutLine, NoteLine, PutOffLine
from fermtui.tui.screens.text_page import TextPage
from fermtui.tui.screens.tick import TickForm
from fermtui.tui.screens.trouble import TroubleScreen
from fermtui.tui.session import Move
from fermtui.tui.vessel_parts import check_lines
from fermtui.wording.kinds import to_do
from fermtui.wording.plain import plain
from fermtui.wording.tasks import task_text
from fermtui.wording.vessels import standing_act
from fermtui.writing import door, entries
from fermtui.writing.archive import put_away, restore_from_past
from fermtui.writing.refused import Refused
from fermtui.writing.undo import last_act

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from fermtui.tui.cellar_app import CellarApp
    from fermtui.tui.session import Session
    from fermtui.writing.entries import WrittenEntry



class ActCommands:
    """Opens the line or form that an act needs, or writes it straight away."""

    def __init__(self, app: CellarApp) -> None:
        self.app = app

    @property
    def session(self) -> Session:
        """The open cellar."""
        return self.app.session

    def check(self, vessel: str | None) -> None:
        """What to look at when a vessel is in trouble."""
        view = self._pointed_at(vessel)
        if view is None:
            return
        if any(task.trouble is not None and task.is_open for task in view.tasks):
            self.app.push_screen(TroubleScreen(self.session, view, lambda key: self._do(view.vessel, key)))
            return
        settings = self.session.view.settings
        page = TextPage(plain(view.name, 40), "what to look at", lambda width: check_lines(view, settings, width))
        self.app.push_screen(page)

    def open(self, vessel: str | None, task: str | None = None) -> None:
        """The screen of a vessel; where the cursor stands on what is the matter with it, the check list."""
        view = self._pointed_at(vessel)
        pressing = view.task(task) if view is not None and task is not None else None
        if pressing is not None and pressing.trouble is not None and pressing.is_open:
            self.check(vessel)
        elif view is not None:
            self.app.open_vessel(view.vessel, task)

    def _pointed_at(self, vessel: str | None) -> VesselView | None:
        view = self.session.vessel(vessel)
        if view is None:
            self.app.say(f"there is no vessel under the cursor; {self.app.key('start')} starts one", "warn")
        return view

    def read(self, vessel: str | None, task: str | None = None) -> None:
        """Open the reading line."""
        view = self._pointed_at(vessel)
        if view is not None:
            self.app.push_screen(ReadingLine(self.session, view.vessel, view.name, task))

    def tick(self, vessel: str | None, key: str | None) -> None:
        """The task is done: straight away, by the reading line, or by a short form."""
        found = self._open_task(vessel, key)
        if found is not None and found[1].key == LOOK:
            self.check(vessel)
        elif found is not None:
            self._do(found[0].vessel, found[1].key)

    def _do(self, vessel: str, key: str) -> None:
        found = self._open_task(vessel, key)
        if found is None:
            return
        view, task = found
        at_once = task.state in ("due", "late") or task.trouble is not None  # an act that helps needs no waiting
        if task.do == "read":
            self.read(view.vessel, task.key)
        elif not kind_of(task.do).one_key or not at_once or not self._straight(view, task.key):
            self.app.push_screen(TickForm(self.session, view, task))

    def _straight(self, view: VesselView, key: str) -> bool:
        """Write the planned amounts; False when a guard or advice wants to be read first."""
        now = self.session.clock()
        try:
            did, fields = entries.fields_of_task(self.session.store, view, key, {})
            ready = entries.prepare(self.session.store, view.vessel, did, fields, at=now, now=now)
            if ready.findings:
                return False
            done = door.tick(self.session.store, view, key, {}, at=now, now=now)
        except Refused:
            return False  # the form says why, and keeps what is typed
        self.app.was_written(done, written_line(done, self.session.view))
        return True

    def any_entry(self, vessel: str | None) -> None:
        """Choose a kind of entry, then its form."""
        view = self._pointed_at(vessel)
        if view is not None:
            self.app.push_screen(EntryChooser(self.session, view, lambda did: self._enter(view.vessel, did)))

    def _enter(self, vessel: str, did: str) -> None:
        if did == "read":
            self.read(vessel)
        elif did == "note":
            self.note(vessel)
        else:
            self.form(vessel, did)

    def form(self, vessel: str, did: str) -> None:
        """The form of one kind of entry."""
        view = self._pointed_at(vessel)
        if view is not None:
            self.app.push_screen(EntryForm(self.session, view, did, planned_for(self.session, view, did), to_do(did)))

    def edit(self, vessel: str | None, key: str | None = None) -> None:
        """A vessel's daybook in the maker's editor, at an entry's line where one is named; else cellar.toml."""
        if vessel is None:
            outside.edit_settings(self.app)
        else:
            outside.edit_daybook(self.app, vessel, key)

    def yank(self, vessel: str | None, key: str | None = None) -> None:
        """Copy the line of an entry, or the numbers of a vessel."""
        view = self._pointed_at(vessel)
        if view is not None and key is not None:
            outside.copy_entry(self.app, view.vessel, key)
        elif view is not None:
            outside.copy_numbers(self.app, view.vessel)

    def open_bottle(self, vessel: str | None) -> None:
        """A bottle is opened."""
        view = self._pointed_at(vessel)
        if view is None:
            return
        if not any(lot.bottles > lot.opened for lot in view.facts.lots):
            self.app.say("no bottle of this vessel is left to open", "warn")
            return
        self.app.push_screen(OpenBottle(self.session, view))

    def undo(self, vessel: str | None = None) -> None:
        """Take back what was done last, in this vessel or in the whole cellar: a strike or a putting away too."""
        if self._editor_took_the_last(vessel):
            self.app.say_lost()
        elif self._moved_last(self.session.moved) or (vessel is not None and not self.session.file(vessel).entries):
            self._move_back(vessel)
        else:
            self._step(door.undo, vessel)

    def _editor_took_the_last(self, vessel: str | None) -> bool:
        """Whether what was written last has gone from the daybook: an undo would take back something else."""
        self.app.follow()
        gone = [entry_of_line(line).key for name, line in self.session.lost if vessel in (None, name)]
        last = last_act(self.session.store, vessel)
        return bool(gone) and (last is None or max(gone) > last.key)

    def redo(self, vessel: str | None = None) -> None:
        """What undo took back last stands again."""
        if self.session.lost:
            self._write_again()
        elif self._moved_last(self.session.unmoved):
            self._move(self.session.unmoved.pop(), self.session.moved)
        else:
            self._step(door.redo, vessel)

    def strike(self, vessel: str, key: str) -> None:
        """Take back that line of the daybook."""
        self._strike(lambda at: door.strike(self.session.store, vessel, key, at=at), "undo")

    def lift(self, vessel: str, key: str) -> bool:
        """What that strike took back stands again; False where the line is none, or was lifted already."""
        file = self.session.file(vessel)
        if not any(one.key == key and one.did == "strike" for one in file.live):
            return False
        self.strike(vessel, key)
        return True

    def _step(self, step: Callable[..., WrittenEntry], vessel: str | None) -> None:
        back = "redo" if step is door.undo else "undo"
        self._strike(lambda at: step(self.session.store, vessel, at=at), back)

    def _strike(self, act: Callable[[datetime], WrittenEntry], back: str) -> None:
        """Do what strikes an entry, and say which one, its day, and whether it stands now."""
        session = self.session
        try:
            done = act(session.clock())
        except Refused as why:
            self.app.say(str(why), "warn")
            return
        self.app.wrote(done.vessel, *done.also)
        stands, words = undone_line(session.view, session.file(done.vessel), done.key)
        told, returns = ("stands again", "strikes it again") if stands else ("taken back", "restores it")
        self.app.say(f"{told}: {words}   ({self.app.key(back)} {returns})")

    def started(self, vessel: str) -> None:
        """Remember that a vessel was started: undo takes it away."""
        view = self.session.vessel(vessel)
        name = vessel if view is None else view.name
        self.session.moved.append(Move(vessel, name, away=False, after=last_act(self.session.store)))

    def find(self, go_to: Callable[[str], None]) -> None:
        """Ask for a vessel's name and go to it."""
        self.app.push_screen(FindLine(self.session.view, go_to))

    def put_away(self, vessel: str | None) -> None:
        """Put a vessel away; undo brings it back."""
        view = self._pointed_at(vessel)
        if view is not None:
            self._move(Move(view.vessel, view.name, away=True), self.session.moved)

    def bring_back(self, vessel: str, name: str) -> None:
        """Bring a vessel back that was put away; undo puts it away again."""
        self._move(Move(vessel, name, away=False), self.session.moved)

    def _moved_last(self, moves: list[Move]) -> bool:
        """Whether nothing was written since the last of these moves."""
        return bool(moves) and moves[-1].after == last_act(self.session.store)

    def _move_back(self, vessel: str | None) -> None:
        session = self.session
        if self._moved_last(session.moved):
            last = session.moved.pop()
            self._move(last._replace(away=not last.away), session.unmoved)
        elif (view := session.vessel(vessel)) is not None:  # nothing was ever written in it: it was started by mistake
            self._move(Move(view.vessel, view.name, away=True), session.unmoved)

    def _move(self, move: Move, into: list[Move]) -> None:
        """Put a vessel away or bring it back, say so, and remember it in that list of the session, for the way back."""
        session, store = self.session, self.session.store
        undoing = into is session.unmoved
        try:
            place = put_away(store, move.vessel, anyway=undoing) if move.away else restore_from_past(store, move.vessel)
        except Refused as why:
            self.app.say(str(why), "warn")
            return
        session.renew()
        into.append(move._replace(vessel=place, away=move.away != undoing, after=last_act(store)))
        self.app.drawn()
        done = f"put away, into past/{place}" if move.away else "brought back"
        back = f"{self.app.key('redo')} undoes that" if undoing else f"{self.app.key('undo')} takes it back"
        self.app.say(f"{'taken back: ' if undoing else ''}{plain(move.name, 40)} {done}   ({back})")

    def _write_again(self) -> None:
        """Put the lines that an editor took out on the disk again, as they were."""
        lines, self.session.lost = self.session.lost, []
        try:
            entries.append_lines(self.session.store, lines)
        except Refused as why:
            self.session.lost = lines
            self.app.say(str(why), "warn")
            return
        self.app.wrote(*dict.fromkeys(vessel for vessel, _ in lines))
        self.app.say(f"written again: {len(lines)} of this session stand{'s' if len(lines) == 1 else ''} as before")

    def postpone(self, vessel: str | None, key: str | None) -> None:
        """Put a task off."""
        if found := self._open_task(vessel, key):
            view, task = found
            title = f"put off: {view.name}, {task_text(task)}"
            self.app.push_screen(PutOffLine(self.session, view.vessel, title, task.key))

    def skip(self, vessel: str | None, key: str | None) -> None:
        """Leave a step out."""
        if found := self._open_task(vessel, key):
            view, task = found
            title = f"leave out: {view.name}, {task_text(task)}"
            self.app.push_screen(LeaveOutLine(self.session, view.vessel, title, task.key))

    def _open_task(self, vessel: str | None, key: str | None) -> tuple[VesselView, Task] | None:
        """The task under the cursor, if it is still to be done; else it is said why nothing happens."""
        view = self._pointed_at(vessel)
        if view is None:
            return None
        task = view.task(key) if key else None
        if task is not None and task.is_open:
            return view, task
        name = plain(view.name, 40)
        if not key and view.standing:
            self.app.say(standing_act(view.standing[0], self.session.view.settings.units), "warn")
        elif task is not None:
            self.app.say(f"that is over already; {self.app.key('undo')} takes back what was written last", "warn")
        elif not view.tasks:
            self.app.say(f"{name} has no steps: its vessel.toml names no schedule that can be used", "warn")
        else:
            self.app.say(f"nothing is due for {name}; {self.app.key('open')} opens it with all its steps", "warn")
        return None

    def note(self, vessel: str | None) -> None:
        """A sentence for the daybook."""
        view = self._pointed_at(vessel)
        if view is not None:
            title = f"note, {view.name}"
            self.app.push_screen(NoteLine(self.session, view.vessel, title, "a sentence for the daybook"))
