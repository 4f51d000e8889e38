"""Guards against sugar that a live yeast may still take: the cases of the lives that were bottled too soon.

Grams by Balling and the US honey survey of 1980; pressure by CO2 solubility (Weiss 1974), as in must/bottles.py.
"""

from __future__ import annotations

import re

import pytest

from fermtui.replay.facts import Facts
from fermtui.schedule.guards import Finding, check
from fermtui.wording.findings import finding_text
from gravities import SETTINGS, Act, Gravity, bottling, day, head, mead

CREEPS: tuple[tuple[Gravity, ...], ...] = (
    ((28, 1.004), (32, 1.003), (36, 1.002), (40, 1.0015), (44, 1.0010)),
    ((30, 1.0030), (34, 1.0025), (37, 1.0020)),
)
DRY_MONTH: tuple[Gravity, ...] = ((20, 1.000), (35, 1.000), (50, 1.000))


def passes_with_a_word(found: tuple[Finding, ...]) -> bool:
    """Nothing refuses it, and it is said what the bottles would hold if it woke."""
    return [(finding.kind, finding.key) for finding in found] == [("advice", "stopped_not_dry")]


def refusal(found: tuple[Finding, ...]) -> Finding:
    (finding,) = found
    assert finding.kind == "refusal"
    return finding


@pytest.mark.parametrize("gravities", CREEPS)
@pytest.mark.parametrize("end", [0.995, 1.000, 1.005])
def test_falling_is_not_stable_whatever_the_plan_ends_at(gravities: tuple[Gravity, ...], end: float) -> None:
    facts = mead(*gravities, end=end)
    assert refusal(bottling(facts, gravities[-1][0] + 0.1, head(end))).key == "bottle_unstable"


@pytest.mark.parametrize(("sg", "end"), [(1.002, 1.000), (1.007, 1.005)])
def test_a_week_at_the_plans_end_is_no_end(sg: float, end: float) -> None:
    facts = mead((20, sg), (24, sg), (28, sg), og=1.110, end=end)
    finding = refusal(bottling(facts, 28.1, head(end, og=1.110)))
    assert (finding.key, finding.observed.kind) == ("bottle_unstable", "may_go_on")
    left, sd = finding.observed.values["left_g_per_l"], finding.observed.values["sd_g_per_l"]
    assert isinstance(left, float)
    assert isinstance(sd, float)
    assert left == pytest.approx(42.0 + 2170 * (sg - 1.002), abs=4.0)
    assert 3.0 < sd < 5.0
    text = finding_text(finding)
    assert ("at 20 °C" in text and "at 30 °C" in text) or "more than 16 bar" in text
    assert re.search(r"\d+(\.\d)? g/L ± \d", text)


def test_the_sentence_says_what_would_lift_it() -> None:
    facts = mead((20, 1.002), (24, 1.002), (28, 1.002))
    assert "30 days" in finding_text(refusal(bottling(facts, 28.1)))


def test_a_coarse_hydrometer_that_flickers_for_five_weeks_passes() -> None:
    flicker = [(20.0 + 5 * n, 0.998 if n % 2 else 1.000) for n in range(8)]
    facts = mead(*flicker, resolution_sg=0.002)
    assert passes_with_a_word(bottling(facts, 55.1))


@pytest.mark.parametrize("last", [50.0, 60.0, 120.0])
def test_a_mead_that_stood_for_thirty_days_passes_at_the_first_fresh_reading(last: float) -> None:
    left_alone = ((18, 1.000), (20, 1.000))
    assert refusal(bottling(mead(*left_alone), last))
    assert passes_with_a_word(bottling(mead(*left_alone, (last, 1.000)), last + 0.1))


def test_thirty_days_at_three_readings_pass_and_twenty_nine_do_not() -> None:
    assert passes_with_a_word(bottling(mead(*DRY_MONTH), 50.1))
    assert refusal(bottling(mead(*DRY_MONTH[:2], (49, 1.000)), 49.1))
    assert refusal(bottling(mead(DRY_MONTH[0], DRY_MONTH[2]), 50.1))


def test_what_stopped_above_its_lowest_end_is_bottled_with_its_pressure_said() -> None:
    (finding,) = bottling(mead(*DRY_MONTH), 50.1)
    text = finding_text(finding)
    assert "stopped, not that it is dry" in text
    assert re.search(r"\d+ ± \d+ g/L|\d+ g/L ± \d", text)
    assert "open one after a month" in text
    # At the lowest end nothing is left to wake.
    assert bottling(mead((20, 0.985), (35, 0.985), (50, 0.985)), 50.1) == ()


