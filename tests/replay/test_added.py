"""Sugar that is written as an addition is sugar, whatever it is called: in a bottle it would ferment all the same."""

from __future__ import annotations

from datetime import datetime

import pytest

from fermtui.daybook.head import head_from
from fermtui.daybook.lines import read_lines
from fermtui.replay.contents import abv_percent
from fermtui.replay.facts import Facts
from fermtui.replay.refermentable import refermentable
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


BEGUN = """
a0 = { at = 2026-01-01T18:00:00Z, did = "mix", honey_g = 1000, volume_l = 4.0 }
"""


def told(page: str) -> Facts:
    entries, problems = read_lines(page.encode(), "daybook.toml")
    assert not problems
    return replay(head_from({"name": "T"}), entries)


def abv(facts: Facts) -> float:
    strength = abv_percent(facts)
    assert strength is not None
    return strength


# Home brewers' figures, from memory: a pound in a US gallon gives 45 points for dry malt, 35 to 38 for honey, which is
# 0.375 and 0.292 to 0.317 for a kilogram in a litre.
def test_a_braggot_has_the_gravity_and_strength_of_its_malt_and_honey() -> None:
    page = BEGUN + "a1 = { at = 2026-01-01T18:10:00Z, did = 'add', what = 'dry malt extract', mass_g = 500 }"
    points_l = [(one.g0 - 1.0) * one.level_l for one in (told(BEGUN), told(page)) if one.g0 and one.level_l]
    assert points_l[0] == pytest.approx(0.305, abs=0.02)
    assert points_l[1] - points_l[0] == pytest.approx(0.375 * 0.5, rel=0.05)
    fermented = page + """
a2 = { at = 2026-01-01T19:00:00Z, did = "pitch" }
a3 = { at = 2026-02-01T19:00:00Z, did = "read", sg = 1.020, temp_c = 20 }
"""
    assert abv(told(fermented)) == pytest.approx(12.6, abs=0.6)  # 94 points by the common factor, 131 to 136


# Grape must of 21 °Brix stands at 1.087 (published tables of Brix and gravity).
def test_a_pyment_has_the_sugar_of_its_grapes() -> None:
    page = 'a0 = { at = 2026-01-01T18:00:00Z, did = "mix", honey_g = 500, water_l = 1.5 }\n'
    page += "a1 = { at = 2026-01-01T18:10:00Z, did = 'add', what = 'grape must', volume_l = 2.0 }"
    after = told(page)
    assert after.level_l == pytest.approx(0.352 + 1.5 + 2.0, abs=0.02)
    assert after.extract_g == pytest.approx(500 * 0.829 + 2.0 * 1.087 * 210, rel=0.01)


def test_tap_water_keeps_its_volume_and_thins() -> None:
    before, after = facts(), facts("what = 'tap water', volume_l = 1.0")
    assert after.level_l == pytest.approx((before.level_l or 0.0) + 1.0, abs=0.01)
    assert abv(after) == pytest.approx(abv(before) * 4.0 / 5.0, rel=0.02)


@pytest.mark.parametrize("with_", ["tap water", "Spring Water", "Leitungswasser"])
def test_topped_up_with_water_by_any_name(with_: str) -> None:
    topped = told(DRY + f"b0 = {{ at = 2026-02-09T12:00:00Z, did = 'top_up', with = '{with_}', volume_l = 0.5 }}")
    assert topped.extract_g == pytest.approx(facts().extract_g)
    assert topped.last_sugar_at is None


# 4 L of the mead and 1 L of 40 % vol hold the alcohol of both; mixing shrinks them by up to 2 % for the strongest.
@pytest.mark.parametrize(
    ("fields", "strength"),
    [
        ("with = 'vodka'", 40.0), ("with = 'vodka', abv_percent = 50", 50.0), ("with = 'Weingeist'", 96.0),
        ("with = 'something strong', abv_percent = 60", 60.0), ("with = 'rum', abv_percent = 80, sg = 0.8700", 80.0),
        ("with = 'rum', abv_percent = 80, sg = 0.8500", 80.0),
    ],
)  # fmt: skip
def test_fortifying(fields: str, strength: float) -> None:
    before = facts()
    litres = before.level_l
    assert litres is not None
    topped = told(DRY + f"b0 = {{ at = 2026-02-09T12:00:00Z, did = 'top_up', volume_l = 1.0, {fields} }}")
    assert topped.level_l is not None
    assert litres + 1.0 > topped.level_l > (litres + 1.0) * 0.98
    assert abv(topped) * topped.level_l == pytest.approx(abv(before) * litres + strength, rel=0.005)
    # Spirit is no sugar that was spent: the gravity with nothing fermented goes down, not up.
    assert before.g0 is not None
    assert topped.g0 is not None
    assert topped.g0 < before.g0
    read = f"b1 = {{ at = 2026-02-12T12:00:00Z, did = 'read', sg = {topped.sg} }}"
    again = told(DRY + f"b0 = {{ at = 2026-02-09T12:00:00Z, did = 'top_up', volume_l = 1.0, {fields} }}\n" + read)
    assert abv(again) == pytest.approx(abv(topped), abs=0.05)


