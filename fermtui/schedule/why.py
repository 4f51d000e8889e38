"""Why a task stands where it stands, as data: wording/why.py makes sentences of it."""

from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple, TypeAlias, TypedDict

from fermtui.forecast.window import Window

KNOWN = "known"  # the instant is known: passed, or a date to come
EXPECTED = "expected"  # by the forecast, or hanging on something that is not done yet
WAITING = "waiting"  # no date is known
NEVER = "never"


class WhyValues(TypedDict, total=False):
    """The numbers and names of a reason; which of them a reason has hangs on its kind. Instants are aware."""

    # the step or event that it hangs on, or that it is wanted for
    ref: str
    for_task: str
    is_step: bool
    do: str | None
    what: str | None
    nth: tuple[int, int] | None
    skipped: bool
    left_l: float
    into: str
    volume_l: float
    # when
    at: datetime
    window: Window
    until: datetime
    since: datetime
    last: datetime | None
    count: float
    unit: str
    days: float
    days_now: float
    times: int
    # what was read, or is to be read
    sg: float
    last_at: datetime
    last_sg: float
    readings: int
    since_addition: bool
    last_value: float
    limit: float
    g_per_l: float
    share: float
    third: bool
    abv_percent: float
    again: bool
    # how it was judged
    unlikely: bool
    passed: bool
    floats: bool  # the date moves on with the clock until a reading shows it
    which: int
    met: bool
    opens: bool  # what it belongs before may come due from here on
    reason: str | None
    finding: "Finding"  # what a guard has against the task


_NONE: WhyValues = {}

if TYPE_CHECKING:
    from fermtui.schedule.guards.case import Finding

    Inner: TypeAlias = "Why"
else:
    Inner = tuple  # put off as text, typing would compile it at every start


class Why(NamedTuple):
    """One reason. `kind` names it, `state` is one of the four above, `values` hold the numbers, `parts` what it is
    made of.
    """

    kind: str
    state: str = KNOWN
    values: WhyValues = _NONE
    parts: tuple[Inner, ...] = ()


class Verdict(NamedTuple):
    """What a condition comes to.

    `state` KNOWN: `window` has no width, in the past or to come. EXPECTED: `window` as the forecast or the steps
    before it have it. WAITING and NEVER: None. `is_date` says that the day is meant and not the hour.
    """

    state: str
    why: Why
    window: Window | None = None
    is_date: bool = False
