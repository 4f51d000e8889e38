"""Yeast: 24 hours after sulfite and not above 30 °C, no feeding beyond its tolerance. Common practice, no source."""

from __future__ import annotations

from collections.abc import Callable

from fermtui.schedule.guards import Finding
from fermtui.wording.findings import finding_text

Ask = Callable[..., tuple[Finding, ...]]

MUST = '{ at = 2026-03-01T10:00:00Z, did = "mix", volume_l = 4.0, honey_g = 1200 }\n'
SULFITED = MUST + '{ at = 2026-03-01T12:00:00Z, did = "sulfite", metabisulfite_g = 0.35 }\n'


def test_pitching_within_24_hours_of_sulfite_is_refused(ask: Ask) -> None:
    (finding,) = ask(SULFITED, '{ did = "pitch" }', "2026-03-02T11:59:00Z")
    assert (finding.kind, finding.key) == ("refusal", "pitch_after_sulfite")
    text = finding_text(finding)
    assert "50 mg/L of SO2 went in 24 hours ago" in text
    assert "Wait until 2 Mar 2026 12:00" in text
    assert ask(SULFITED, '{ did = "pitch" }', "2026-03-02T12:00:00Z") == ()


def test_sulfite_into_an_unknown_volume_counts_all_the_same(ask: Ask) -> None:
    page = '{ at = 2026-03-01T12:00:00Z, did = "sulfite", metabisulfite_g = 0.35 }\n'
    (finding,) = ask(page, '{ did = "pitch" }', "2026-03-01T18:00:00Z", plan="volume_l = 4.0")
    assert finding.key == "pitch_after_sulfite"


def test_pitching_into_hot_must_is_refused(ask: Ask) -> None:
    (finding,) = ask(MUST, '{ did = "pitch", temp_c = 31 }', "2026-03-01T12:00:00Z")
    assert (finding.kind, finding.key) == ("refusal", "pitch_hot")
    assert "31 °C" in finding_text(finding)
    assert ask(MUST, '{ did = "pitch", temp_c = 30 }', "2026-03-01T12:00:00Z") == ()


def test_a_hot_reading_just_before_counts(ask: Ask) -> None:
    page = MUST + '{ at = 2026-03-01T11:00:00Z, did = "read", sg = 1.095, temp_c = 38 }\n'
    assert ask(page, '{ did = "pitch" }', "2026-03-01T12:00:00Z")[0].key == "pitch_hot"
    assert ask(page, '{ did = "pitch" }', "2026-03-01T14:30:00Z") == ()
    assert ask(page, '{ did = "pitch", temp_c = 24 }', "2026-03-01T12:00:00Z") == ()


def test_a_must_heated_today_and_not_measured_is_advice(ask: Ask) -> None:
    page = MUST + '{ at = 2026-03-01T11:00:00Z, did = "heat", temp_c = 65 }\n'
    (finding,) = ask(page, '{ did = "pitch" }', "2026-03-01T16:00:00Z")
    assert (finding.kind, finding.key) == ("advice", "pitch_heated")
    assert "5 hours ago" in finding_text(finding)
    assert ask(page, '{ did = "pitch" }', "2026-03-01T23:30:00Z") == ()


def test_pitching_again_is_free(ask: Ask) -> None:
    page = MUST + '{ at = 2026-03-01T12:00:00Z, did = "pitch", temp_c = 22 }\n'
    assert ask(page, '{ did = "pitch", temp_c = 22 }', "2026-03-05T12:00:00Z") == ()


FERMENTED = (
    MUST
    + """
{ at = 2026-03-01T11:00:00Z, did = "read", sg = 1.095, temp_c = 20 }
{ at = 2026-03-01T12:00:00Z, did = "pitch", temp_c = 22 }
{ at = 2026-03-20T12:00:00Z, did = "read", sg = 0.999, temp_c = 19 }
"""
)


def test_feeding_within_one_percent_of_the_tolerance_is_advice(ask: Ask) -> None:
    entry = '{ did = "feed", honey_g = 200 }'
    fourteen = "yeast = { tolerance_abv = 14 }"
    (finding,) = ask(FERMENTED, entry, "2026-03-21T12:00:00Z", plan="yeast = { tolerance_abv = 13.5 }")
    assert (finding.kind, finding.key) == ("advice", "feed_beyond_tolerance")
    assert "12.9 % vol" in finding_text(finding)
    assert "13.5 %" in finding_text(finding)
    assert ask(FERMENTED, entry, "2026-03-21T12:00:00Z", plan=fourteen) == ()
    assert ask(FERMENTED, entry, "2026-03-21T12:00:00Z", plan='yeast = "from the jar"') == ()
