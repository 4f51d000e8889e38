"""Pasteurising units: Del Vecchio, Dayharsh and Baselt 1951 (ASBC), as in handbooks: PU = min x 1.393^(T - 60)."""

from __future__ import annotations

import pytest

from fermtui.must.limits import OutOfRange
from fermtui.must.pasteurising import FACTOR_PER_C, pasteurising_units

Z_C = 6.94  # of the same source: so many degrees more kill ten times as fast


def test_the_factor_is_that_of_the_published_z() -> None:
    assert pytest.approx(10.0 ** (1.0 / Z_C), abs=0.001) == FACTOR_PER_C


@pytest.mark.parametrize(
    ("minutes", "temp_c", "units"),
    [
        (1.0, 60.0, 1.0),  # by definition
        (15.0, 60.0, 15.0),
        (1.0, 60.0 + Z_C, 10.0),  # a z more, ten times as much
        (10.0, 60.0 - Z_C, 1.0),
        (30.0, 49.9, 0.0),  # below 50 the formula is doubtful
    ],
)
def test_units(minutes: float, temp_c: float, units: float) -> None:
    assert pasteurising_units(minutes, temp_c) == pytest.approx(units, rel=0.003)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(OutOfRange, match="temperature"):
        pasteurising_units(10.0, 130.0)
    with pytest.raises(OutOfRange, match="time"):
        pasteurising_units(-1.0, 60.0)
