"""Which day to read next. What a reading brings is judged by courses from other models."""

from __future__ import annotations

import random
from dataclasses import replace
from statistics import fmean

import pytest

from fermtui.forecast.evidence import Evidence
from fermtui.forecast.next_reading import AHEAD_DAYS, best_reading_day
from fermtui.forecast.posterior import posterior
from fermtui.forecast.readoff import read_off
from tests.bench.forecast.measure import evidence_of
from tests.bench.score_forecast import MAKERS, cases

MUST = Evidence(og=1.100, plan_temp_c=20.0, readings=((4.0, 1.082, 0.001),))


def test_a_young_must_is_worth_reading_and_the_promise_is_narrower() -> None:
    best = best_reading_day(posterior(MUST))
    assert best is not None
    assert best.day - 4.0 in AHEAD_DAYS
    assert best.width_after < 0.85 * best.width_now


def test_nothing_is_promised_without_a_reading_nor_at_the_end() -> None:
    assert best_reading_day(posterior(replace(MUST, readings=()))) is None
    still = ((3.0, 1.080, 0.001), (8.0, 1.030, 0.001), (14.0, 0.996, 0.001), (21.0, 0.995, 0.001), (28.0, 0.995, 0.001))
    assert best_reading_day(posterior(replace(MUST, readings=still))) is None


def test_the_answer_is_the_same_each_time() -> None:
    assert best_reading_day(posterior(MUST)) == best_reading_day(posterior(MUST))


@pytest.mark.slow
def test_what_is_promised_comes() -> None:
    """The promise is the mean over what may be read and over fed and neglected musts, so that mean has to come."""
    promised: list[float] = []
    came: list[float] = []
    for truth, readings in cases(MAKERS["fed"], 25, 515) + cases(MAKERS["home"], 25, 515):
        now = readings[0][0]
        best = best_reading_day(posterior(evidence_of(truth, readings[:1], now)))
        if best is None or now > truth.finish:
            continue
        sg = round(truth.gravity(best.day) + random.Random(truth.og).gauss(0.0, truth.noise), 3)
        finish = read_off(posterior(evidence_of(truth, [*readings[:1], (best.day, sg, 0.001)], best.day)), now).finish
        assert finish is not None
        promised.append(best.width_after)
        came.append(min(finish.latest_day, now + 365.0) - max(finish.earliest_day, now))
    assert len(came) >= 30
    assert fmean(came) == pytest.approx(fmean(promised), rel=0.25)
