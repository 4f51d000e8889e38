"""Any computed number can be opened: it is the number of the screen, and its own inputs give it again."""

from __future__ import annotations

from datetime import UTC, datetime
from math import isfinite
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fermtui.daybook.head import Plan, head_from
from fermtui.daybook.lines import read_lines
from fermtui.daybook.settings import Settings, read_settings
from fermtui.explain.explained import Explained, Input, all_lines, lines, quantity
from fermtui.explain.forecast_numbers import HALTS, explain_forecast
from fermtui.explain.vessel_numbers import explain_vessel
from fermtui.forecast.answers import ForecastAnswers
from fermtui.forecast.forecast import Forecast
from fermtui.forecast.from_facts import foretell
from fermtui.replay.facts import Facts
from fermtui.replay.present import Present, present
from fermtui.replay.replay import replay
from fermtui.schedule.amounts import amounts
from fermtui.schedule.doses import totals_g
from fermtui.schedule.rounding import grams
from fermtui.schedule.task import Task
from fermtui.schedule.why import Why
from fermtui.units import Units

DAMSON = """
k01 = { at = 2026-03-01T18:00:00+00:00, did = "mix", volume_l = 4.2, honey_g = 1250 }
k02 = { at = 2026-03-01T18:10:00+00:00, did = "read", sg = 1.095, temp_c = 20 }
k03 = { at = 2026-03-01T19:00:00+00:00, did = "pitch", yeast = "white wine yeast", temp_c = 19 }
k04 = { at = 2026-03-05T19:00:00+00:00, did = "read", sg = 1.062, temp_c = 20 }
k05 = { at = 2026-03-10T19:00:00+00:00, did = "read", sg = 1.021, temp_c = 21 }
k06 = { at = 2026-03-12T19:00:00+00:00, did = "read", sg = 1.012, temp_c = 21, ph = 3.4 }
"""
PLAN: dict[str, Any] = {"volume_l": 4.2, "gravity": 1.095, "sweet": 1.020, "yeast": {"demand": "high"}}
NOW = datetime(2026, 3, 13, 12, tzinfo=UTC)
SETTINGS: Settings = read_settings(b'timezone = "UTC"')[0]


def vessel(page: str = DAMSON, plan: dict[str, Any] | None = None, now: datetime = NOW) -> tuple[Facts, Plan, Present]:
    head = head_from({"name": "Damson", "capacity_l": 5.0, "plan": PLAN if plan is None else plan})
    entries, problems = read_lines(page.strip().encode(), "daybook.toml")
    assert problems == ()
    facts = replay(head, entries)
    return facts, head.plan, present(facts, now, UTC)


def explained(page: str = DAMSON, plan: dict[str, Any] | None = None) -> tuple[Explained, ...]:
    facts, wanted, stands = vessel(page, plan)
    return explain_vessel(facts, wanted, stands, SETTINGS, NOW)


def one(name: str, page: str = DAMSON, plan: dict[str, Any] | None = None) -> Explained:
    found = next((one for one in explained(page, plan) if one.name == name), None)
    assert found is not None, name
    return found


def given_to(step: Explained) -> dict[str, Any]:
    return {each.name: each.value for each in step.inputs}


def test_what_is_explained_is_what_the_screen_shows() -> None:
    _, _, stands = vessel()
    for name, shown in (
        ("volume", stands.level_l), ("headspace", stands.headspace_l), ("gravity", stands.sg),
        ("strength", stands.abv_percent), ("strength, give or take", stands.abv_plus_minus),
        ("sugar spent", stands.sugar_spent_percent), ("speed", stands.speed_sg_per_day),
        ("sugar that could ferment again", stands.refermentable_g_per_l),
    ):  # fmt: skip
        assert shown is not None
        assert one(name).value == shown


