"""What a vessel comes to by its open steps: the mass balance of what goes in, and of what is lost."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fermtui.daybook.head import Plan, PlannedFruit
from fermtui.daybook.settings import Settings
from fermtui.must.composition import EXTRACT_PER_ETHANOL, Must, from_gravity, potential_abv
from fermtui.schedule.outcome import outcome
from fermtui.schedule.task import Task
from fermtui.schedule.why import Why

SETTINGS = Settings(UTC, "UTC")


def task(key: str, do: str, what: str | None = None) -> Task:
    return Task("x", key, None, do, what, "waiting", None, is_date=True, why=Why(""))


def in_all_g(must: Must) -> float:
    """Water and extract, fermented or not: what no ferment changes."""
    return must.water_g + must.sugar_g + must.ethanol_g * EXTRACT_PER_ETHANOL


@given(st.floats(1.040, 1.130), st.floats(1.0, 30.0))
def test_a_must_to_which_nothing_is_done_comes_to_its_potential(sg: float, volume_l: float) -> None:
    must = from_gravity(volume_l, sg)
    found = outcome(must, [], Plan(volume_l=volume_l, gravity=sg), SETTINGS)
    assert found.end.abv_percent == pytest.approx(potential_abv(must, 1.0), abs=1e-3)
    assert found.final == found.end
    assert found.level_l == pytest.approx(must.volume_l)
    assert in_all_g(found.end) == pytest.approx(in_all_g(must), rel=1e-9)


@given(st.floats(1.050, 1.120), st.floats(0.0, 400.0))
def test_what_goes_in_and_what_is_lost_adds_up(sg: float, grams_per_l: float) -> None:
    plan = Plan(volume_l=4.0, gravity=sg, fruit=PlannedFruit("plum", max(0.1, 4.0 * grams_per_l)))
    steps = [task("fruit", "fruit"), task("pull", "pull", "fruit"), task("rack-1", "rack"), task("rack-2", "rack")]
    must = from_gravity(4.0, sg)
    found = outcome(must, steps, plan, SETTINGS)
    fruit = found.additions[0]
    # Plums are 97.15 % water and sugar (USDA SR28 09279); a fifth of a millilitre a gram clings, 4 % stay at a racking.
    came = 0.9715 * fruit.mass_g
    with_fruit = in_all_g(must) + came
    assert in_all_g(found.end) <= with_fruit
    clings_l = max(0.2 * fruit.mass_g, 4.0 * (1 - 0.9715) * fruit.mass_g) / 1000
    assert found.final.volume_l == pytest.approx((fruit.volume_l - clings_l) * 0.96**2, rel=0.02)
    assert found.end.abv_percent < potential_abv(must, 1.0) + 1e-6  # plums are weaker than any must here


def test_a_mead_that_has_ended_is_sweetened_and_does_not_ferment_on() -> None:
    dry = outcome(from_gravity(4.0, 1.090), [], Plan(volume_l=4.0), SETTINGS).end
    sweet = Plan(volume_l=4.0, sweet=True, sweet_to=1.012)
    found = outcome(dry, [task("sweeten", "sweeten")], sweet, SETTINGS, ended=True)
    assert found.final.sg == pytest.approx(1.012, abs=1e-4)
    assert found.final.ethanol_g == pytest.approx(dry.ethanol_g)
    again = outcome(found.final, [task("rack-2", "rack")], sweet, SETTINGS, ended=True)
    assert again.final.sg == pytest.approx(1.012, abs=1e-4)


def test_a_fruit_that_no_table_knows_is_left_out() -> None:
    plan = Plan(volume_l=4.0, fruit=PlannedFruit("gravel", 500.0))
    assert outcome(from_gravity(4.0, 1.090), [task("fruit", "fruit")], plan, SETTINGS).additions == ()


def test_fruit_before_the_first_dose_counts_for_the_nutrient_and_later_fruit_does_not() -> None:
    plan = Plan(volume_l=4.0, fruit=PlannedFruit("plum", 1000.0))
    must = from_gravity(4.0, 1.090)
    early = outcome(must, [task("fruit", "fruit"), task("dose-1", "dose")], plan, SETTINGS)
    late = outcome(must, [task("dose-1", "dose"), task("fruit", "fruit")], plan, SETTINGS)
    assert early.all_in.volume_l == pytest.approx(must.volume_l + early.juice_l, abs=0.01)
    assert early.juice_l == pytest.approx(0.95, abs=0.05)  # a kilogram of plums, 97 % of it juice of about 1.04
    assert (late.all_in, late.juice_l) == (must, 0.0)


def test_what_is_done_is_not_done_again(story: Callable[..., Any]) -> None:
    page = """
    { at = 2026-03-01T18:00:00+01:00, did = "read", sg = 1.090 }
    { at = 2026-03-01T19:00:00+01:00, did = "pitch" }
    { at = 2026-03-20T19:00:00+01:00, did = "fruit", kind = "plum", mass_g = 500 }
    """
    plan = Plan(volume_l=4.2, fruit=PlannedFruit("plum", 500.0))
    tasks = list(story(page, "2026-03-21T20:00", "fruit-when-dry").values())
    assert outcome(from_gravity(4.2, 1.090), tasks, plan, SETTINGS).additions == ()
