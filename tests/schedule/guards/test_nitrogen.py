"""Inorganic nitrogen. The one-third break and 9 % vol are common practice and memory; 0.96 g/L is 27 CFR 24.246 from
memory; the DAP share of nitrogen is of IUPAC weights."""

from __future__ import annotations

from collections.abc import Callable

from fermtui.schedule.guards import Finding
from fermtui.wording.findings import finding_text

Ask = Callable[..., tuple[Finding, ...]]

START = """
{ at = 2026-03-01T10:00:00Z, did = "mix", volume_l = 4.0, honey_g = 1200 }
{ at = 2026-03-01T11:00:00Z, did = "read", sg = 1.099, temp_c = 20 }
{ at = 2026-03-01T12:00:00Z, did = "pitch", temp_c = 22 }
"""
DAP = '{ did = "dose", dap_g = 1.0, autolysate_g = 2.0 }'


def at(sg: float) -> str:
    return START + f'{{ at = 2026-03-05T12:00:00Z, did = "read", sg = {sg}, temp_c = 20 }}\n'


def keys(found: tuple[Finding, ...]) -> list[tuple[str, str]]:
    return [(finding.kind, finding.key) for finding in found]


def test_dap_after_the_one_third_break_is_advice(ask: Ask) -> None:
    # 1.066 for 1.099, as in the design.
    assert ask(at(1.066), DAP, "2026-03-06T13:00:00Z") == ()
    (finding,) = ask(at(1.064), DAP, "2026-03-06T13:00:00Z")
    assert (finding.kind, finding.key) == ("advice", "dap_past_third")
    text = finding_text(finding)
    for number in ("1.0 g of DAP", "35 % of the sugar", "1.064", "1.066", "2.6 g of autolysate"):
        assert number in text


def test_on_the_day_of_the_break_dap_may_still_be_given(ask: Ask) -> None:
    # A dose due at the break is given when a reading shows it: within five per cent of the sugar, half a day.
    assert ask(at(1.064), DAP, "2026-03-05T13:00:00Z") == ()
    assert ask(at(1.0612), DAP, "2026-03-05T13:00:00Z") == ()
    assert keys(ask(at(1.060), DAP, "2026-03-05T13:00:00Z")) == [("advice", "dap_past_third")]
    later = at(1.064) + '{ at = 2026-03-05T18:00:00Z, did = "read", sg = 1.0605, temp_c = 20 }\n'
    assert keys(ask(later, DAP, "2026-03-05T19:00:00Z")) == [("advice", "dap_past_third")]


def test_dap_above_nine_percent_is_refused(ask: Ask) -> None:
    assert keys(ask(at(1.035), DAP, "2026-03-05T13:00:00Z")) == [("advice", "dap_past_third")]
    (finding,) = ask(at(1.028), DAP, "2026-03-05T13:00:00Z")
    assert (finding.kind, finding.key) == ("refusal", "dap_too_strong")
    assert "9.5 % vol" in finding_text(finding)
    assert "above 9.0 %" in finding_text(finding)


def test_autolysate_late_is_free(ask: Ask) -> None:
    assert ask(at(1.028), '{ did = "dose", autolysate_g = 3.0 }', "2026-03-05T13:00:00Z") == ()
    assert ask(at(1.028), '{ did = "dose", dap_g = 0, complex_g = 1.0 }', "2026-03-05T13:00:00Z") == ()


def test_dap_above_the_legal_ceiling_is_refused(ask: Ask) -> None:
    # 0.96 g/L in 4 L: 3.84 g for all doses together.
    page = START + '{ at = 2026-03-02T12:00:00Z, did = "dose", dap_g = 2.0 }\n'
    assert ask(page, '{ did = "dose", dap_g = 1.84 }', "2026-03-03T12:00:00Z") == ()
    (finding,) = ask(page, '{ did = "dose", dap_g = 2.5 }', "2026-03-03T12:00:00Z")
    assert (finding.kind, finding.key) == ("refusal", "dap_ceiling")
    text = finding_text(finding)
    for number in ("1.13 g/L", "0.96 g/L", "at most 1.8 g of DAP", "1.7 g of autolysate"):
        assert number in text


def test_the_label_of_the_autolysate_counts(ask: Ask) -> None:
    (finding,) = ask(at(1.064), DAP, "2026-03-06T13:00:00Z")
    assert finding.remedy.values["autolysate_g"] == 1.0 * 21.2 / 8.0
