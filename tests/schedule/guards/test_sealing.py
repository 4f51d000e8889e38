"""Nothing alive is closed tight, and closed bottles are not heated. Common practice, no source."""

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
{ at = 2026-03-20T12:00:00Z, did = "read", sg = 0.983, temp_c = 19 }
{ at = 2026-03-23T12:00:00Z, did = "read", sg = 0.983, temp_c = 19 }
{ at = 2026-03-27T12:00:00Z, did = "read", sg = 0.983, temp_c = 19 }
"""
)
BOTTLED = DRY + '{ at = 2026-03-28T12:00:00Z, did = "bottle", count = 4, size_ml = 750, left_l = 0.9 }\n'
NOW = "2026-03-28T12:00:00Z"


@pytest.mark.parametrize("entry", [
    '{ did = "chore", what = "seal" }',
    '{ did = "chore", what = "close the lid" }',
    '{ did = "chore", text = "solid bung instead of a blow-off" }',
    '{ did = "chore", task = "seal-1" }',
    '{ did = "add", what = "Stopper" }',
])  # fmt: skip
def test_closing_a_live_ferment_is_refused(ask: Ask, entry: str) -> None:
    (finding,) = ask(START, entry, "2026-03-05T12:00:00Z")
    assert (finding.kind, finding.key) == ("refusal", "sealing_live_ferment")
    assert "241 g/L" in finding_text(finding)


CLOSING = "seal sealed sealing close closed closing bung bunged stopper cork corked corking airtight lid"
PASTEURISING = "pasteurise pasteurised pasteurising pasteurize pasteurized pasteurizing pasteurisation pasteurization"


@pytest.mark.parametrize("word", CLOSING.split())
def test_every_word_for_closing_is_understood(ask: Ask, word: str) -> None:
    entry = f'{{ did = "chore", what = "{word}" }}'
    assert [one.key for one in ask(START, entry, "2026-03-05T12:00:00Z")] == ["sealing_live_ferment"]


def test_closing_what_has_stopped_is_free(ask: Ask) -> None:
    assert ask(DRY, '{ did = "chore", what = "seal" }', NOW) == ()
    stalled = DRY.replace("0.983", "1.012")
    (finding,) = ask(stalled, '{ did = "chore", what = "seal" }', NOW)
    assert finding.observed.kind == "above_end"
    assert "stood at 1.012 for 7 days" in finding_text(finding)


def test_closing_a_must_without_yeast_is_free(ask: Ask) -> None:
    must = '{ at = 2026-03-01T10:00:00Z, did = "mix", volume_l = 4.0, honey_g = 1200 }'
    assert ask(must, '{ did = "chore", what = "seal" }', "2026-03-01T11:00:00Z") == ()


@pytest.mark.parametrize("what", ["airlock", "punch the cap", "loosen the lid", "clean the bung", "label", "unseal"])
def test_other_chores_close_nothing(ask: Ask, what: str) -> None:
    assert ask(START, f'{{ did = "chore", what = "{what}" }}', "2026-03-05T12:00:00Z") == ()


BREATHES = (
    "airlock open opened loosen loosened unseal vent check look clean wash rinse sanitise sanitize remove off not soak"
)


@pytest.mark.parametrize("word", BREATHES.split())
def test_every_word_for_letting_it_breathe_excuses_a_lid(ask: Ask, word: str) -> None:
    assert ask(START, f'{{ did = "chore", what = "{word} the lid" }}', "2026-03-05T12:00:00Z") == ()


def test_heating_sealed_bottles_is_refused(ask: Ask) -> None:
    (finding,) = ask(BOTTLED, '{ did = "heat", temp_c = 65, hours = 0.5 }', "2026-03-29T12:00:00Z")
    assert (finding.kind, finding.key) == ("refusal", "heating_bottles")
    assert "4 sealed bottles to 65 °C" in finding_text(finding)
    assert ask(BOTTLED, '{ did = "heat" }', "2026-03-29T12:00:00Z")[0].kind == "refusal"


def test_heating_before_bottling_or_after_the_last_bottle_is_free(ask: Ask) -> None:
    assert ask(DRY, '{ did = "heat", temp_c = 65 }', NOW) == ()
    gone = BOTTLED + '{ at = 2026-04-01T12:00:00Z, did = "open", count = 4 }'
    assert ask(gone, '{ did = "heat", temp_c = 65 }', "2026-04-02T12:00:00Z") == ()


def test_a_warm_room_is_no_heat(ask: Ask) -> None:
    assert ask(BOTTLED, '{ did = "heat", temp_c = 30 }', "2026-03-29T12:00:00Z") == ()
    assert len(ask(BOTTLED, '{ did = "heat", temp_c = 31 }', "2026-03-29T12:00:00Z")) == 1
    assert ask(BOTTLED, '{ did = "chill", temp_c = 4 }', "2026-03-29T12:00:00Z") == ()


@pytest.mark.parametrize("entry", [
    '{ did = "chill", temp_c = 65 }', '{ did = "chore", what = "pasteurise" }',
    '{ did = "chore", what = "done", text = "heated the bottles in the sink" }',
])  # fmt: skip
def test_heating_bottles_under_another_name_is_refused_too(ask: Ask, entry: str) -> None:
    (finding,) = ask(BOTTLED, entry, "2026-03-29T12:00:00Z")
    assert (finding.kind, finding.key) == ("refusal", "heating_bottles")


@pytest.mark.parametrize("what", PASTEURISING.split())
def test_every_word_for_pasteurising_is_understood(ask: Ask, what: str) -> None:
    found = ask(BOTTLED, f'{{ did = "chore", what = "{what}" }}', "2026-03-29T12:00:00Z")
    assert [one.key for one in found] == ["heating_bottles"]


@pytest.mark.parametrize("word", ["heat", "heated", "heating", "boil", "boiled", "boiling", "oven", "warm", "warmed"])
@pytest.mark.parametrize("bottles", ["bottle", "bottles", "bottled"])
def test_every_word_for_heating_bottles_is_understood(ask: Ask, word: str, bottles: str) -> None:
    found = ask(BOTTLED, f'{{ did = "chore", what = "{word} the {bottles}" }}', "2026-03-29T12:00:00Z")
    assert [one.key for one in found] == ["heating_bottles"]


@pytest.mark.parametrize("what", ["boil bottles to sanitise them", "heat the wax", "label the bottles"])
def test_other_chores_heat_no_bottles(ask: Ask, what: str) -> None:
    assert ask(BOTTLED, f'{{ did = "chore", what = "{what}" }}', "2026-03-29T12:00:00Z") == ()


def test_the_note_of_a_chore_closes_it_too(ask: Ask) -> None:
    entry = '{ did = "chore", what = "airlock", text = "corked it tight" }'
    (finding,) = ask(START, entry, "2026-03-05T12:00:00Z")
    assert finding.key == "sealing_live_ferment"
