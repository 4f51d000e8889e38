"""Nothing over the rim, little air above a finished mead. Five percent is common practice, no source."""

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
DRY = (
    START
    + """
{ at = 2026-03-20T12:00:00Z, did = "read", sg = 0.999, temp_c = 19 }
{ at = 2026-03-23T12:00:00Z, did = "read", sg = 0.999, temp_c = 19 }
{ at = 2026-03-27T12:00:00Z, did = "read", sg = 0.999, temp_c = 19 }
"""
)
NOW = "2026-03-28T12:00:00Z"


def test_much_air_after_fermenting_is_advice(ask: Ask) -> None:
    (finding,) = ask(DRY, '{ did = "rack", into = "Jug", volume_l = 3.9 }', NOW)
    assert (finding.kind, finding.key) == ("advice", "headspace")
    assert "3.9 L in 4.2 L leaves 7.1 % to the air" in finding_text(finding)
    assert ask(DRY, '{ did = "rack", into = "Jug", volume_l = 3.99 }', NOW) == ()


def test_much_air_counts_from_the_first_reading_at_the_end_on(ask: Ask) -> None:
    at_end = START + '{ at = 2026-03-27T12:00:00Z, did = "read", sg = 0.999, temp_c = 19 }\n'
    found = ask(at_end, '{ did = "rack", into = "Jug", volume_l = 3.9 }', NOW)
    assert "headspace" in [finding.key for finding in found]


def test_a_smaller_container_is_named_when_one_is_free(ask: Ask) -> None:
    entry = '{ did = "rack", into = "Demijohn 2", volume_l = 3.9 }'
    assert "rack into Jug" in finding_text(ask(DRY, entry, NOW)[0])
    assert "Jug" not in finding_text(ask(DRY, entry, NOW, occupied={"Jug"})[0])


def test_air_over_a_live_ferment_is_room(ask: Ask) -> None:
    assert ask(START, '{ did = "rack", into = "Demijohn 2", volume_l = 3.0 }', "2026-03-06T12:00:00Z") == ()


@pytest.mark.parametrize(("over", "inside"), [
    ('{ did = "top_up", volume_l = 1.1, with = "water" }', '{ did = "top_up", volume_l = 0.9, with = "water" }'),
    ('{ did = "feed", honey_g = 1500 }', '{ did = "feed", honey_g = 1300 }'),
    ('{ did = "receive", from = "heather", volume_l = 1.1, water_g = 1000, sugar_g = 0, ethanol_g = 90 }',
     '{ did = "receive", from = "heather", volume_l = 0.9, water_g = 800, sugar_g = 0, ethanol_g = 70 }'),
    ('{ did = "add", what = "water", volume_l = 1.1 }', '{ did = "add", what = "water", volume_l = 0.9 }'),
    ('{ did = "add", what = "pear juice", volume_l = 1.1 }', '{ did = "add", what = "pear juice", volume_l = 0.9 }'),
    ('{ did = "add", what = "honey", mass_g = 1500 }', '{ did = "add", what = "honey", mass_g = 1300 }'),
])  # fmt: skip
def test_pouring_over_the_rim_is_refused(ask: Ask, over: str, inside: str) -> None:
    (finding,) = ask(START, over, "2026-03-06T12:00:00Z")
    assert (finding.kind, finding.key) == ("refusal", "runs_over")
    assert "on top of 4.0 L" in finding_text(finding)
    assert "more than the 5.0 L" in finding_text(finding)
    assert ask(START, inside, "2026-03-06T12:00:00Z") == ()


def test_mixing_more_than_the_vessel_holds_is_refused(ask: Ask) -> None:
    (finding,) = ask("", '{ did = "mix", volume_l = 5.5, honey_g = 1500 }', "2026-03-01T12:00:00Z")
    assert (finding.kind, finding.key) == ("refusal", "runs_over")
    assert "0.50 L more than the 5.0 L" in finding_text(finding)
    assert ask("", '{ did = "mix", volume_l = 4.5, honey_g = 1500 }', "2026-03-01T12:00:00Z") == ()
    assert ask("", '{ did = "mix", water_l = 4.5, honey_g = 1500 }', "2026-03-01T12:00:00Z")[0].key == "runs_over"


def test_a_level_far_above_the_rim_is_a_slip_of_the_pen(ask: Ask) -> None:
    (finding,) = ask(START, '{ did = "level", volume_l = 40 }', "2026-03-06T12:00:00Z")
    assert (finding.kind, finding.key) == ("refusal", "level_above_rim")
    assert "40.0 L in a vessel of 5.0 L" in finding_text(finding)
    assert ask(START, '{ did = "level", volume_l = 5.3 }', "2026-03-06T12:00:00Z") == ()  # full to the brim
