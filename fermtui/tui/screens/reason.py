"""Lines for a note, for putting a task off and for leaving it out."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from fermtui.clock import NotATime, read_day, within_reach
from fermtui.replay.facts import BOTTLE_REST
from fermtui.reports.entry_text import written_line
from fermtui.tui.screens.line import LineScreen
from fermtui.tui.widgets.lines import Line, wrapped
from fermtui.wording.dates import day_text
from fermtui.writing.door import write
from fermtui.writing.refused import Refused

if TYPE_CHECKING:
    from fermtui.daybook.lines import Scalar
    from fermtui.tui.session import Session


class ReasonLine(LineScreen):
    """Writes one entry whose words are typed here."""

    ROOM = 2

    def __init__(self, session: Session, vessel: str, title: str, example: str) -> None:
        super().__init__(title, example)
        self.session, self.vessel = session, vessel

    def write_entry(self, did: str, fields: dict[str, Scalar | None]) -> list[Line] | None:
        """Write it; the lines that say why when it is refused."""
        session = self.session
        now = session.clock()
        try:
            done = write(session.store, self.vessel, did, fields, at=now, now=now)
        except Refused as why:
            return wrapped(str(why), "warn", self.app.size.width)
        self.fermtui.was_written(done, written_line(done, session.view))
        return None


class NoteLine(ReasonLine):
    """A sentence for the daybook."""

    def understood(self, text: str) -> list[Line]:
        left = self.MOST - len(text)
        words = f"{left} characters left" if left < 80 else "goes into the daybook as it is"
        return [[(f"  {words}", "quiet")]]

    def enter(self, text: str) -> list[Line] | None:
        if not text.strip():
            return [[("  nothing is typed yet", "warn")]]
        return self.write_entry("note", {"text": text.strip()})


class LeaveOutLine(ReasonLine):
    """Why a step is left out."""

    def __init__(self, session: Session, vessel: str, title: str, task: str) -> None:
        super().__init__(session, vessel, title, "why (may stay empty)")
        self.step = task

    def understood(self, text: str) -> list[Line]:  # noqa: ARG002
        rest = self.step == BOTTLE_REST
        says = "the rest counts as drunk or poured away" if rest else "the steps that wait for it count from now"
        return [[(f"  {says}", "quiet")]]

    def enter(self, text: str) -> list[Line] | None:
        return self.write_entry("skip", {"task": self.step, "reason": text.strip() or None})


class PutOffLine(ReasonLine):
    """Until when, and why: the first word is the day."""

    def __init__(self, session: Session, vessel: str, title: str, task: str) -> None:
        super().__init__(session, vessel, title, "+2 waiting for the honey    tomorrow    2026-12-03 away")
        self.step = task

    def understood(self, text: str) -> list[Line]:
        if not text.strip():
            return [[("  a day (tomorrow, +3, +2w or a date), then why", "quiet")]]
        try:
            day = later_day(text.split()[0], self.session.view.now.date())
        except NotATime as why:
            return wrapped(str(why), "quiet", self.app.size.width)
        return [[(f"  until {day_text(day, year=True)}", "accent")]]

    def enter(self, text: str) -> list[Line] | None:
        word, _, reason = text.strip().partition(" ")
        try:
            day = later_day(word, self.session.view.now.date())
        except NotATime as why:
            return wrapped(str(why), "warn", self.app.size.width)
        return self.write_entry("postpone", {"task": self.step, "until": day, "reason": reason.strip() or None})


def later_day(text: str, today: date) -> date:
    """The day to put something off to: after today, within ten years. Raises NotATime with one sentence."""
    if not text:
        raise NotATime("until when? Write tomorrow, +3, +2w or a date")
    day = read_day(text, today)
    within_reach(day, today, said=day_text(day, year=True))
    return day