def test_cold_calm_is_no_calm() -> None:
    cold: list[Gravity] = [(at, sg, 10.0) for at, sg, *_ in DRY_MONTH]
    assert refusal(bottling(mead(*cold), 50.1)).observed.kind == "only_cold"


def test_a_stall_is_not_an_end_however_long_it_stands() -> None:
    facts = mead((20, 1.020), (50, 1.020), (80, 1.020), (110, 1.020))
    assert refusal(bottling(facts, 110.1)).observed.kind == "above_end"


def test_fruit_begins_the_calm_anew() -> None:
    fruit: Act = (51, {"did": "fruit", "kind": "plum", "mass_g": 500})
    facts = mead(*DRY_MONTH, (58, 1.001), (62, 1.001), (66, 1.001), acts=[fruit])
    assert bottling(facts, 66.1) != ()


def primed(facts: Facts, days: float, grams: float) -> tuple[Finding, ...]:
    return bottling(facts, days, glass="sparkling", closure="crown cap", priming_g=grams, priming_kind="sucrose")


def test_priming_into_a_mead_that_may_hold_much_is_refused() -> None:
    facts = mead((20, 1.005), (24, 1.005), (28, 1.005), og=1.110, end=1.005)
    found = bottling(facts, 28.1, head(1.005, og=1.110), glass="sparkling", priming_g=24.0)
    assert any(finding.kind == "refusal" for finding in found)


def test_priming_counts_what_a_mead_stopped_above_dry_may_still_hold() -> None:
    # Proven at 1.006 against a plan of 1.005: calm, but yeast that wakes for 24 g of sugar may find 40 g/L more.
    month = [(at, 1.005) for at in (20.0, 35.0, 50.0)]
    facts = mead(*month, end=1.004)
    assert passes_with_a_word(bottling(facts, 50.1, head(1.004)))
    found = bottling(facts, 50.1, head(1.004), glass="sparkling", closure="crown cap", priming_g=24.0)
    assert [finding.key for finding in found if finding.kind == "refusal"] == ["bottle_pressure"]


def test_usual_priming_of_a_dry_mead_passes() -> None:
    # 6 g a litre, about 3 bar: common practice for glass made for it, no source.
    assert [finding for finding in primed(mead(*DRY_MONTH), 50.1, 18.0) if finding.kind == "refusal"] == []


@pytest.mark.parametrize(
    "what",
    [
        "seal the demijohn",
        "solid bung in",
        "swap airlock for solid bung",
        "Replace the airlock with a screw top",
        "a solid stopper instead of the airlock",
        "screw cap on tight",
        "tighten the cap",
    ],
)
def test_closing_what_may_go_on_is_refused(what: str) -> None:
    week = mead((20, 1.002), (24, 1.002), (28, 1.002))
    found = check("chore", {"did": "chore", "what": what}, week, head().plan, SETTINGS, day(28.1))
    assert [finding.key for finding in found] == ["sealing_live_ferment"]
    assert check("chore", {"did": "chore", "what": what}, mead(*DRY_MONTH), head().plan, SETTINGS, day(50.1)) == ()


@pytest.mark.parametrize(
    "what",
    ["swap airlock for a clean one", "replace airlock with blow-off tube", "check that no lid is tight", "new cap"],
)
def test_what_still_breathes_is_free(what: str) -> None:
    week = mead((20, 1.002), (24, 1.002), (28, 1.002))
    assert check("chore", {"did": "chore", "what": what}, week, head().plan, SETTINGS, day(28.1)) == ()


def test_what_is_left_is_named_in_the_pressure_of_the_glass() -> None:
    # 40 g/L in a still bottle: pressure_lines put the ceiling of still glass far below, and 30 °C above 20 °C.
    finding = refusal(bottling(mead((20, 1.002), (24, 1.002), (28, 1.002), og=1.110), 28.1))
    assert finding.reason is not None
    cool, warm = finding.reason.values["at_20_bar"], finding.reason.values["at_30_bar"]
    limit = finding.reason.values["limit_bar"]
    assert isinstance(cool, float)
    assert isinstance(warm, float)
    assert isinstance(limit, float)
    # 0.4886 g of CO2 a gram of hexose; 30 g/L make 9.4 bar at 20 °C and 12.2 at 30 °C (Weiss 1974 x 0.90).
    assert 11.5 < cool < 14.5
    assert 14.5 < warm < 19.0
    assert limit < cool
