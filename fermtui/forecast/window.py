"""A date that is not known to the hour: earliest (10 %), likely (50 %), latest (90 %).

Here and in every module of the start that defines tuples annotations are evaluated: put off as text, typing compiles
each, and the first compile of a process costs a millisecond.
"""

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from typing import NamedTuple


class Window(NamedTuple):
    """Three instants in order. `latest` is None when more than 10 % of what may happen never gets there."""

    earliest: datetime
    likely: datetime
    latest: datetime | None

    def later(self, by: timedelta) -> "Window":
        """The same window moved by a span."""
        return self.each(lambda at: at + by)

    def each(self, change: Callable[[datetime], datetime]) -> "Window":
        """The window of the changed instants."""
        return Window(change(self.earliest), change(self.likely), None if self.latest is None else change(self.latest))


class BestReading(NamedTuple):
    """When to read next, and how wide the window of the finish is in days, before and after that reading. A reading
    before `use_from` moves nothing."""

    at: datetime
    days_wide_now: float
    days_wide_after: float
    use_from: datetime


def exactly(at: datetime) -> Window:
    """A window without width."""
    return Window(at, at, at)


def not_before(window: Window, at: datetime) -> Window:
    """The window with what lies before `at` moved to it."""
    return window if window.earliest >= at else window.each(lambda instant: max(instant, at))


def latest_of(windows: Sequence[Window]) -> Window:
    """When the last of several has come: the latest of each quantile."""
    latest = [window.latest for window in windows]
    return Window(
        max(window.earliest for window in windows),
        max(window.likely for window in windows),
        None if None in latest else max(at for at in latest if at is not None),
    )


def earliest_of(windows: Sequence[Window]) -> Window:
    """When the first of several has come: the earliest of each quantile."""
    known = [window.latest for window in windows if window.latest is not None]
    return Window(
        min(window.earliest for window in windows),
        min(window.likely for window in windows),
        min(known) if known else None,
    )
