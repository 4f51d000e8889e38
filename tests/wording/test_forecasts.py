"""What the forecast leans on and which reading would tell more, in words. No source: wording."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from fermtui.forecast.answers import ForecastAnswers
from fermtui.forecast.evidence import Evidence
from fermtui.forecast.forecast import Forecast
from fermtui.forecast.pooling import PastBatch
from fermtui.forecast.posterior import posterior
from fermtui.forecast.priors import Priors
from fermtui.wording.forecasts import likeness, likeness_text, next_reading_text, own_batches_text

PARIS = ZoneInfo("Europe/Paris")
START = datetime(2026, 3, 2, 18, tzinfo=PARIS)
FED = Evidence(og=1.100, plan_temp_c=20.0, yan_mg_per_l=220.0, doses_planned=2, doses_given=2)
YOUNG = replace(FED, readings=((4.0, 1.080, 0.001),))


def forecast(told: Evidence, day: float, priors: Priors | None = None) -> Forecast:
    known = posterior(told, priors or Priors())
    answers = ForecastAnswers(dict, lambda: known, lambda: posterior(told))
    return Forecast(answers, START, START + timedelta(days=day), told.og)


def test_what_a_must_is_like_is_said_with_its_chance() -> None:
    like, share = likeness(forecast(YOUNG, 4.0))
    assert like == "a well fed must"
    assert likeness_text(forecast(YOUNG, 4.0)) == f"behaves like a well fed must, {100 * share:.0f} %"
    assert likeness_text(forecast(FED, 0.0)).startswith("taken for a well fed must, ")


def test_the_maker_can_say_better_and_the_readings_decide() -> None:
    alone = replace(FED, yan_mg_per_l=None, doses_given=0, fed=False)
    assert likeness(forecast(alone, 0.0))[0] == "a must left to itself"
    said, not_said = likeness(forecast(replace(FED, fed=True), 0.0))[1], likeness(forecast(FED, 0.0))[1]
    assert said > not_said
    quick = ((2.0, 1.085, 0.001), (4.0, 1.055, 0.001), (6.0, 1.030, 0.001), (8.0, 1.015, 0.001))
    assert likeness(forecast(replace(alone, readings=quick), 8.0))[1] < likeness(forecast(alone, 0.0))[1]


def test_own_batches_are_counted_and_what_they_bring_is_measured() -> None:
    batch = PastBatch("Wine", 1.100, 0.1, 0.1, 0.0, 0.1, 0.0, 0.001)
    eight = forecast(replace(FED, yeast="Wine"), 0.0, Priors((batch,) * 8))
    now, without = eight.days_wide()
    assert now is not None
    assert without is not None
    assert now < without
    assert own_batches_text(eight) == f"from eight of your own batches: {now:.0f} days wide instead of {without:.0f}"
    one = forecast(replace(FED, yeast="Wine"), 0.0, Priors((batch,)))
    assert own_batches_text(one).startswith("from one of your own batches")
    assert own_batches_text(forecast(FED, 0.0)) == ""


def test_the_day_to_read_next_is_named_with_what_it_brings() -> None:
    seen = forecast(YOUNG, 4.0)
    best = seen.best_reading()
    assert best is not None
    gain = f"narrows the finish to {best.days_wide_after:.0f} days, from {best.days_wide_now:.0f}"
    assert gain in next_reading_text(seen, seen.now, PARIS)
    assert next_reading_text(seen, best.at + timedelta(hours=1), PARIS) == f"one now {gain}"
    assert next_reading_text(forecast(FED, 0.0), START, PARIS) == ""


def test_a_reading_that_is_no_use_is_said_to_be_none() -> None:
    read = ((2, 1.080), (4, 1.055), (6, 1.033), (8, 1.015), (10, 1.005), (10.5, 1.004))
    seen = forecast(replace(FED, readings=tuple((float(day), sg, 0.001) for day, sg in read)), 10.5)
    assert seen.chances.finished < 0.5
    assert seen.best_reading() is None
    said = next_reading_text(seen, seen.now, PARIS)
    assert said == "one more, within two weeks of the last, is no use for the finish"


def test_until_when_a_reading_is_no_use_is_said() -> None:
    """In the tail a reading of the next day tells nothing: the gravity has to have come closer to its end."""
    read = ((3, 1.075), (6, 1.045), (9, 1.024), (12, 1.012), (13, 1.0092))
    tail = forecast(replace(FED, readings=tuple((float(day), sg, 0.001) for day, sg in read)), 13.0)
    best = tail.best_reading()
    assert best is not None
    assert best.use_from > START + timedelta(days=14)
    day = best.use_from.astimezone(PARIS)
    assert next_reading_text(tail, tail.now, PARIS).endswith(f"; no use before {day.day} {day:%b}")
