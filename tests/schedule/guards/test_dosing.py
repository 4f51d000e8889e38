"""How soon and how much. Twelve hours between doses: common practice, no source. 400 mg/L of nitrogen is the most that
UC Davis recommends for any must; at 8 % nitrogen (an estimate, no source) that is 5 g/L of autolysate."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from fermtui.schedule.guards import Finding
from fermtui.wording.findings import finding_text

Ask = Callable[..., tuple[Finding, ...]]

START = """
{ at = 2026-03-01T10:00:00Z, did = "mix", volume_l = 4.0, honey_g = 1200 }
{ at = 2026-03-01T11:00:00Z, did = "read", sg = 1.095, temp_c = 20 }
{ at = 2026-03-01T12:00:00Z, did = "pitch", temp_c = 22 }
"""
DOSED = START + '{ at = 2026-03-03T07:00:00Z, did = "dose", dap_g = 0.7, autolysate_g = 1.8 }\n'
DOSE = '{ did = "dose", dap_g = 0.7, autolysate_g = 1.8 }'
PLAN = "doses = { dap_g = 2.2, autolysate_g = 5.6 }"


def keys(found: tuple[Finding, ...]) -> list[tuple[str, str]]:
    return [(finding.kind, finding.key) for finding in found]


def test_two_doses_within_twelve_hours_ask(ask: Ask) -> None:
    (finding,) = ask(DOSED, DOSE, "2026-03-03T10:00:00Z", plan=PLAN)
    assert (finding.kind, finding.key) == ("advice", "dose_soon")
    text = finding_text(finding)
    assert "The last dose went in 3 hours ago." in text
    assert "Wait until 3 Mar 2026 19:00." in text
    assert ask(DOSED, DOSE, "2026-03-03T19:00:00Z", plan=PLAN) == ()
    assert ask(START, DOSE, "2026-03-03T10:00:00Z", plan=PLAN) == ()


def test_autolysate_beyond_all_need_is_refused(ask: Ask) -> None:
    (finding,) = ask(START, '{ did = "dose", autolysate_g = 900 }', "2026-03-03T10:00:00Z", plan=PLAN)
    assert (finding.kind, finding.key) == ("refusal", "dose_beyond_need")
    text = finding_text(finding)
    assert "900 g autolysate comes to 22" in text
    assert "above 5.0 g/L" in text
    assert "the plan has 2.2 g DAP and 5.6 g autolysate in all" in text
    found = ask(START, '{ did = "dose", complex_g = 900 }', "2026-03-03T10:00:00Z", plan=PLAN)
    assert keys(found) == [("refusal", "dose_beyond_need")]


def test_all_doses_count_against_what_a_must_needs(ask: Ask) -> None:
    page = START + '{ at = 2026-03-02T07:00:00Z, did = "dose", autolysate_g = 12 }\n'
    found = ask(page, '{ did = "dose", autolysate_g = 9 }', "2026-03-03T10:00:00Z", plan=PLAN)
    assert ("refusal", "dose_beyond_need") in keys(found)


def test_the_makers_own_plan_is_not_refused(ask: Ask) -> None:
    found = ask(START, '{ did = "dose", autolysate_g = 30 }', "2026-03-03T10:00:00Z", plan="doses.autolysate_g = 30")
    assert found == ()


def test_a_dose_far_above_the_plan_is_questioned(ask: Ask) -> None:
    (finding,) = ask(START, '{ did = "dose", autolysate_g = 18 }', "2026-03-03T10:00:00Z", plan=PLAN)
    assert (finding.kind, finding.key) == ("advice", "dose_above_plan")
    text = finding_text(finding)
    assert "mg/L, and the plan has 22" in text  # 2.2 x 0.212 + 5.6 x 0.08 = 0.914 g of nitrogen in 4 L
    assert "the plan has 2.2 g DAP and 5.6 g autolysate in all" in text


def test_all_dap_as_autolysate_is_not_questioned(ask: Ask) -> None:
    page = START + '{ at = 2026-03-05T12:00:00Z, did = "read", sg = 1.060, temp_c = 20 }\n'
    assert ask(page, '{ did = "dose", autolysate_g = 11.4 }', "2026-03-05T13:00:00Z", plan=PLAN) == ()


def test_ten_times_the_dap_is_answered_with_the_decimal_point_and_no_replacement(ask: Ask) -> None:
    (finding,) = ask(START, '{ did = "dose", dap_g = 500 }', "2026-03-03T10:00:00Z", plan=PLAN)
    assert (finding.kind, finding.key) == ("refusal", "dap_ceiling")
    text = finding_text(finding)
    assert "kg" not in text
    assert "Look at the unit and the decimal point: the plan has 2.2 g DAP" in text


def test_a_late_slip_of_the_pen_gets_no_kilogram_of_autolysate(ask: Ask) -> None:
    page = START + '{ at = 2026-03-05T12:00:00Z, did = "read", sg = 1.060, temp_c = 20 }\n'
    for finding in ask(page, '{ did = "dose", dap_g = 500 }', "2026-03-05T13:00:00Z", plan=PLAN):
        assert "kg" not in finding_text(finding)
        assert "memory" not in finding_text(finding)  # where a limit is known from stands in explain


@pytest.mark.parametrize(("given_g", "asked"), [(8.0, False), (10.0, True)])
def test_half_as_much_again_as_planned_is_not_asked_about(ask: Ask, given_g: float, asked: bool) -> None:
    # Growers' tables of one must differ by that much between yeasts of low and high demand (UC Davis: 0.75 to 1.25
    # times the usual, together 1.67). More than the hungriest yeast wants of a plan for the least hungry one stays.
    page = START + f'{{ at = 2026-03-02T07:00:00Z, did = "dose", autolysate_g = {given_g - 2.0} }}\n'
    found = ask(page, '{ did = "dose", autolysate_g = 2.0 }', "2026-03-03T10:00:00Z", plan="doses.autolysate_g = 6.0")
    assert (("advice", "dose_above_plan") in keys(found)) is asked
