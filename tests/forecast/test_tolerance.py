"""A yeast that goes on past the tolerance it was given with: the readings win over the label."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fermtui.forecast.evidence import Evidence, tidy
from fermtui.forecast.posterior import posterior
from fermtui.forecast.priors import USUAL_TOLERANCE_ABV, fed_world, shown_abv
from fermtui.forecast.readoff import band, read_off

ROWS = ((1.0, 1.124), (2.8, 1.0895), (4.0, 1.0512), (6.0, 1.016), (10.0, 0.997), (12.0, 0.993), (30.0, 0.992))
DRY = Evidence(og=1.125, readings=tuple((day, sg, 0.001) for day, sg in ROWS), plan_temp_c=20.0)


@pytest.mark.parametrize("given", [None, 5.0, 8.0, 11.0, 14.0, 18.0])
def test_the_band_holds_what_was_read_whatever_was_given(given: float | None) -> None:
    known = posterior(replace(DRY, tolerance_abv=given))
    _, low, _, high = band(known, 31.0, 31.0)[0]
    assert low - 0.003 <= 0.992 <= high
    assert read_off(known, 31.0).finished > 0.9


def test_while_it_falls_past_what_was_given_it_is_not_finished() -> None:
    rows = ((3.2, 1.096, 0.001), (9.5, 1.050, 0.001), (11.5, 1.0388, 0.001), (13.2, 1.0323, 0.001))
    seen = read_off(posterior(Evidence(og=1.120, readings=rows, tolerance_abv=11.0)), 14.0)
    assert seen.finished < 0.3
    assert seen.finish is not None
    assert seen.finish.likely_day > 14.0


def test_what_was_given_holds_until_it_is_passed() -> None:
    started = Evidence(og=1.120, readings=((3.0, 1.100, 0.001),), tolerance_abv=11.0)
    assert fed_world(started, tidy(started)).tolerance_abv == 11.0
    passed = replace(started, readings=(*started.readings, (20.0, 1.030, 0.001)))
    assert fed_world(passed, tidy(passed)).tolerance_abv == pytest.approx(shown_abv(tidy(passed)) + 1.0)
    far = replace(started, readings=(*started.readings, (20.0, 1.010, 0.001)))
    assert fed_world(far, tidy(far)).tolerance_abv == USUAL_TOLERANCE_ABV


def test_sugar_that_was_fed_counts_to_what_the_yeast_has_shown() -> None:
    fed = Evidence(og=1.100, readings=((20.0, 1.000, 0.001),), feeds=((10.0, 0.030, 0.001),))
    late = replace(fed, feeds=((25.0, 0.030, 0.001),))
    assert shown_abv(tidy(fed)) - shown_abv(tidy(late)) == pytest.approx(0.030 * 133.0)
