"""The maker's own vessels: one says little, ten say much, and only about their like."""

from __future__ import annotations

from dataclasses import replace

from fermtui.forecast.evidence import Evidence
from fermtui.forecast.past_batches import FinishedVessel, past_batch_of, priors_from
from fermtui.forecast.posterior import posterior
from fermtui.forecast.priors import Priors
from fermtui.forecast.readoff import DayWindow, read_off

NEXT = Evidence(og=1.100, plan_temp_c=20.0, yan_mg_per_l=200.0, yeast="White Wine")
SLOW = replace(
    NEXT,
    readings=(
        (7.0, 1.080, 0.001), (14.0, 1.060, 0.001), (25.0, 1.035, 0.001), (40.0, 1.014, 0.001), (60.0, 1.002, 0.001),
        (80.0, 0.998, 0.001), (95.0, 0.997, 0.001),
    ),
)  # fmt: skip


def finish(evidence: Evidence, priors: Priors) -> DayWindow:
    found = read_off(posterior(evidence, priors), 0.0).finish
    assert found is not None
    return found


def test_one_moves_it_little_and_ten_move_it_much() -> None:
    none = finish(NEXT, Priors()).likely_day
    one = finish(NEXT, priors_from([FinishedVessel(SLOW)])).likely_day
    ten = finish(NEXT, priors_from([FinishedVessel(SLOW)] * 10)).likely_day
    assert none < one < none + 0.35 * (ten - none)
    assert ten > none + 15.0


def test_ten_of_a_kind_narrow_the_window() -> None:
    rows = ((2.0, 1.085, 0.001), (5.0, 1.052, 0.001), (9.0, 1.017, 0.001), (14.0, 0.996, 0.001), (24.0, 0.992, 0.001))
    steady = priors_from([FinishedVessel(replace(NEXT, readings=rows))] * 10)
    wide, narrow = finish(NEXT, Priors()), finish(NEXT, steady)
    assert narrow.latest_day / narrow.earliest_day < 0.8 * wide.latest_day / wide.earliest_day


def test_another_yeast_or_another_strength_says_less() -> None:
    ten = priors_from([FinishedVessel(SLOW)] * 10)
    same = read_off(posterior(NEXT, ten), 0.0).learned_from
    assert same > 9.0
    assert read_off(posterior(replace(NEXT, yeast="Ale"), ten), 0.0).learned_from < 3.0
    assert read_off(posterior(replace(NEXT, og=1.050), ten), 0.0).learned_from < 1.0


def test_names_of_yeasts_are_compared_without_case_or_spaces() -> None:
    ten = priors_from([FinishedVessel(SLOW)] * 10)
    assert posterior(replace(NEXT, yeast=" white  wine "), ten) == posterior(NEXT, ten)


def test_order_of_vessels_does_not_matter() -> None:
    other = FinishedVessel(replace(SLOW, og=1.110))
    assert priors_from([FinishedVessel(SLOW), other]) == priors_from([other, FinishedVessel(SLOW)])


def test_a_vessel_that_was_hardly_read_teaches_nothing() -> None:
    assert past_batch_of(FinishedVessel(replace(SLOW, readings=SLOW.readings[:1]))) is None
    assert past_batch_of(FinishedVessel(replace(SLOW, og=None))) is None
    assert priors_from([FinishedVessel(NEXT)]) == Priors()
