"""Racking while much is still to ferment. The 20 points are common practice, no source."""

from __future__ import annotations

from collections.abc import Callable

from fermtui.schedule.guards import Finding
from fermtui.wording.findings import finding_text

Ask = Callable[..., tuple[Finding, ...]]

START = """
{ at = 2026-03-01T11:00:00Z, did = "read", sg = 1.095, temp_c = 20 }
{ at = 2026-03-01T12:00:00Z, did = "pitch", temp_c = 22 }
"""
RACK = '{ did = "rack" }'


def read(day: int, sg: float) -> str:
    return f'{{ at = 2026-03-{day:02d}T12:00:00Z, did = "read", sg = {sg}, temp_c = 20 }}\n'


def test_a_must_that_nobody_has_read_for_long_is_asked_about(ask: Ask) -> None:
    (finding,) = ask(START + read(8, 1.066), RACK, "2026-05-17T12:00:00Z")
    assert (finding.kind, finding.key) == ("advice", "racked_early")
    said = finding_text(finding)
    assert said.startswith("The last reading, 70 days ago, is 1.066, well above the planned end of 1.000.")
    assert "Take a gravity first" in said


def test_one_read_today_is_asked_about_too(ask: Ask) -> None:
    (finding,) = ask(START + read(8, 1.025), RACK, "2026-03-08T14:00:00Z")
    assert "The last reading, of today, is 1.025" in finding_text(finding)


def test_near_its_end_or_at_rest_nothing_is_said(ask: Ask) -> None:
    assert ask(START + read(8, 1.020), RACK, "2026-03-09T12:00:00Z") == ()
    assert ask(START + read(8, 1.030), RACK, "2026-03-09T12:00:00Z", plan="end = 1.012") == ()
    still = START + read(8, 1.040) + read(11, 1.040) + read(15, 1.040)
    assert [finding.key for finding in ask(still, RACK, "2026-03-15T14:00:00Z")] != ["racked_early"]
    assert ask(START, RACK, "2026-03-09T12:00:00Z") == ()
