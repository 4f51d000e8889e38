"""Fruit and the room that it takes: USDA densities; two fingers are common practice, no source."""

from __future__ import annotations

from collections.abc import Callable

from fermtui.schedule.guards import Finding
from fermtui.wording.findings import finding_text

Ask = Callable[..., tuple[Finding, ...]]

START = """
{ at = 2026-03-01T10:00:00Z, did = "mix", volume_l = 4.0, honey_g = 1200 }
{ at = 2026-03-01T12:00:00Z, did = "pitch", temp_c = 22 }
"""
NOW = "2026-03-15T12:00:00Z"


def fruit(mass_g: float, kind: str = "plum", treatment: str = "raw") -> str:
    return f'{{ did = "fruit", kind = "{kind}", mass_g = {mass_g}, treatment = "{treatment}" }}'


def keys(found: tuple[Finding, ...]) -> list[tuple[str, str]]:
    return [(finding.kind, finding.key) for finding in found]


def test_fruit_that_overflows_is_refused(ask: Ask) -> None:
    # 4.0 L in 5.0 L: whole plums have 1.042 g/mL and 5 % air, so 985 g take 0.995 L and 1 kg takes 1.010 L.
    assert keys(ask(START, fruit(985), NOW)) == [("advice", "fruit_room")]
    (finding,) = ask(START, fruit(1100), NOW)
    assert (finding.kind, finding.key) == ("refusal", "fruit_overflow")
    text = finding_text(finding)
    for number in ("1.10 kg of plum takes 1.1 L", "on top of 4.0 L", "0.11 L more than the 5.0 L", "at most 742 g"):
        assert number in text


def test_a_form_that_is_not_filled_in_yet_is_not_held_against_it(ask: Ask) -> None:
    assert ask(START, '{ did = "fruit", kind = "plum" }', NOW) == ()
    assert ask(START, '{ did = "fruit", mass_g = 1100 }', NOW) == ()


def test_less_than_two_fingers_is_advice(ask: Ask) -> None:
    assert ask(START, fruit(740), NOW) == ()
    (finding,) = ask(START, fruit(745), NOW)
    assert (finding.kind, finding.key) == ("advice", "fruit_room")
    assert "0.25 L" in finding_text(finding)


def test_crushed_fruit_takes_less_room_than_whole(ask: Ask) -> None:
    assert keys(ask(START, fruit(770), NOW)) == [("advice", "fruit_room")]
    assert ask(START, fruit(770, treatment="frozen"), NOW) == ()


def test_an_unknown_fruit_counts_as_an_average_one(ask: Ask) -> None:
    assert keys(ask(START, fruit(1100, "cloudberry"), NOW)) == [
        ("refusal", "fruit_overflow"), ("advice", "fruit_unknown"),
    ]  # fmt: skip


def test_a_fruit_that_no_table_knows_is_taken_and_says_what_is_not_known(ask: Ask) -> None:
    page = START.replace("volume_l = 4.0", "volume_l = 3.2")
    (finding,) = ask(page, fruit(100, "cloudberry"), NOW, container="Jug")
    assert (finding.kind, finding.key) == ("advice", "fruit_unknown")
    text = finding_text(finding)
    assert "its sugar and acid are unknown; it counts as plum" in text
    assert "Give the nearest fruit of the table as its kind and its own name as the note" in text
    assert ask(page, fruit(100, "Damsons"), NOW, container="Jug") == ()


def test_a_pound_in_a_gallon_with_room_for_it_is_no_refusal(ask: Ask) -> None:
    page = START.replace("volume_l = 4.0", "volume_l = 3.2")
    found = ask(page, fruit(453.6), NOW, container=None, plan="volume_l = 3.2")
    assert keys(found) == [("advice", "fruit_room_unknown")]
    assert [finding.kind for finding in ask(page, fruit(453.6), NOW, container="Jug")] == []


def test_unknown_capacity_or_level_is_advice(ask: Ask) -> None:
    (finding,) = ask(START, fruit(400), NOW, container=None)
    assert (finding.kind, finding.key) == ("advice", "fruit_room_unknown")
    assert "how much the vessel holds" in finding_text(finding)
    unmeasured = '{ at = 2026-03-01T10:00:00Z, did = "mix", honey_g = 1200 }'
    assert ask(START, fruit(400), NOW) == ()
    assert ask(unmeasured, fruit(400), NOW) == ()


def test_hot_fruit_on_live_yeast_is_advice(ask: Ask) -> None:
    (finding,) = ask(START, fruit(400, treatment="simmered"), NOW)
    assert (finding.kind, finding.key) == ("advice", "hot_fruit")
    assert "30 °C" in finding_text(finding)
    assert keys(ask(START, fruit(400, treatment="blanched"), NOW)) == [("advice", "hot_fruit")]
    assert ask(START, fruit(400, treatment="frozen"), NOW) == ()
    before = START.splitlines()[1]
    assert ask(before, fruit(400, treatment="simmered"), "2026-03-01T11:00:00Z") == ()


def test_moist_low_acid_fruit_is_advice_to_acidify(ask: Ask) -> None:
    # FDA acid food line, pH 4.6; mango 5.8 to 6.0, pear 3.5 to 4.6 in tables/fruits.csv.
    (finding,) = ask(START, fruit(400, "mango"), NOW)
    assert (finding.kind, finding.key) == ("advice", "low_acid_fruit")
    assert "pH 5.8 to 6.0" in finding_text(finding)
    assert "3.2 to 4.0" in finding_text(finding)
    assert ask(START, fruit(400, "pear"), NOW) == ()
    assert ask(START, fruit(400, "date"), NOW) == ()