def test_the_inputs_give_the_number_again() -> None:
    strength = given_to(one("strength"))
    # 0.78924 g/mL: OIML R 22, ethanol at 20 °C.
    assert 100 * strength["alcohol"] / 789.24 / strength["volume"] == pytest.approx(one("strength").value, rel=1e-4)
    alcohol = given_to(one("alcohol"))
    assert alcohol["fermented extract"] / 2.0665 == pytest.approx(one("alcohol").value)  # Balling
    headspace = given_to(one("headspace"))
    assert headspace["container"] - headspace["volume"] == pytest.approx(one("headspace").value)
    spent = given_to(one("sugar spent"))
    g0, sg = spent["G0, with nothing fermented"], spent["gravity"]
    assert 100 * (g0 - sg) / (g0 - 1) == pytest.approx(one("sugar spent").value)


def test_spirit_and_ferment_each_have_their_alcohol() -> None:
    vodka = 'k07 = { at = 2026-03-12T20:00:00+00:00, did = "top_up", with = "vodka", volume_l = 0.5 }\n'
    spirit, ferment = one("alcohol of spirit", DAMSON + vodka), one("alcohol of the ferment", DAMSON + vodka)
    # 0.5 L of 40 % vol at 789.24 g/L: OIML R 22.
    assert spirit.value == pytest.approx(0.5 * 0.40 * 789.24, abs=0.1)
    assert ferment.value == pytest.approx(one("alcohol").value)
    assert given_to(ferment)["fermented extract"] / 2.0665 == pytest.approx(ferment.value)  # Balling
    both = given_to(one("strength", DAMSON + vodka))["alcohol"]
    assert both == pytest.approx((spirit.value or 0.0) + (ferment.value or 0.0))


def test_what_fruit_takes_along_is_told_by_its_mass() -> None:
    fruit = 'k07 = { at = 2026-03-12T20:00:00+00:00, did = "fruit", kind = "plum", mass_g = 500 }\n'
    assert one("leaves with the fruit", DAMSON + fruit).value == pytest.approx(0.1, abs=0.03)  # a fifth of the fruit


def test_free_sulfite_is_told_with_the_total_and_what_is_bound() -> None:
    dose = 'k07 = { at = 2026-03-12T20:00:00+00:00, did = "sulfite", metabisulfite_g = 0.3, ph = 3.4 }\n'
    read = 'k08 = { at = 2026-03-13T08:00:00+00:00, did = "read", free_so2_mg_per_l = 20 }\n'
    at_most, measured = one("free SO2 at most", DAMSON + dose), one("free SO2", DAMSON + dose + read)
    # 57.6 % of the salt is SO2 (IUPAC weights), in 4.2 L and a little.
    assert at_most.value == pytest.approx(0.3 * 576 / 4.2, rel=0.03)
    assert given_to(at_most)["share bound"] == "unknown"
    assert given_to(measured)["share bound"] == pytest.approx(100 * (1 - 20 / (at_most.value or 1.0)))
    need = given_to(one("free SO2 wanted", DAMSON + dose))
    assert need["by pK 1.81"] == pytest.approx(31.9, abs=0.1)  # UC Cooperative Extension 1982
    assert 2.0 < need["give or take"] < 6.0


def test_priming_says_what_the_glass_bears_and_what_is_in_the_mead() -> None:
    step = one("priming sucrose", plan={**PLAN, "sparkling": 2.5})
    told = given_to(step)
    # Weiss (1974), 0.9 of water, at 21 °C; sparkling glass to 8 bar at 30 °C (half of the usual burst specification).
    assert told["CO2 held"] == pytest.approx(0.9 * told["which water would hold"])
    assert told["CO2 held"] == pytest.approx(0.76, abs=0.02)
    assert told["most that the glass bears"] == pytest.approx((8.0 + 1.013) / 1.013 * 0.664 * 0.9, abs=0.05)
    assert told["pressure at 30 °C"] > told["pressure at 20 °C"] > 1.0


def test_the_third_break_of_the_trade() -> None:
    # Common practice, no source: 1.066 for 1.099.
    step = one("third break", DAMSON.replace("1.095", "1.099"), {**PLAN, "gravity": 1.099})
    assert step.value == pytest.approx(1.066, abs=0.0005)


