"""A date that is not known to the hour: earliest (10 %), likely (50 %), latest (90 %).

Here and in every module of the start that defines tuples annotations are evaluated: put off as text, typing compiles
each, and the first compile of a process costs a millisecond.
"""

from collections.abc import Callable
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


def exactly(at: datetime) -> Window:
    """A window without width."""
    return Window(at, at, at)
