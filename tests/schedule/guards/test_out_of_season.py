"""Pitching cold, sour or into strength; air and heat at the wrong time; plastic. Common practice, no source."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from fermtui.schedule.guards import Finding
from fermtui.wording.findings import finding_text

Ask = Callable[..., tuple[Finding, ...]]

MUST = """
{ at = 2026-03-01T10:00:00Z, did = "mix", volume_l = 4.0, honey_g = 1200 }
{ at = 2026-03-01T11:00:00Z, did = "read", sg = 1.095, temp_c = 20 }
"""
START = MUST + '{ at = 2026-03-01T12:00:00Z, did = "pitch", temp_c = 22 }\n'
DRY = START + """
{ at = 2026-03-20T12:00:00Z, did = "read", sg = 0.983, temp_c = 19 }
{ at = 2026-03-23T12:00:00Z, did = "read", sg = 0.983, temp_c = 19 }
{ at = 2026-03-27T12:00:00Z, did = "read", sg = 0.983, temp_c = 19 }
"""
NOW = "2026-03-28T12:00:00Z"


def keys(found: tuple[Finding, ...]) -> list[tuple[str, str]]:
    return [(finding.kind, finding.key) for finding in found]


@pytest.mark.parametrize(
    ("temp_c", "expected"), [(5, [("advice", "pitch_cold")]), (9.9, [("advice", "pitch_cold")]), (10, [])]
)
def test_pitching_cold(ask: Ask, temp_c: float, expected: list[tuple[str, str]]) -> None:
    found = ask(MUST, f'{{ did = "pitch", temp_c = {temp_c} }}', "2026-03-01T12:00:00Z")
    assert keys(found) == expected
    assert all("elow 10 °C most yeast does not start" in finding_text(one) for one in found)


def test_a_sour_must(ask: Ask) -> None:
    for entry in ('{ did = "read", ph = 2.7 }', '{ did = "read", ph = 2.99 }'):
        (finding,) = ask(MUST, entry, "2026-03-01T12:00:00Z")
        assert (finding.kind, finding.key) == ("advice", "ph_low")
        assert "carbonate" in finding_text(finding)
    assert ask(MUST, '{ did = "read", ph = 3.0 }', "2026-03-01T12:00:00Z") == ()
    sour = MUST + '{ at = 2026-03-01T11:30:00Z, did = "read", ph = 2.7 }\n'
    assert keys(ask(sour, '{ did = "pitch", temp_c = 20 }', "2026-03-01T12:00:00Z")) == [("advice", "ph_low")]
    assert keys(ask(START, '{ did = "read", ph = 2.7 }', "2026-03-05T12:00:00Z")) == [("advice", "ph_low")]
    assert ask(DRY, '{ did = "read", ph = 2.7 }', NOW) == ()


def test_a_second_pitch_says_what_it_needs(ask: Ask) -> None:
    stuck = START + '{ at = 2026-03-20T12:00:00Z, did = "read", sg = %s, temp_c = 19 }\n'
    (finding,) = ask(stuck % 1.010, '{ did = "pitch", temp_c = 20 }', NOW)
    assert (finding.kind, finding.key) == ("advice", "pitch_into_strong")
    text = finding_text(finding)
    assert all(word in text for word in ("starter", "nutrient", "stands the strength", "vol already"))
    assert ask(stuck % 1.050, '{ did = "pitch", temp_c = 20 }', NOW) == ()  # 45 points are about 6 % vol


def test_air_into_a_finished_mead(ask: Ask) -> None:
    (finding,) = ask(DRY, '{ did = "aerate" }', NOW)
    assert (finding.kind, finding.key) == ("advice", "aerate_finished")
    assert "Air browns a finished mead" in finding_text(finding)
    assert ask(START, '{ did = "aerate" }', "2026-03-02T12:00:00Z") == ()
    assert ask(MUST, '{ did = "aerate" }', "2026-03-01T12:00:00Z") == ()


def test_heat_into_a_live_ferment(ask: Ask) -> None:
    (finding,) = ask(START, '{ did = "heat", temp_c = 65 }', "2026-03-05T12:00:00Z")
    assert (finding.kind, finding.key) == ("refusal", "heating_live_ferment")
    assert "65" in finding_text(finding)
    assert keys(ask(START, '{ did = "heat", temp_c = 41 }', "2026-03-05T12:00:00Z")) == [("refusal", finding.key)]
    assert ask(START, '{ did = "heat", temp_c = 40 }', "2026-03-05T12:00:00Z") == ()  # warming one that is slow
    assert ask(DRY, '{ did = "heat", temp_c = 65 }', NOW) == ()
    assert ask(MUST, '{ did = "heat", temp_c = 65 }', "2026-03-01T12:00:00Z") == ()


@pytest.mark.parametrize("field", ['text = "squeeze bottles"', 'closure = "cap (plastic bottle)"', 'text = "PET"'])
def test_plastic_is_no_glass(ask: Ask, field: str) -> None:
    found = ask(DRY, f'{{ did = "bottle", count = 4, size_ml = 750, {field} }}', NOW)
    (finding,) = [one for one in found if one.key == "plastic_bottles"]
    assert finding.kind == "advice"
    assert "Plastic lets air in" in finding_text(finding)
    assert "plastic_bottles" not in [one.key for one in ask(DRY, '{ did = "bottle", count = 4, size_ml = 750 }', NOW)]
