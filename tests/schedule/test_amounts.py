"""What a task takes: grams, litres, bottles."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import UTC
from typing import Any

import pytest

from fermtui.daybook.settings import BottleKind, Nutrients, Settings
from fermtui.schedule.amounts import amounts, entry_fields
from fermtui.schedule.task import Task

Story = Callable[..., Mapping[str, Task]]
Facts = Callable[..., Any]
SETTINGS = Settings(UTC, "UTC")
PITCHED = """
{ at = 2026-03-01T17:00:00+01:00, did = "mix", volume_l = 4.2 }
{ at = 2026-03-01T18:00:00+01:00, did = "read", sg = 1.099 }
{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }
"""
PLAN = "volume_l = 4.2\ngravity = 1.099\n"
CALM = """
{ at = 2026-04-01T19:00:00+02:00, did = "read", sg = 1.000, ph = 3.3, temp_c = 20 }
{ at = 2026-04-05T19:00:00+02:00, did = "read", sg = 1.000, temp_c = 20 }
{ at = 2026-04-08T19:00:00+02:00, did = "read", sg = 1.000, temp_c = 20 }
"""
RACKED = PITCHED + CALM + '{ at = 2026-04-08T20:00:00+02:00, did = "rack", volume_l = 4.0 }\n'


@pytest.fixture
def takes(story: Story, facts: Facts) -> Callable[..., dict[str, Any]]:
    """(page, clock, task, plan, schedule, settings) -> its amounts."""

    def found(
        page: str, on: str, key: str, plan: str = PLAN, schedule: str = "two-doses", settings: Settings = SETTINGS
    ) -> dict[str, Any]:
        known, head = facts(page, plan)
        return amounts(story(page, on, schedule, plan)[key], known, head.plan, settings)

    return found


Takes = Callable[..., dict[str, Any]]


def test_a_dose_is_its_share_of_the_planned_total(takes: Takes) -> None:
    plan = PLAN + "doses = { dap_g = 2.2, autolysate_g = 4.0 }\n"
    assert takes(PITCHED, "2026-03-03T12:00", "dose-1", plan) == {"dap_g": 1.1, "autolysate_g": 2.0}
    small = takes(PITCHED, "2026-03-03T12:00", "dose-1", plan, "four-small-doses")
    assert small == {"dap_g": 0.77, "autolysate_g": 1.4}


def test_without_planned_doses_they_come_from_volume_sugar_and_demand(takes: Takes) -> None:
    # UC Davis: 1.099 is 23.5 °Brix, so some 260 mg/L of nitrogen are wanted; honey brings 20. Half of it as DAP.
    plain = takes(PITCHED, "2026-03-03T12:00", "dose-1")
    nitrogen_g = 2 * (plain["dap_g"] * 0.212 + plain["autolysate_g"] * 0.08)
    assert nitrogen_g / 4.2 * 1000 == pytest.approx(242, abs=8)
    hungry = takes(PITCHED, "2026-03-03T12:00", "dose-1", PLAN + 'yeast = { demand = "high" }\n')
    assert hungry["dap_g"] > plain["dap_g"]
    juice = takes(PITCHED, "2026-03-03T12:00", "dose-1", PLAN + "juice_l = 4.0\n", "cyser")
    assert juice["dap_g"] < plain["dap_g"]
    label = SETTINGS._replace(nutrients=Nutrients(inorganic_share=0.0))
    assert "dap_g" not in takes(PITCHED, "2026-03-03T12:00", "dose-1", settings=label)


def test_doses_are_fixed_at_pitching(takes: Takes) -> None:
    later = PITCHED + '{ at = 2026-03-02T19:00:00+01:00, did = "read", sg = 1.090, sample_ml = 100 }\n'
    fruited = PITCHED + '{ at = 2026-03-02T19:00:00+01:00, did = "fruit", kind = "plum", mass_g = 2000 }\n'
    first = takes(PITCHED, "2026-03-03T12:00", "dose-1")
    assert takes(later, "2026-03-03T12:00", "dose-1")["dap_g"] == pytest.approx(first["dap_g"], rel=0.04)
    assert takes(fruited, "2026-03-03T12:00", "dose-1")["dap_g"] == pytest.approx(first["dap_g"], rel=0.04)


def test_after_a_split_an_open_dose_shrinks_with_the_volume(takes: Takes) -> None:
    plan = PLAN + "doses = { dap_g = 2.2, autolysate_g = 4.0 }\n"
    split = PITCHED + '{ at = 2026-03-02T19:00:00+01:00, did = "split", into = "other", volume_l = 2.1 }\n'
    assert takes(split, "2026-03-03T12:00", "dose-1", plan)["dap_g"] == pytest.approx(0.55, abs=0.02)


TOTAL = PLAN + "doses = { dap_g = 2.2, autolysate_g = 4.0 }\n"
GIVEN = '{ at = 2026-03-03T19:00:00+01:00, did = "dose", dap_g = 1.1, autolysate_g = 2.0, task = "dose-1" }\n'


def test_past_the_third_break_a_dose_is_autolysate(takes: Takes) -> None:
    late = PITCHED + GIVEN + '{ at = 2026-03-05T19:00:00+01:00, did = "read", sg = 1.060 }\n'
    found = takes(late, "2026-03-06T12:00", "dose-2", TOTAL)
    # 1.1 g of DAP hold as much nitrogen as 1.1 x 21.2 / 8 = 2.9 g of autolysate.
    assert found == {"autolysate_g": pytest.approx(4.9, abs=0.05)}
    assert entry_fields(found) == found, "list, form and tick give the same"


def test_a_missed_dose_goes_with_the_next_as_far_as_the_yeast_can_use_it(takes: Takes) -> None:
    both = takes(PITCHED, "2026-03-06T12:00", "dose-1", TOTAL)
    assert both == {"dap_g": 2.2, "autolysate_g": 4.0}
    assert takes(PITCHED, "2026-03-06T12:00", "dose-2", TOTAL) == {}
    late = PITCHED + '{ at = 2026-03-05T19:00:00+01:00, did = "read", sg = 1.060 }\n'
    # 39 % of the sugar is spent: of (2.2 x 21.2 + 4.0 x 8) % = 0.786 g of nitrogen 61 % is of use, 6.0 g of autolysate.
    assert takes(late, "2026-03-06T12:00", "dose-1", TOTAL) == {"autolysate_g": pytest.approx(6.0, abs=0.05)}


def test_a_dose_is_what_was_not_given_yet(takes: Takes) -> None:
    half = PITCHED + GIVEN.replace("dap_g = 1.1, autolysate_g = 2.0", "dap_g = 0.5, autolysate_g = 1.0")
    assert takes(half, "2026-03-06T12:00", "dose-2", TOTAL) == {"dap_g": 1.7, "autolysate_g": 3.0}
    # All of the first dose as autolysate: 0.234 g of nitrogen are in 2.9 g, and count against the DAP.
    other = PITCHED + GIVEN.replace("dap_g = 1.1, autolysate_g = 2.0", "autolysate_g = 4.9")
    found = takes(other, "2026-03-06T12:00", "dose-2", TOTAL)
    assert 0.212 * found["dap_g"] + 0.08 * found.get("autolysate_g", 0.0) == pytest.approx(0.393, abs=0.01)
    unlabelled = PITCHED + GIVEN.replace("dap_g = 1.1, autolysate_g = 2.0", "complex_g = 3.0")
    assert takes(unlabelled, "2026-03-06T12:00", "dose-2", TOTAL) == {"dap_g": 1.1, "autolysate_g": 2.0}
    skipped = PITCHED + '{ at = 2026-03-03T19:00:00+01:00, did = "skip", task = "dose-1" }\n'
    assert takes(skipped, "2026-03-06T12:00", "dose-2", TOTAL) == {"dap_g": 1.1, "autolysate_g": 2.0}


def test_on_the_day_of_the_break_the_dose_keeps_its_form(takes: Takes) -> None:
    page = PITCHED + GIVEN.replace("2026-03-03", "2026-03-02")
    page += '{ at = 2026-03-05T19:00:00+01:00, did = "read", sg = 1.064 }\n'
    assert takes(page, "2026-03-05T21:00", "dose-2", TOTAL, "fruit-from-start") == {"dap_g": 1.1, "autolysate_g": 2.0}
    next_day = takes(page, "2026-03-06T12:00", "dose-2", TOTAL, "fruit-from-start")
    assert next_day == {"autolysate_g": pytest.approx(4.9, abs=0.05)}


def test_above_nine_percent_there_is_no_dap_at_all(takes: Takes) -> None:
    schedule = 'title = "Late"\n[[step]]\nkey = "late"\ndo = "dose"\nshare = 0.5\ndue = { after = "pitch", days = 2 }\n'
    late = PITCHED + '{ at = 2026-03-15T19:00:00+01:00, did = "read", sg = 1.020 }\n'
    # A fifth of the sugar is left, which can use a fifth of the whole: of the half dose of 2.0 g two fifths.
    found = takes(late, "2026-03-16T12:00", "late", TOTAL, schedule)
    assert found == {"autolysate_g": pytest.approx(0.8, abs=0.02), "only_if_slow": True}


def test_mixing_takes_honey_and_water(takes: Takes) -> None:
    found = takes("", "2026-03-01T12:00", "mix")
    # Honey of 17.1 % water: 4.2 L of 1.099 hold 4.2 x 1.097 x 23.5 % = 1083 g of extract.
    assert found["honey_g"] == pytest.approx(1083 / 0.829, rel=0.01)
    assert found["honey_g"] / 1000 / 1.42 + found["water_l"] == pytest.approx(4.2, abs=0.05)
    by_strength = takes("", "2026-03-01T12:00", "mix", "volume_l = 4.2\nabv_percent = 12\n")
    assert by_strength["honey_g"] > 0
    with_juice = takes("", "2026-03-01T12:00", "mix", PLAN + "juice_l = 3.0\njuice_sg = 1.048\n", "cyser")
    assert with_juice["juice_l"] == 3.0
    assert with_juice["honey_g"] < found["honey_g"]
    assert takes("", "2026-03-01T12:00", "mix", "") == {}


def test_fruit_is_the_planned_one_or_a_pound_to_the_gallon(takes: Takes) -> None:
    page = PITCHED + '{ at = 2026-03-16T19:00:00+01:00, did = "read", sg = 1.003 }\n'
    planned = takes(
        page, "2026-03-16T20:00", "fruit", PLAN + 'fruit = { kind = "plum", mass_g = 500, treatment = "frozen" }\n',
        "fruit-when-dry",
    )  # fmt: skip
    assert planned == {"kind": "plum", "mass_g": 500, "treatment": "frozen"}
    usual = takes(page, "2026-03-16T20:00", "fruit", PLAN + 'fruit = { kind = "plum" }\n', "fruit-when-dry")
    assert usual == {"kind": "plum", "mass_g": pytest.approx(504)}
    assert takes(page, "2026-03-16T20:00", "fruit", PLAN, "fruit-when-dry") == {}


def test_a_pull_proposes_the_mead_that_goes_with_the_fruit(takes: Takes) -> None:
    page = PITCHED + CALM.replace("2026-04", "2026-03").replace("+02:00", "+01:00").replace("03-0", "03-1")
    page += '{ at = 2026-03-19T19:00:00+01:00, did = "fruit", kind = "plum", mass_g = 1000 }\n'
    plan = PLAN + 'fruit = { kind = "plum", mass_g = 1000 }\n'
    pull = takes(page, "2026-04-12T12:00", "pull", plan, "fruit-when-dry")
    # A fifth of the weight of drained fruit, by the juice that handbooks of pressing get out of it.
    assert pull["loss_l"] == pytest.approx(0.2, abs=0.05)
    # Racked off the fruit, it takes as much: 4.2 L and 0.94 of juice (USDA SR28) less 4 % and that.
    rack = takes(page, "2026-04-12T12:00", "rack-1", plan, "fruit-when-dry")
    assert rack["volume_l"] == pytest.approx(5.14 * 0.96 - 0.2, abs=0.08)


def test_racking_leaves_four_percent_behind(takes: Takes) -> None:
    assert takes(PITCHED + CALM, "2026-04-08T20:00", "rack-1")["volume_l"] == pytest.approx(4.2 * 0.96, abs=0.06)


def test_sulfite_and_sorbate_come_from_ph_strength_and_volume(takes: Takes) -> None:
    sweet = PLAN + "sweet = 1.012\n"
    sulfite = takes(RACKED, "2026-04-23T12:00", "sulfite", sweet)
    # UC Cooperative Extension (1982) prints 26 mg/L free at pH 3.3, as 0.8 (1 + 10^(3.3 - 1.81)) = 25.5; in 4 L of
    # potassium metabisulfite, 57.6 % SO2 (IUPAC): 0.177 g. The OIV asks for less at 20 °C.
    assert sulfite["metabisulfite_g"] == pytest.approx(25.5 * 4.0 / 1000 / 0.576, abs=0.006)
    assert sulfite["salt"] == "potassium"
    sorbate = takes(RACKED, "2026-04-23T12:00", "sorbate", sweet)
    # Underhill's table: 3.2 mL of a 30 g/L solution a litre at 13 % vol and pH 3.3, 4.0 at 12 %. From 1.099 to 1.000
    # are 13.2 % vol (HMRC Notice 226, factor 133), so 13 % or a little more: no more than 0.384 g in 4 L, and no less
    # than the 0.36 of 13.3 %.
    assert sorbate["sorbate_g"] == pytest.approx(0.37, abs=0.015)
    sour = RACKED.replace("ph = 3.3", "ph = 3.9")
    assert takes(sour, "2026-04-23T12:00", "sorbate", sweet) == {}, "outside its table no dose is invented"
    unread = RACKED.replace(", ph = 3.3", "")
    assert takes(unread, "2026-04-23T12:00", "sulfite", sweet) == {}


def test_sulfite_is_reckoned_for_the_temperature_of_the_vessel(takes: Takes) -> None:
    sweet = PLAN + "sweet = 1.012\n"
    cold = RACKED.replace("temp_c = 20 }\n{ at = 2026-04-08T20", "temp_c = 12 }\n{ at = 2026-04-08T20")
    warm_g, cold_g = (takes(page, "2026-04-23T12:00", "sulfite", sweet)["metabisulfite_g"] for page in (RACKED, cold))
    # OIV table I, its slope carried on: at 12 °C a good third more than the 25.5 mg/L that count at 20 °C.
    assert cold_g == pytest.approx(1.38 * warm_g, rel=0.12)
    unread = RACKED.replace(", temp_c = 20", "")
    assert takes(unread, "2026-04-23T12:00", "sulfite", sweet)["metabisulfite_g"] == warm_g
    planned = takes(unread, "2026-04-23T12:00", "sulfite", sweet + "temp_c = 12\n")["metabisulfite_g"]
    assert planned == cold_g


def test_sulfite_for_raw_juice_needs_no_ph(takes: Takes) -> None:
    page = "\n".join(PITCHED.strip().splitlines()[:2])
    # 50 mg/L in 4.2 L: 0.21 g of SO2, 0.36 g of potassium metabisulfite.
    assert takes(page, "2026-03-01T18:10", "sulfite-juice", PLAN, "cyser")["metabisulfite_g"] == pytest.approx(
        0.36, abs=0.01
    )


def test_honey_to_sweeten_reaches_the_planned_gravity(takes: Takes) -> None:
    sulfited = RACKED + '{ at = 2026-04-23T19:00:00+02:00, did = "sulfite", metabisulfite_g = 0.2 }\n'
    both = sulfited + '{ at = 2026-04-23T19:05:00+02:00, did = "sorbate", sorbate_g = 0.7 }\n'
    found = takes(both, "2026-04-25T12:00", "sweeten", PLAN + "sweet = 1.012\n")
    # 12 points in 4 L are some 31 g/L of sugar, 125 g, so 150 g of honey; a little more for the volume it brings.
    assert found["honey_g"] == pytest.approx(157, abs=12)
    assert takes(both, "2026-04-25T12:00", "sweeten", PLAN + "sweet = true\n") == {}


def test_a_feed_lifts_by_twenty_points_at_most(takes: Takes) -> None:
    page = (
        PITCHED
        + '{ at = 2026-03-09T19:00:00+01:00, did = "read", sg = 1.028 }\n'
        + "".join(f'{{ at = 2026-03-0{day}T19:00:00+01:00, did = "dose", dap_g = 1 }}\n' for day in (2, 3, 4, 7))
    )
    plan = PLAN + "yeast = { tolerance_abv = 17 }\n"
    fed = takes(page, "2026-03-09T20:00", "feed-1", plan, "strong-step-fed")
    assert 200 < fed["honey_g"] < 320
    little = takes(page, "2026-03-09T20:00", "feed-1", plan + "abv_percent = 13.2\n", "strong-step-fed")
    assert little.get("honey_g", 0) < fed["honey_g"]


def test_bottles_are_full_ones_of_the_makers_size(takes: Takes) -> None:
    assert takes(RACKED, "2026-05-10T12:00", "bottle") == {"count": 5, "size_ml": 750.0}
    halves = SETTINGS._replace(bottles=(BottleKind(330.0, "beer"), BottleKind(500.0, "still")))
    assert takes(RACKED, "2026-05-10T12:00", "bottle", settings=halves) == {"count": 8, "size_ml": 500.0}


def test_four_bottles_from_a_gallon_so_filled(takes: Takes) -> None:
    """Common practice, no source: 3.79 L less what the lees keep are four full bottles of 750 mL."""
    page = RACKED.replace("volume_l = 4.0", "volume_l = 3.4")
    assert takes(page, "2026-05-10T12:00", "bottle")["count"] == 4


def test_a_dose_goes_by_what_was_pitched_and_not_by_a_larger_plan(takes: Takes) -> None:
    planned = takes(PITCHED, "2026-03-03T12:00", "dose-1")
    assert planned["dap_g"] > 0
    assert takes(PITCHED, "2026-03-03T12:00", "dose-1", "volume_l = 8.4\ngravity = 1.099\n") == planned


def test_sparkling_takes_its_glass_and_its_sugar(takes: Takes) -> None:
    fizzy = takes(RACKED, "2026-05-10T12:00", "bottle", PLAN + "sparkling = 2.5\n", "light-session")
    assert fizzy["glass"] == "sparkling"
    # 2.5 volumes less the 0.85 that are in it at 20 °C: 1.65 x 1.96 g/L of CO2 from 0.51 g a gram of sugar.
    assert fizzy["priming_g"] == pytest.approx(1.65 * 1.96 / 0.51 * 4.0, rel=0.06)


def test_sparkling_in_beer_glass_takes_no_more_sugar_than_it_bears_in_a_warm_room(takes: Takes) -> None:
    beer = SETTINGS._replace(bottles=(BottleKind(500.0, "beer"),))
    plan = "volume_l = 4.2\ngravity = 1.099\nsparkling = {}\n"
    lively, most, usual = (
        takes(RACKED, "2026-05-10T12:00", "bottle", plan.format(volumes), "light-session", beer)["priming_g"]
        for volumes in (3.5, 2.6, 2.0)
    )
    # Weiss (1974), 0.9 of water: 3 bar at 30 °C are 2.37 volumes, of which 0.78 are in it: 1.59 x 1.977 g/L of CO2,
    # 0.5143 of a gram of sucrose (IUPAC), in 4 L.
    assert lively == most == pytest.approx(1.57 * 1.977 / 0.5143 * 4.0, abs=0.5)
    assert usual == pytest.approx((2.0 - 0.783) * 1.977 / 0.5143 * 4.0, abs=0.3)


def test_sparkling_without_a_figure_takes_its_glass_and_no_sugar(takes: Takes) -> None:
    fizzy = takes(RACKED, "2026-05-10T12:00", "bottle", PLAN + "sparkling = true\n", "light-session")
    assert fizzy["glass"] == "sparkling"
    assert "priming_g" not in fizzy


def test_what_is_over_takes_nothing(takes: Takes) -> None:
    assert takes(PITCHED, "2026-03-03T12:00", "mix") == {}


def test_amounts_bear_the_names_of_the_entry(takes: Takes) -> None:
    from fermtui.daybook.kinds import KINDS

    for key, did in (("dose-1", "dose"), ("mix", "mix")):
        clock, book = ("2026-03-03T12:00", PITCHED) if key == "dose-1" else ("2026-03-01T12:00", "")
        assert set(entry_fields(takes(book, clock, key))) <= set(KINDS[did].fields)


def test_sugar_for_fizz_goes_by_the_warmest_day_since_the_ferment(takes: Takes) -> None:
    plan = "volume_l = 4.2\ngravity = 1.099\nsparkling = 2.5\n"
    # The gas that left on a warm day does not come back in the cold: 0.9 of what Weiss (1974) has for water, 0.777
    # volumes at 24 °C and 0.98 at 16.
    warm = RACKED.replace('04-05T19:00:00+02:00, did = "read", sg = 1.000, temp_c = 20',
                          '04-05T19:00:00+02:00, did = "read", sg = 1.000, temp_c = 24')  # fmt: skip
    cooled = warm.replace('04-08T19:00:00+02:00, did = "read", sg = 1.000, temp_c = 20',
                          '04-08T19:00:00+02:00, did = "read", sg = 1.000, temp_c = 16')  # fmt: skip
    for page in (warm, cooled):
        made = takes(page, "2026-05-10T12:00", "bottle", plan, "light-session")["priming_g"]
        assert made == pytest.approx((2.5 - 0.9 * 0.777) * 1.977 / 0.5143 * 4.0, abs=0.2)


def test_a_dose_after_a_split_and_a_topping_up_is_no_larger_than_planned(takes: Takes) -> None:
    # What was poured off took its nitrogen with it; mead that tops up brings no appetite of its own.
    plan = PLAN + "doses = { dap_g = 2.2, autolysate_g = 4.0 }\n"
    page = PITCHED + '{ at = 2026-03-02T19:00:00+01:00, did = "split", into = "other", volume_l = 0.2 }\n'
    page += '{ at = 2026-03-02T20:00:00+01:00, did = "top_up", with = "water", volume_l = 1.2 }\n'
    assert takes(page, "2026-03-03T12:00", "dose-1", plan)["dap_g"] == 1.1
