"""One task of a vessel, as data."""

from datetime import datetime
from typing import NamedTuple

from fermtui.forecast.window import Window
from fermtui.schedule.steps import Step
from fermtui.schedule.why import Why

STATES = ("waiting", "coming", "due", "late", "done", "dropped")
OPEN = frozenset({"waiting", "coming", "due", "late"})


class Task(NamedTuple):
    """One step as it stands for one vessel at the clock.

    `window` is earliest, likely and latest while it is open and a date is known, without width where the date is
    firm; `forecast` says that it is not firm, for it hangs on a gravity to come or on an act not done yet; `is_date`
    that the day is meant, not the hour. `settled_at` is when it was done, skipped or dropped; `done_at` and `done_by`
    (the key of the entry) only when it was done. A repeating step is one task: `every_days` and the times done in
    `marks`. `late_from` is when it becomes late; `dose_n` of `dose_m` number the doses, and the feeds; `trouble` is the
    kind of trouble that an act answers. `dose_share` of all nutrient is what this dose brings, with it `dose_target` is
    to have been given in all; `at_break` says that today is the day of the one-third sugar break. Instants are in the
    zone.
    """

    vessel: str
    key: str
    step: Step | None
    do: str
    what: str | None
    state: str
    window: Window | None
    is_date: bool
    why: Why
    forecast: bool = False
    settled_at: datetime | None = None
    done_at: datetime | None = None
    done_by: str | None = None
    say: str | None = None
    marks: tuple[datetime, ...] = ()
    every_days: float | None = None
    postponed_until: datetime | None = None
    late_from: datetime | None = None
    dose_n: int | None = None
    dose_m: int | None = None
    trouble: str | None = None
    dose_share: float | None = None
    dose_target: float | None = None
    at_break: bool = False

    @property
    def earliest(self) -> datetime | None:
        """The 10 % date, or the date."""
        return None if self.window is None else self.window.earliest

    @property
    def likely(self) -> datetime | None:
        """The 50 % date, or the date."""
        return None if self.window is None else self.window.likely

    @property
    def latest(self) -> datetime | None:
        """The 90 % date, or the date; None too where it may never come."""
        return None if self.window is None else self.window.latest

    @property
    def floats(self) -> bool:
        """Whether its date moves on with the clock until a reading shows it: then no day can be named."""
        return self.forecast and self.state == "coming" and bool(self.why.values.get("floats"))

    @property
    def is_open(self) -> bool:
        """Whether it is still to be done."""
        return self.state in OPEN
