"""The printed record: every part of it, as text and as Markdown, with nothing that a file could slip in."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

Cellar = Callable[[Mapping[str, str]], Path]

HEAD = """
name = "Rowan | *bold* <b>"
schedule = "two-doses"
capacity_l = 5.0
[plan]
volume_l = 4.0
gravity = 1.095
yeast = { name = "white wine yeast", demand = "medium", tolerance_abv = 14 }
"""
PAGE = """
{ at = 2026-01-10T10:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1250 }
{ at = 2026-01-10T10:10:00+01:00, did = "read", sg = 1.095, temp_c = 20 }
{ at = 2026-01-10T10:20:00+01:00, did = "pitch", yeast_g = 2 }
{ at = 2026-01-14T10:00:00+01:00, did = "read", sg = 1.060, temp_c = 20 }
wrong = { at = 2026-01-15T10:00:00+01:00, did = "read", sg = 1.020, temp_c = 20 }
{ at = 2026-01-15T10:05:00+01:00, did = "strike", entry = "wrong" }
{ at = 2026-02-10T10:00:00+01:00, did = "read", sg = 1.000, temp_c = 20 }
{ at = 2026-02-14T10:00:00+01:00, did = "read", sg = 1.000, temp_c = 20, ph = 3.4 }
{ at = 2026-03-01T10:00:00+01:00, did = "sulfite", metabisulfite_g = 0.3 }
{ at = 2026-03-02T10:00:00+01:00, did = "bottle", count = 5, size_ml = 750, closure = "hand cork", override = "`x` it" }
{ at = 2026-03-20T10:00:00+01:00, did = "open", count = 2, why = "drunk" }
{ at = 2026-06-02T10:00:00+02:00, did = "taste", look = "clear", smell = "heather", taste = "round", score = 15.5 }
"""
PARTS = ["Vessel", "Plan", "As it stands", "Gravity", "Readings", "Steps", "What was done", "Against a guard",
         "Bottles", "Tastings", "How the strength is reckoned"]  # fmt: skip


@pytest.fixture
def rowan(cellar: Cellar) -> Path:
    return cellar({"vessels/rowan/vessel.toml": HEAD, "vessels/rowan/daybook.toml": PAGE})


def parts_of(text: str) -> dict[str, str]:
    found: dict[str, str] = {}
    title = ""
    for line in text.splitlines():
        if line and not line.startswith((" ", "=")):
            title = line
        found[title] = found.get(title, "") + line + "\n"
    return found


@pytest.mark.usefixtures("rowan")
def test_every_part_is_there_in_its_order(fermtui: Any) -> None:
    ran = fermtui("record", "rowan", "--on", "2026-06-10")
    assert ran.status == 0
    assert list(parts_of(ran.out))[1:] == PARTS


@pytest.mark.usefixtures("rowan")
def test_what_the_parts_say(fermtui: Any) -> None:
    parts = parts_of(fermtui("record", "rowan", "--ascii", "--on", "2026-06-10").out)
    assert "white wine yeast, medium demand of nitrogen, to 14 % vol" in parts["Plan"]
    assert "2026-02-14 10:00  1.0000" in parts["Readings"]
    assert "1.020" not in parts["Readings"]
    assert "read 1.020 at 20 °C (taken back)" in parts["What was done"]
    assert "2026-03-02 10:00, bottled 5 bottles of 750 mL" in parts["Against a guard"]
    assert "`x` it" in parts["Against a guard"]
    # A cork pushed in by hand: what is drunk within about six months (common practice, no source).
    assert "rowan-20260302  3 of 5 left, 750 mL, hand cork, drink by 2026-09-02" in parts["Bottles"]
    assert "2026-06-02  15.5   look: clear; smell: heather; taste: round" in parts["Tastings"]
    assert "Balling" in parts["How the strength is reckoned"]
    assert parts["Gravity"].count("o") >= 4
    assert "x" in parts["Gravity"], "the struck reading"
    assert parts["Gravity"].isascii()


@pytest.mark.usefixtures("rowan")
def test_lines_fit_on_paper(fermtui: Any) -> None:
    assert max(len(line) for line in fermtui("record", "rowan", "--on", "2026-06-10").out.splitlines()) <= 80


@pytest.mark.usefixtures("rowan")
def test_markdown_shows_what_files_hold_and_obeys_none_of_it(fermtui: Any) -> None:
    text = fermtui("record", "rowan", "--markdown", "--on", "2026-06-10").out
    assert text.startswith("# Rowan \\| \\*bold\\* \\<b\\> (rowan)\n")
    assert "- 2026-03-02 10:00, bottled 5 bottles of 750 mL, hand cork: \\`x\\` it" in text
    assert [line[3:] for line in text.splitlines() if line.startswith("## ")] == PARTS
    for line in text.splitlines():
        if line.startswith("|"):
            assert line.endswith(" |")


def test_a_vessel_without_entries_has_a_record_too(cellar: Cellar, fermtui: Any) -> None:
    cellar({"vessels/rowan/vessel.toml": HEAD})
    ran = fermtui("record", "rowan", "--on", "2026-06-10")
    assert ran.status == 0
    assert "Readings" not in parts_of(ran.out)
    assert "not pitched" not in ran.err


@pytest.mark.usefixtures("rowan")
def test_entries_after_the_clock_are_left_out(fermtui: Any) -> None:
    text = fermtui("record", "rowan", "--on", "2026-02-12").out
    assert "sulfited" not in text
    assert "Bottles" not in parts_of(text)
    assert "Tastings" not in parts_of(text)


def test_a_past_vessel_and_json(rowan: Path, fermtui: Any) -> None:
    (rowan / "past").mkdir()
    (rowan / "vessels/rowan").rename(rowan / "past/rowan")
    assert fermtui("record", "rowan", "--on", "2026-06-10").status == 0
    assert fermtui("record", "rowan", "--json", "--on", "2026-06-10").json["vessel"] == "rowan"


@pytest.mark.usefixtures("rowan")
def test_bad_words(fermtui: Any) -> None:
    assert fermtui("record").status == 2
    assert fermtui("record", "rowan", "rowan").status == 2
    ran = fermtui("record", "nobody")
    assert (ran.status, ran.err.count("\n")) == (1, 1)
    assert "there are: rowan" in ran.err


def test_a_damaged_line_is_told_and_the_rest_is_printed(rowan: Path, fermtui: Any) -> None:
    with (rowan / "vessels/rowan/daybook.toml").open("a") as file:
        file.write("e999 = { at = 2026-03-03T10:00:00+01:00, did = \n")
    ran = fermtui("record", "rowan", "--on", "2026-06-10")
    assert ran.status == 1
    assert "To be told" in parts_of(ran.out)
    assert "daybook.toml, line 13" in ran.err