def test_speed_is_a_fall_a_day() -> None:
    assert one("speed").value == pytest.approx((1.021 - 1.012) / 2, abs=0.0003)


def test_the_need_follows_the_demand_of_the_yeast() -> None:
    # UC Davis: 200 mg/L at 21 °Brix and 300 at 25; 1.095 is 22.7 °Brix, so 242, times 1.25 for a high demand.
    assert one("nitrogen need").value == pytest.approx(302, abs=4)
    assert one("nitrogen need").source.startswith("UC Davis")
    fixed = {**PLAN, "doses": {"dap_g": 2.2, "autolysate_g": 4.0}}
    assert one("DAP, all doses", plan=fixed).value == 2.2
    assert "vessel.toml" in one("DAP, all doses", plan=fixed).source


def test_what_the_coming_acts_ask_for() -> None:
    names = [step.name for step in explained()]
    for name in ("free SO2 wanted", "potassium metabisulfite", "potassium sorbate", "honey", "bottles"):
        assert name in names
    assert {f"pressure at {temp_c} °C, if it were sealed now" for temp_c in (20, 30)} <= set(names)


def task(do: str) -> Task:
    return Task("damson", "x", None, do, None, "due", None, is_date=False, why=Why("at_once"))


def test_the_amounts_of_the_tasks_are_those_that_are_explained() -> None:
    facts, plan, _ = vessel()
    for do, field, name in (
        ("sulfite", "metabisulfite_g", "potassium metabisulfite"), ("sorbate", "sorbate_g", "potassium sorbate"),
        ("sweeten", "honey_g", "honey"), ("bottle", "count", "bottles"),
    ):  # fmt: skip
        asked_for = amounts(task(do), facts, plan, SETTINGS)[field]
        value = one(name).value
        assert value is not None
        assert grams(value) == asked_for, do
    total = totals_g(facts, plan, SETTINGS.nutrients)
    assert one("DAP, all doses").value == pytest.approx(total["dap_g"])
    assert one("autolysate, all doses").value == pytest.approx(total["autolysate_g"])


def test_without_a_ph_no_dose_is_explained() -> None:
    names = [step.name for step in explained(DAMSON.replace(", ph = 3.4", ""))]
    assert "potassium metabisulfite" not in names
    assert "potassium sorbate" not in names


def test_no_dose_outside_the_table() -> None:
    step = one("potassium sorbate", DAMSON.replace("ph = 3.4", "ph = 3.8"))
    assert step.value is None
    assert "no dose is invented" in step.formula


def test_a_vessel_of_which_nothing_is_known_explains_nothing_and_fails_at_nothing() -> None:
    assert explained('k01 = { at = 2026-03-01T18:00:00+00:00, did = "note", text = "empty" }', {}) == ()


def test_every_explanation_has_formula_inputs_and_source() -> None:
    for step in explained():
        assert step.formula
        assert step.inputs
        assert step.source


def test_names_are_single() -> None:
    names = [step.name for step in explained()]
    assert len(set(names)) == len(names)


def test_fruit_shows_in_level_and_in_its_own_line() -> None:
    page = DAMSON + 'k07 = { at = 2026-03-13T08:00:00+00:00, did = "fruit", kind = "plum", mass_g = 500 }\n'
    assert "fruit and the juice still in it" in given_to(one("volume", page))


