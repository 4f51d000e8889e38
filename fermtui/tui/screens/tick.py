"""The short form of a task with numbers to give."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fermtui.cellar.store import VesselView
from fermtui.schedule.tasks import Task
from fermtui.tui.screens.form import EntryForm
from fermtui.tui.words import early_words, task_words
from fermtui.writing import entries as acts

if TYPE_CHECKING:
    from fermtui.daybook.lines import Scalar
    from fermtui.tui.act_commands import Doing


class TickForm(EntryForm):
    """The entry that answers a task, with the amounts that it asks for."""

    def __init__(self, doing: Doing, seen: VesselView, task: Task) -> None:
        self.work = task
        try:
            _, planned = acts.fields_of_task(doing.house.watched, seen, task.key, {})
        except acts.Refused:
            planned = {}  # the form says why as soon as it stands
        super().__init__(doing, seen, task.do, planned, task_words(task))

    def fields(self, given: dict[str, Scalar | None]) -> dict[str, Scalar | None]:
        return acts.fields_of_task(self.doing.house.watched, self.seen, self.work.key, given)[1]

    def write(self, given: dict[str, Scalar | None], override: str | None) -> acts.Written:
        house, now = self.doing.house, self.doing.house.clock()
        return acts.tick(house.watched, self.seen, self.work.key, given, at=now, now=now, override=override)

    def beside(self) -> list[str]:
        early = early_words(self.work)
        return [early] if early else []
