"""The forecast of one vessel: facts in, dates out. The posterior has no clock; reading it off does."""

import math
from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, NamedTuple

from fermtui.forecast.answers import ForecastAnswers
from fermtui.forecast.calm import calm_days
from fermtui.forecast.window import BestReading, Window
from fermtui.replay.facts import Facts

if TYPE_CHECKING:
    from fermtui.forecast.readoff import Outlook as Chances

BAND_LEAST_DAYS = 60
FAR_DAYS = 3650.0


class BandRow(NamedTuple):
    """The 80 % band of the true gravity on one day."""

    at: datetime
    low: float
    likely: float
    high: float


def why_none(facts: Facts) -> str | None:
    """Why there is no forecast for this vessel, as one sentence; None when there is one."""
    if facts.pitched_at is None:
        return "nothing has been pitched yet"
    if facts.emptied_at is not None or facts.lots:
        return "it has been bottled or emptied"
    if facts.sorbate_at is not None or facts.sweetened_g > 0.0:
        return "it has been stabilised or sweetened, so no further ferment is planned"
    if facts.og is None and not facts.after_pitch:
        return "no original gravity and no reading are known"
    return None


class Forecast:
    """What was told of a vessel, read off at one clock, with dates in place of days."""

    def __init__(self, answers: ForecastAnswers, start: datetime, now: datetime, g0: float | None) -> None:
        self.answers = answers
        self.start = start
        self.now = now
        self.g0 = g0
        self.now_day = (now - start).total_seconds() / 86_400.0
        self._chances: Chances | None = None

    @property
    def chances(self) -> "Chances":
        """Finished, stalled, slow, not started; the finish in days."""
        if self._chances is None:
            from fermtui.forecast import readoff  # with the model: a warm start needs the answers only

            self._chances = readoff.read_off(self.answers.posterior, self.now_day)
        return self._chances

    @property
    def is_stalled(self) -> bool:
        """Whether the readings, in their sequence, say that it has stalled; a list of tasks asks no more than that."""
        return self.answers.alarms()[0]

    @property
    def is_slow(self) -> bool:
        """Whether they say that it is slow."""
        return self.answers.alarms()[1]

    @property
    def finish(self) -> Window | None:
        """When the gravity comes within 0.002 of where it ends; may lie before the clock. Finished means stopped."""
        days = self.answers.finish()
        return None if days is None else self._dates(days)

    def crossing(self, sg: float) -> Window | None:
        """When it comes down to this gravity, past or to come; None where it likely never does."""
        days = self.answers.crossing(sg)
        return None if days is None else self._dates(days)

    def calm(self, days: float) -> Window | None:
        """When `days` of stillness could first be complete, past or to come; None where they likely never are."""
        quiet = self.answers.quiet(days)
        if quiet is None:
            return None
        shown = calm_days(quiet, self.answers.readings(), self.answers.feeds(), days, self.now_day)
        return self._dates(shown)

    def crossings(self) -> dict[str, Window | None]:
        """The third break, the half and two thirds of the sugar spent: at 1 + 2/3, 1/2, 1/3 of (G0 - 1), past or to
        come. None where it never gets there.
        """
        shares = {"third_break": 2 / 3, "half": 1 / 2, "two_thirds": 1 / 3}
        if self.g0 is None:
            return dict.fromkeys(shares)
        rise = self.g0 - 1.0
        days = {name: self.answers.crossing(1.0 + share * rise) for name, share in shares.items()}
        return {name: None if found is None else self._dates(found) for name, found in days.items()}

    def band(self, least_days: int = BAND_LEAST_DAYS) -> list[BandRow]:
        """One row a day from pitching to the latest finish, at least 60 days."""
        from fermtui.forecast import readoff  # with the model: a warm start needs the answers only

        finish = self.chances.finish
        last = least_days
        if finish is not None:
            reach = finish.latest_day if math.isfinite(finish.latest_day) else finish.likely_day
            last = max(last, min(math.ceil(reach), int(FAR_DAYS)))
        last = max(last, math.ceil(self.now_day))
        return [BandRow(self.start + timedelta(days=day), low, likely, high)
                for day, low, likely, high in readoff.band(self.answers.posterior, 0.0, float(last))]  # fmt: skip

    def days_wide(self) -> tuple[float | None, float | None]:
        """How wide the window of the finish is in days, with and without the maker's own vessels. None where the
        latest day is not in sight; the second also where no vessel of theirs speaks for this one."""
        finish = self.chances.finish
        now = None if finish is None else _width((finish.earliest_day, finish.likely_day, finish.latest_day))
        if self.chances.learned_from < 0.5:
            return now, None
        return now, _width(self.answers.finish_without_own())

    def best_reading(self) -> BestReading | None:
        """The day after the last reading on which the next one narrows the finish; None where none is of use within
        two weeks of it. It may lie before the clock: then a reading is of use now."""
        found = self.answers.best_reading()
        return None if found is None else BestReading(self._date(found[0]), found[1], found[2], self._date(found[3]))

    def expected(self, at: datetime) -> tuple[float, float, float]:
        """10, 50 and 90 % of a reading taken then, its own error included."""
        return self.answers.expected((at - self.start).total_seconds() / 86_400.0)

    def _dates(self, days: tuple[float, float, float]) -> Window | None:
        if days[1] > FAR_DAYS:
            return None
        latest = self._date(days[2]) if days[2] <= FAR_DAYS else None
        return Window(self._date(days[0]), self._date(days[1]), latest)

    def _date(self, day: float) -> datetime:
        return self.start + timedelta(seconds=round(day * 86_400.0))


def _width(days: tuple[float, float, float] | None) -> float | None:
    return days[2] - days[0] if days is not None and math.isfinite(days[2]) else None


def doses_in(steps: Iterable[object]) -> int:
    """How many steps of a schedule are doses."""
    return sum(1 for step in steps if getattr(step, "do", None) == "dose")
