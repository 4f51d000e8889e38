"""Why a task stands where it stands, as data: wording/why.py makes sentences of it."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

from fermtui.forecast.window import Window

KNOWN = "known"  # the instant is known: passed, or a date to come
EXPECTED = "expected"  # by the forecast, or hanging on something that is not done yet
WAITING = "waiting"  # no date is known
NEVER = "never"

_NONE: Mapping[str, object] = {}

if TYPE_CHECKING:
    Inner: TypeAlias = "Why"
else:
    Inner = tuple  # put off as text, typing would compile it at every start


class Why(NamedTuple):
    """One reason. `kind` names it, `state` is one of the four above, `values` hold the numbers, `parts` what it is
    made of. What stands in `values` by kind is listed in wording/why.py; instants are aware datetimes.
    """

    kind: str
    state: str = KNOWN
    values: Mapping[str, object] = _NONE
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
