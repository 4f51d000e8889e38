"""Strength against the factors of HMRC Excise Notice 226, section 30.3: data/hmrc_abv_factors.csv.

% vol = (OG - PG) x factor, gravities times 1000, OG 1.030 to 1.110 and read to whole points: within 0.15 % vol down to
0.995. The worst is a must of 1.110 half way down: the factors are made for finished beer. Driest meads at 0.990 differ
by up to 0.16, through the steps between the bands of factors.
"""

from collections.abc import Callable
from math import ceil, floor

import pytest

from fermtui.must.composition import from_gravity, potential_abv

Rows = list[dict[str, str]]


@pytest.mark.parametrize("original", range(1030, 1111, 5))
def test_every_whole_point(published: Callable[[str], Rows], original: int) -> None:
    must, tried = from_gravity(1.0, original / 1000), 0
    for row in published("hmrc_abv_factors"):
        first, last, factor = float(row["og_minus_pg_from"] or 1.0), float(row["og_minus_pg_to"]), float(row["factor"])
        for drop in range(ceil(first), floor(last) + 1):
            if original - drop >= 995:
                tried += 1
                assert potential_abv(must, (original - drop) / 1000) == pytest.approx(drop * factor, abs=0.15), drop
    assert tried >= 25


def test_a_dry_mead(published: Callable[[str], Rows]) -> None:
    """What a mead maker asks: from 1.090 to dry."""
    factor = {row["og_minus_pg_from"]: float(row["factor"]) for row in published("hmrc_abv_factors")}["89.8"]
    assert potential_abv(from_gravity(1.0, 1.090), 1.000) == pytest.approx(90 * factor, abs=0.15)
