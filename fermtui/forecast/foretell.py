"""The forecast of one vessel: facts in, dates out. The posterior has no clock; reading it off does."""

from __future__ import annotations

import math
from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import NamedTuple

from fermtui.daybook.head import Plan
from fermtui.forecast import readoff
from fermtui.forecast.evidence import Evidence
from fermtui.forecast.posterior import Posterior, posterior
from fermtui.forecast.priors import DEFAULT_PRIORS, Priors
from fermtui.forecast.window import Window
from fermtui.must.limits import OutOfRange
from fermtui.must.nutrients import Dose, nitrogen_given_mg_per_l
from fermtui.story.facts import Facts

BAND_LEAST_DAYS = 60
FAR_DAYS = 3650.0
MIX_NOT_READ_SD = 0.004


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


def evidence_of(facts: Facts, plan: Plan, doses_planned: int) -> Evidence:
    """What the forecast is told about a pitched vessel. Days are counted from pitching."""
    start = facts.pitched_at
    assert start is not None

    def day(at: datetime) -> float:
        return (at - start).total_seconds() / 86_400.0

    readings = tuple((day(r.at), r.sg, max(r.plus_minus, 0.0005)) for r in facts.after_pitch if r.sg is not None)
    temps = [(day(r.at), r.temp_c) for r in facts.readings if r.temp_c is not None and r.at >= start]
    if facts.pitch_temp_c is not None:
        temps.insert(0, (0.0, facts.pitch_temp_c))
    read_before = any(r.sg is not None and r.at <= start for r in facts.readings)
    return Evidence(
        og=facts.og,
        og_sd=0.001 if read_before else MIX_NOT_READ_SD,
        readings=readings,
        temps=tuple(temps),
        plan_temp_c=plan.temp_c,
        tolerance_abv=plan.yeast.tolerance_abv,
        yan_mg_per_l=_nitrogen(facts, plan),
        doses_planned=doses_planned,
        doses_given=facts.doses,
        feeds=tuple((day(c.at), c.added_sg, c.added_sd) for c in facts.changes),
        end_sg=plan.end,
        yeast=plan.yeast.name,
    )


def _nitrogen(facts: Facts, plan: Plan) -> float | None:
    doses = plan.doses or {"dap_g": facts.dap_g, "autolysate_g": facts.autolysate_g, "complex_g": facts.complex_g}
    if not any(doses.values()) or not facts.volume_known or not facts.level_l:
        return None
    grams = Dose(doses.get("dap_g", 0.0), doses.get("autolysate_g", 0.0), doses.get("complex_g", 0.0))
    try:
        return nitrogen_given_mg_per_l(grams, facts.level_l)
    except OutOfRange:
        return None


def foretell(facts: Facts, plan: Plan, doses_planned: int, priors: Priors = DEFAULT_PRIORS) -> Posterior | None:
    """The clock-free forecast of a vessel, or None where `why_none` has a reason. About 20 ms."""
    if why_none(facts) is not None:
        return None
    return posterior(evidence_of(facts, plan, doses_planned), priors)


class Foretold:
    """A posterior read off at one clock, with dates in place of days."""

    def __init__(self, of: Posterior, start: datetime, now: datetime, g0: float | None) -> None:
        self.posterior = of
        self.start = start
        self.now = now
        self.g0 = g0
        self.now_day = (now - start).total_seconds() / 86_400.0
        self._read: readoff.Outlook | None = None
        self._crossings: dict[float, Window | None] = {}
        self._calm: dict[float, Window | None] = {}

    @property
    def chances(self) -> readoff.Outlook:
        """Finished, stalled, slow, not started; the finish in days."""
        if self._read is None:
            self._read = readoff.read_off(self.posterior, self.now_day)
        return self._read

    @property
    def finish(self) -> Window | None:
        """When the gravity comes within 0.002 of where it ends; may lie before the clock. Finished means stopped."""
        return self._dates(self.chances.finish)

    def crossing(self, sg: float) -> Window | None:
        """When it comes down to this gravity; None when that is likelier past, or never."""
        if sg not in self._crossings:
            self._crossings[sg] = self._dates(readoff.crossing(self.posterior, sg, self.now_day))
        return self._crossings[sg]

    def calm(self, days: float) -> Window | None:
        """When `days` of stillness could first be complete; None when likelier past, or never."""
        if days not in self._calm:
            self._calm[days] = self._dates(readoff.calm(self.posterior, over_days=days, now_day=self.now_day))
        return self._calm[days]

    def crossings(self) -> dict[str, Window | None]:
        """The third break, the half and two thirds of the sugar spent: at 1 + 2/3, 1/2, 1/3 of (G0 - 1)."""
        if self.g0 is None:
            return {}
        rise = self.g0 - 1.0
        shares = {"third_break": 2 / 3, "half": 1 / 2, "two_thirds": 1 / 3}
        return {name: self.crossing(1.0 + share * rise) for name, share in shares.items()}

    def band(self, least_days: int = BAND_LEAST_DAYS) -> list[BandRow]:
        """One row a day from pitching to the latest finish, at least 60 days."""
        finish = self.chances.finish
        last = least_days
        if finish is not None:
            reach = finish.latest_day if math.isfinite(finish.latest_day) else finish.likely_day
            last = max(last, min(math.ceil(reach), int(FAR_DAYS)))
        last = max(last, math.ceil(self.now_day))
        return [BandRow(self.start + timedelta(days=day), low, likely, high)
                for day, low, likely, high in readoff.band(self.posterior, 0.0, float(last))]  # fmt: skip

    def expected(self, at: datetime) -> tuple[float, float, float]:
        """10, 50 and 90 % of a reading taken then, its own error included."""
        return readoff.next_reading_distribution(self.posterior, (at - self.start).total_seconds() / 86_400.0)

    def _dates(self, window: readoff.Window | None) -> Window | None:
        if window is None or window.likely_day > FAR_DAYS:
            return None
        first, likely = self._date(window.earliest_day), self._date(window.likely_day)
        latest = self._date(window.latest_day) if window.latest_day <= FAR_DAYS else None
        return Window(first, likely, latest)

    def _date(self, day: float) -> datetime:
        return self.start + timedelta(seconds=round(day * 86_400.0))


def doses_in(steps: Iterable[object]) -> int:
    """How many steps of a schedule are doses."""
    return sum(1 for step in steps if getattr(step, "do", None) == "dose")
