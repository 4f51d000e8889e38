"""Two entries of one moment are named where their order changes strength or gravity by more than its ±."""

from __future__ import annotations

import pytest

from fermtui.daybook.head import head_from
from fermtui.replay.one_moment import OrderCounts, where_order_counts
from fermtui.replay.state import Measures
from telling import MEAD, entries

BEGUN = """01T18:00 "mix", volume_l = 4.0, honey_g = 1200
01T18:30 "read", sg = 1.095
01T19:00 "pitch"
"""


def found(page: str) -> tuple[OrderCounts, ...]:
    return where_order_counts(head_from(MEAD), entries(BEGUN + page), Measures())


def test_a_feed_and_the_reading_after_it() -> None:
    first, *more = found('10T12:00 "feed", honey_g = 400\n10T12:00 "read", sg = 1.082\n')
    assert not more
    assert (first.first, first.second, first.number) == ("k03", "k04", "strength")
    # By handbook figures, from memory: 13 points of 1.095 are 1.7 % vol; with 400 g of honey in 4 L, about 25 points
    # more had been there to ferment.
    assert first.is_now - first.would_be == pytest.approx(25 * 0.131, abs=0.5)


@pytest.mark.parametrize(
    "page",
    [
        '10T11:00 "feed", honey_g = 400\n10T12:00 "read", sg = 1.082\n',
        '10T12:00 "dose", dap_g = 1\n10T12:00 "read", sg = 1.060\n',
        '10T12:00 "feed", honey_g = 2\n10T12:00 "read", sg = 1.060\n',
        '01T19:00 "read", sg = 1.095\n',
    ],
)
def test_hours_apart_little_or_nothing_poured_and_the_reading_of_the_pitching_are_in_no_doubt(page: str) -> None:
    assert found(page) == ()


def test_honey_for_taste_and_the_reading_change_the_gravity() -> None:
    page = '20T12:00 "read", sg = 1.000\n27T12:00 "read", sg = 1.000\n27T12:00 "sweeten", honey_g = 20\n'
    (one,) = found(page)
    # 16.6 g of sugar in 4 L are 4.1 g/L, 0.0016 SG: 0.38 points a gram and litre (sucrose, CRC Handbook). In strength
    # that is 0.2 % vol, no more than its ±.
    assert one.number == "gravity"
    assert one.would_be == pytest.approx(1.000, abs=0.0005)
    assert one.is_now - one.would_be == pytest.approx(16.6 / 4.0 * 0.38e-3, abs=0.0003)
