"""Ferments of another kind than the program's own, bottled the first time that nothing speaks against it.

The larger run is `python tests/bench/calm.py --lives 2000`. The 4 g/L are our line for what may be left; no source.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from statistics import median
from typing import Any

import pytest

Load = Callable[[str], Any]
SEEDS = range(7, 47)


@pytest.fixture(scope="module")
def lives() -> dict[str, list[Any]]:
    return {}


def lived(soak: Load, lives: dict[str, list[Any]], kind: str) -> list[Any]:
    """Forty ferments of that kind, lived once."""
    if kind not in lives:
        calm = soak("calm")
        lives[kind] = [calm.live(seed, kind) for seed in SEEDS]
    return lives[kind]


def test_the_gravities_of_the_simulation_are_those_of_the_tables(soak: Load) -> None:
    calm = soak("calm")
    # Sucrose in water (ICUMSA): 10 g in 100 g are 1.0400, 20 g 1.0830, 25 g 1.1057.
    for plato, sg in ((10.0, 1.0400), (20.0, 1.0830), (25.0, 1.1057)):
        assert calm.gravity(plato) == pytest.approx(sg, abs=0.0003)
        assert calm.plato(sg) == pytest.approx(plato, abs=0.06)


def test_a_simulated_ferment_begins_where_it_was_pitched_and_only_falls(soak: Load) -> None:
    calm = soak("calm")
    for kind in calm.KINDS:
        course = calm.draw(calm.random.Random(f"{kind} 1"), kind)
        begun = course.rest_g_per_l + course.left_g_per_l(0.0)
        assert calm.seen_gravity(course.og, begun) == pytest.approx(course.og, abs=0.0015)
        left = [course.left_g_per_l(float(days)) for days in range(300)]
        assert all(later <= earlier + 1e-9 for earlier, later in pairwise(left))
        assert left[-1] < left[0]


def test_a_ferment_that_decays_is_bottled_with_no_more_than_four_grams(soak: Load, lives: dict[str, list[Any]]) -> None:
    unsafe = [str(one) for one in lived(soak, lives, "decay") if one.unsafe]
    assert unsafe == []


def test_a_ferment_that_decays_is_bottled_within_three_readings_of_thirty_calm_days(
    soak: Load, lives: dict[str, list[Any]]
) -> None:
    # Thirty days, and a reading: where the eye errs by 0.001, read every ten days, up to three more.
    calm = soak("calm")
    made = lived(soak, lives, "decay")
    assert all(one.day is not None for one in made)
    waited = calm.waited_days(made)
    assert median(waited) <= 30.0
    assert waited[-1] <= 30.0 + 3 * 10.0 + 1.0


@pytest.mark.parametrize("kind", ["creep", "arrest"])
def test_what_stops_or_creeps_above_its_end_is_never_bottled_without_a_word(
    soak: Load, lives: dict[str, list[Any]], kind: str
) -> None:
    # Near the end seven days hide a creep or a halt of up to 10 g/L, and thirty days one of 1.4 g/L a week: no reading
    # tells them from an end. What they would make in the bottle is said before it is filled.
    mute = [str(one) for one in lived(soak, lives, kind) if one.unsafe and not one.warned]
    assert mute == []