# The same sum by hand as above: so many litres at so many % vol are so much pure alcohol, however they were written.
@pytest.mark.parametrize(
    ("fields", "strength"),
    [
        ("what = 'vodka'", 40.0), ("what = 'vodka', abv_percent = 37.5", 37.5),
        ("what = 'zorkle', abv_percent = 60", 60.0), ("what = 'wine', abv_percent = 14", 14.0),
        ("what = 'zorkle', abv_percent = 30, sugar_g = 100", 30.0), ("what = 'zorkle', abv_percent = 8", 8.0),
    ],
)  # fmt: skip
def test_what_is_added_by_its_strength_brings_that_much_alcohol(fields: str, strength: float) -> None:
    before, after = facts(), facts(f"{fields}, volume_l = 0.5")
    assert before.level_l is not None
    assert after.level_l is not None
    assert abv(after) * after.level_l == pytest.approx(abv(before) * before.level_l + 0.5 * strength, rel=0.001)
    assert (after.fortified_g > 0.0) is (strength > 20.0)


def test_a_weak_drink_that_nobody_knows_may_bring_sugar_and_says_so() -> None:
    after = facts("what = 'zorkle', abv_percent = 8, volume_l = 0.5")
    assert not stable_now(after, 7, NOW)
    assert any("zorkle" in note for note in after.notes)


def test_spirit_by_weight_is_as_much_as_its_litres() -> None:
    # 40 % vol at 20 °C weighs 948.0 g/L: OIML R 22.
    by_volume, by_mass = facts("what = 'zorkle', abv_percent = 40, volume_l = 0.5"), facts(
        "what = 'zorkle', abv_percent = 40, mass_g = 474.0"
    )
    assert abv(by_mass) == pytest.approx(abv(by_volume), abs=0.005)


def test_juice_brings_its_sugar_and_begins_the_calm_anew() -> None:
    topped = told(DRY + "b0 = { at = 2026-02-09T12:00:00Z, did = 'top_up', with = 'grape juice', volume_l = 0.5 }")
    assert topped.extract_g - facts().extract_g == pytest.approx(0.5 * 1060 * 0.15, rel=0.01)
    assert topped.last_sugar_at is not None
    assert not stable_now(topped, 7, NOW)


def test_what_is_not_known_begins_the_calm_anew_and_its_sugar_can_be_given() -> None:
    unknown = facts("what = 'kvass', volume_l = 0.5")
    assert not stable_now(unknown, 7, NOW)
    assert unknown.last_sugar_at is not None
    assert any("kvass" in note for note in unknown.notes)
    assert unknown.level_l == pytest.approx((facts().level_l or 0.0) + 0.5, abs=0.01)
    given = facts("what = 'kvass', volume_l = 0.5, sugar_g = 40")
    assert given.extract_g - facts().extract_g == pytest.approx(40.0)
    assert given.level_l == pytest.approx(unknown.level_l, abs=0.01)
    assert stable_now(facts("what = 'kvass', volume_l = 0.04"), 7, NOW)


def test_milk_sugar_lifts_the_gravity_and_is_no_sugar_that_may_ferment() -> None:
    sweet, plain = facts("what = 'lactose', mass_g = 200"), facts()
    assert (sweet.sg or 0.0) - (plain.sg or 0.0) == pytest.approx(0.2 * 0.38 / 4.0, rel=0.1)
    left = [refermentable(one, NOW) for one in (sweet, plain)]
    assert left[0] is not None
    assert left[1] is not None
    assert left[0].g_per_l <= left[1].g_per_l + 0.5
    sugary = refermentable(facts("what = 'sugar', mass_g = 200"), NOW)
    assert sugary is not None
    assert sugary.g_per_l > left[0].g_per_l + 40.0


def test_a_little_fruit_brings_its_sugar() -> None:
    after = facts("what = 'raspberries', mass_g = 150")
    assert after.extract_g - facts().extract_g == pytest.approx(150 * 0.0442, rel=0.05)  # USDA SR28, NDB 09302
