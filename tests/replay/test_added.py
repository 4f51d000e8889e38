"""Sugar that is written as an addition is sugar, whatever it is called: in a bottle it would ferment all the same."""

from __future__ import annotations

from datetime import datetime

import pytest

from fermtui.daybook.head import head_from
from fermtui.daybook.lines import read_lines
from fermtui.replay.facts import Facts
from fermtui.replay.replay import replay
from fermtui.replay.stability import stable_now

DRY = """
a0 = { at = 2026-01-01T18:00:00Z, did = "mix", honey_g = 1200, volume_l = 4.0 }
a1 = { at = 2026-01-02T18:00:00Z, did = "pitch" }
a2 = { at = 2026-02-01T18:00:00Z, did = "read", sg = 0.998, temp_c = 20 }
a3 = { at = 2026-02-05T18:00:00Z, did = "read", sg = 0.998, temp_c = 20 }
a4 = { at = 2026-02-08T18:00:00Z, did = "read", sg = 0.998, temp_c = 20 }
"""
NOW = datetime.fromisoformat("2026-02-09T18:00:00Z")


def facts(line: str = "") -> Facts:
    added = f"b0 = {{ at = 2026-02-09T12:00:00Z, did = 'add', {line} }}" if line else ""
    entries, problems = read_lines((DRY + added).encode(), "daybook.toml")
    assert not problems
    return replay(head_from({"name": "T"}), entries)


@pytest.mark.parametrize(
    ("line", "sugar_g"),
    [
        ("what = 'sugar', mass_g = 100", 100.0), ("what = 'Cane Sugar', mass_g = 100", 100.0),
        ("what = 'priming sugar (dextrose)', mass_g = 100", 100.0),
        ("what = 'heather honey', mass_g = 100", 83.0), ("what = 'honey', volume_l = 0.1", 118.0),
        ("what = 'maple syrup', mass_g = 100", 67.0), ("what = 'apple juice', volume_l = 1.0", 117.0),
    ],
)  # fmt: skip
def test_it_counts_as_sugar_and_nothing_is_stable_any_more(line: str, sugar_g: float) -> None:
    assert stable_now(facts(), 7, NOW)
    after = facts(line)
    assert after.extract_g - facts().extract_g == pytest.approx(sugar_g, abs=1.5)
    assert not stable_now(after, 7, NOW)
    assert after.last_sugar_at == after.last_addition_at == datetime.fromisoformat("2026-02-09T12:00:00Z")


def test_sugar_of_no_amount_is_an_addition_and_says_so() -> None:
    after = facts("what = 'sugar'")
    assert not stable_now(after, 7, NOW)
    assert any("no amount" in note for note in after.notes)


@pytest.mark.parametrize("line", ["what = 'oak', mass_g = 20", "what = 'honeysuckle flowers', mass_g = 5"])
def test_oak_and_flowers_bring_none(line: str) -> None:
    assert stable_now(facts(line), 7, NOW)


# Yeast ferments cane sugar, grape sugar and fruit sugar whole: any handbook of the trade, from memory.
@pytest.mark.parametrize("name", ["sucrose", "dextrose", "glucose", "fructose", "candy sugar", "brown sugars"])
def test_every_name_of_a_sugar_is_known(name: str) -> None:
    after = facts(f"what = '{name}', mass_g = 100")
    assert after.extract_g - facts().extract_g == pytest.approx(100.0)
    assert not stable_now(after, 7, NOW)


def test_half_a_litre_of_water_is_half_a_kilogram() -> None:
    by_volume, by_mass = facts("what = 'water', volume_l = 0.5"), facts("what = 'Water', mass_g = 499.1")
    before = facts().level_l
    assert before is not None
    for after in (by_volume, by_mass):
        assert after.level_l == pytest.approx(before + 0.5, abs=0.005)
        assert after.extract_g == pytest.approx(facts().extract_g)


# A kilogram of dry sugar in 10 L raises the gravity by about 0.037: common handbook figure, from memory.
def test_what_is_added_moves_the_gravity_by_about_as_much_as_it_weighs() -> None:
    (change,) = facts("what = 'sugar', mass_g = 200").changes
    assert change.added_sg == pytest.approx(0.2 * 0.37 / 4.0, rel=0.1)
    assert 0.0005 <= change.added_sd <= 0.0005 + 0.1 * change.added_sg


def test_a_syrup_is_water_and_sugar_and_nothing_else() -> None:
    before, after = facts(), facts("what = 'maple syrup', mass_g = 100")
    assert after.water_g + after.extract_g == pytest.approx(before.water_g + before.extract_g + 100.0)
