"""The short form of a task with numbers to give."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fermtui.cellar.store import VesselView
from fermtui.schedule.task import Task
from fermtui.tui.screens.form import EntryForm
from fermtui.wording.tasks import early_text, task_text
from fermtui.writing import door, entries
from fermtui.writing.refused import Refused

if TYPE_CHECKING:
    from fermtui.daybook.lines import Scalar
    from fermtui.tui.session import Session


class TickForm(EntryForm):
    """The entry that answers a task, with the amounts that it asks for."""

    def __init__(self, session: Session, view: VesselView, task: Task) -> None:
        self.work = task
        try:
            _, planned = entries.fields_of_task(session.store, view, task.key, {})
        except Refused:
            planned = {}  # the form says why as soon as it stands
        super().__init__(session, view, task.do, planned, task_text(task))

    def fields(self, given: dict[str, Scalar | None]) -> dict[str, Scalar | None]:
        return entries.fields_of_task(self.session.store, self.view, self.work.key, given)[1]

    def write(self, given: dict[str, Scalar | None], override: str | None) -> entries.WrittenEntry:
        session, now = self.session, self.session.clock()
        return door.tick(session.store, self.view, self.work.key, given, at=now, now=now, override=override)

    def asks(self) -> Task:
        return self.work

    def remarks(self) -> list[str]:
        early = early_text(self.work)
        return [early] if early else []