def test_the_text_says_number_way_inputs_and_source() -> None:
    step = Explained("strength", 12.345, "% vol", "alcohol / volume", (Input("alcohol", 409.1, "g"),), "OIML R 22")
    assert lines(step) == [
        "strength: 12.3 % vol",
        "  how     alcohol / volume",
        "  from    alcohol 409 g",
        "  source  OIML R 22",
    ]
    assert all_lines((step, step)) == [*lines(step), "", *lines(step)]


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (0.158, "g", "0.16 g"), (3.04, "L", "3.04 L"), (12.0, "L", "12.0 L"), (1.0423, "SG", "1.0423"),
        (19.5, "°C", "19.5 °C"), (3.4, "pH", "pH 3.40"), (None, "g", "-"), ("yes", "", "yes"),
        (5234.0, "ppm", "5 200 ppm"), (1094.1, "L", "1 090 L"), (3.2, "mL", "3.2 mL"), (21.0, "mL", "21 mL"),
        (0.8, "mg/L", "0.80 mg/L"), (2.0, "volumes", "2.00 volumes"), (0.001, "", "0.0010"),
    ],
)  # fmt: skip
def test_numbers_keep_two_figures(value: float | str | None, unit: str, text: str) -> None:
    assert quantity(value, unit) == text


def test_the_makers_units() -> None:
    american = Units(volume="gal", mass="lb", temp="F")
    assert quantity(3.785411784, "L", american) == "1.00 gal"
    assert quantity(20.0, "°C", american) == "68 °F"
    assert quantity(12.34, "% vol", Units(decimal_comma=True)) == "12,3 % vol"


@given(
    st.lists(st.tuples(st.floats(0.98, 1.2), st.floats(-5, 45), st.integers(1, 28)), max_size=5),
    st.floats(2.5, 5.0),
    st.floats(0.95, 1.2),
)
def test_no_readings_lead_to_nan_or_a_traceback(
    readings: list[tuple[float, float, int]], ph: float, gravity: float
) -> None:
    page = DAMSON + "".join(
        f'r{n:02d} = {{ at = 2026-03-{day:02d}T20:00:00+00:00, did = "read", sg = {sg:.4f}, temp_c = {t:.1f}, '
        f"ph = {ph:.2f} }}\n"
        for n, (sg, t, day) in enumerate(readings)
    )
    facts, plan, stands = vessel(page, {**PLAN, "gravity": round(gravity, 4)})
    for step in explain_vessel(facts, plan, stands, SETTINGS, NOW):
        assert step.value is None or isfinite(step.value), step.name
        assert lines(step)


def _foretold(page: str = DAMSON) -> tuple[Facts, Plan, Forecast]:
    facts, plan, _ = vessel(page)
    known = foretell(facts, plan, 2)
    assert facts.pitched_at is not None
    return facts, plan, Forecast(ForecastAnswers(dict, lambda: known), facts.pitched_at, NOW, facts.g0)


def test_the_forecast_is_explained_by_what_the_page_shows() -> None:
    facts, plan, forecast = _foretold()
    steps = {step.name: step for step in explain_forecast(forecast, facts, plan, UTC)}
    assert [name for name in steps if name != "best day for the next reading"] == [
        "readings to go by", "finish", "has stopped", "ends high", "slow",
    ]  # fmt: skip
    assert steps["readings to go by"].value == 3
    chances = forecast.chances
    shown = [steps[name].value for name in ("has stopped", "ends high", "slow")]
    assert shown == [100.0 * chance for chance in (chances.finished, chances.stalled, chances.slow)]
    assert chances.finish is not None
    assert forecast.finish is not None
    assert steps["finish"].value == chances.finish.likely_day
    likely = f"{forecast.finish.likely.day} {forecast.finish.likely:%b}"
    assert any(str(given.value).startswith(likely) for given in steps["finish"].inputs)
    assert all(step.formula and step.inputs and step.source for step in steps.values())


def test_the_kinds_of_must_behind_a_forecast_are_the_whole() -> None:
    facts, plan, forecast = _foretold()
    behind = explain_forecast(forecast, facts, plan, UTC)[0].inputs
    shares = {given.name: given.value for given in behind if given.unit == "%" and given.name != HALTS}
    assert sum(float(share or 0.0) for share in shares.values()) == pytest.approx(100.0, abs=0.01)
    assert set(shares) == {"fed and warm", "fed, slow to start", "left to itself"}


def test_without_a_forecast_there_is_none_to_explain() -> None:
    facts, plan, _ = _foretold()
    assert explain_forecast(None, facts, plan, UTC) == ()
