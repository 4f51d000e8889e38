"""The starter of a stalled ferment. Common practice, no source: see must/starter.py."""

from __future__ import annotations

import pytest

from fermtui.must.starter import starter


@pytest.mark.parametrize(
    ("volume_l", "yeast_g", "grown_l"),
    [
        (20.0, 10.0, 1.0),  # half a gram a litre; a twentieth of the vessel
        (4.0, 2.0, 0.2),
        (1.0, 2.0, 0.08),  # never less than 2 g, nor than twice the 40 mL in which they wake (20 mL a gram)
    ],
)
def test_yeast_and_how_far_it_grows(volume_l: float, yeast_g: float, grown_l: float) -> None:
    made = starter(volume_l)
    assert made.yeast_g == pytest.approx(yeast_g)
    assert made.water_ml == pytest.approx(20.0 * yeast_g)
    assert made.volume_l == pytest.approx(grown_l)
