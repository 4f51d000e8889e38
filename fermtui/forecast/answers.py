"""What a posterior has answered so far, none of it with a clock in it: plain values that a cache can keep.

Reading a posterior off costs milliseconds; a warm start asks the same questions as the last one and needs no
posterior at all. It is loaded only when a question is new.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from fermtui.forecast.calm import CALM_DROP_SG, Three

if TYPE_CHECKING:
    from fermtui.forecast.posterior import Posterior


class ForecastAnswers:
    """`recall` gives the answers of earlier, as JSON can hold them, at the first question; `load` the posterior, at
    the first question that is new; `load_alone` what would be believed without the maker's own vessels.
    """

    def __init__(
        self,
        recall: Callable[[], dict[str, Any]],
        load: Callable[[], Posterior],
        load_alone: Callable[[], Posterior] | None = None,
    ) -> None:
        self._recall = recall
        self._load = load
        self._load_alone = load_alone
        self._known: dict[str, Any] | None = None
        self._at_first = 0
        self._posterior: Posterior | None = None

    @property
    def known(self) -> dict[str, Any]:
        """The answers so far, by question."""
        if self._known is None:
            known = self._recall()
            self._at_first = len(known)
            self._known = known
        return self._known

    @property
    def grown(self) -> bool:
        """Whether there are answers that the cache did not have."""
        return self._known is not None and len(self._known) > self._at_first

    @property
    def at_hand(self) -> bool:
        """Whether the posterior has been loaded or made."""
        return self._posterior is not None

    @property
    def posterior(self) -> Posterior:
        """The posterior itself, loaded or made at the first question that is new."""
        if self._posterior is None:
            self._posterior = self._load()
        return self._posterior

    def finish(self) -> Three | None:
        """Days since pitching at which it comes within 0.002 of where it ends. None: likely never."""

        def ask() -> list[float | None] | None:
            from fermtui.forecast.readoff import finish_window  # with the model: a warm start needs the answers only

            return _stored(finish_window(self.posterior))

        return self._three("finish", ask)

    def crossing(self, sg: float) -> Three | None:
        """Days since pitching at which it comes down to sg, 10, 50 and 90 %; the last may be infinite. None: never."""

        def ask() -> list[float | None] | None:
            from fermtui.forecast.readoff import crossing_days  # with the model: a warm start needs the answers only

            return _stored(crossing_days(self.posterior, sg))

        return self._three(f"crossing {sg:.6f}", ask)

    def quiet(self, days: float) -> Three | None:
        """Days since pitching from which it falls less than 0.001 SG in so many days."""

        def ask() -> list[float | None] | None:
            from fermtui.forecast.readoff import quiet_days  # with the model

            return _stored(quiet_days(self.posterior, CALM_DROP_SG, days))

        return self._three(f"quiet {days:g}", ask)

    def best_reading(self) -> list[float] | None:
        """(day to read next, width of the finish now, width after that reading, first day of any use), all in days;
        None: no reading is of use. Counted from the last reading, so that the day stands until there is another."""
        if "best reading" not in self.known:
            from fermtui.forecast.next_reading import best_reading_day  # with the model

            found = best_reading_day(self.posterior)
            self.known["best reading"] = None if found is None else [*found]
        best: list[float] | None = self.known["best reading"]
        return best

    def finish_without_own(self) -> Three | None:
        """Days since pitching of the finish as it would be without the maker's own vessels, 10, 50 and 90 %."""

        def ask() -> list[float | None] | None:
            from fermtui.forecast.readoff import finish_window  # with the model

            return None if self._load_alone is None else _stored(finish_window(self._load_alone()))

        return self._three("finish without own", ask)

    def alarms(self) -> tuple[bool, bool]:
        """Whether the readings, in their sequence, say that it has stalled, and that it is slow."""

        def ask() -> list[float | None] | None:
            from fermtui.forecast.readoff import alarms_of  # with the model

            seen = alarms_of(self.posterior, math.inf)
            return [float(seen.is_stalled), float(seen.is_slow), 0.0]

        found = self._three("alarms", ask)
        return (False, False) if found is None else (found[0] > 0.0, found[1] > 0.0)

    def expected(self, day: float) -> Three:
        """10, 50 and 90 % of a reading taken on that day; between whole days on the straight line."""
        whole = math.floor(day)
        first = self._expected(whole)
        share = day - whole
        if share < 1e-6:
            return first
        second = self._expected(whole + 1)
        low, likely, high = (a + share * (b - a) for a, b in zip(first, second, strict=True))
        return low, likely, high

    def readings(self) -> list[list[float]]:
        """(day, SG) of the readings after pitching that it was made from."""
        if "readings" not in self.known:
            self.known["readings"] = [list(pair) for pair in self.posterior.readings]
        readings: list[list[float]] = self.known["readings"]
        return readings

    def feeds(self) -> list[float]:
        """The days of the sugar additions."""
        if "feeds" not in self.known:
            self.known["feeds"] = list(self.posterior.feeds)
        feeds: list[float] = self.known["feeds"]
        return feeds

    def _expected(self, day: int) -> Three:
        name = f"expected {day}"
        if name not in self.known:
            # With the model: a warm start needs the answers only.
            from fermtui.forecast.readoff import next_reading_distribution  # with the model

            self.known[name] = list(next_reading_distribution(self.posterior, float(day)))
        low, likely, high = self.known[name]
        return low, likely, high

    def _three(self, name: str, ask: Callable[[], list[float | None] | None]) -> Three | None:
        if name not in self.known:
            self.known[name] = ask()
        answer = self.known[name]
        if answer is None:
            return None
        first, likely, last = answer
        return first, likely, math.inf if last is None else last


def _stored(window: Any) -> list[float | None] | None:
    if window is None:
        return None
    last = window.latest_day
    return [window.earliest_day, window.likely_day, last if math.isfinite(last) else None]
