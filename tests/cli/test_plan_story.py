"""The plan says what will really be, told by the commands and in the maker's own files."""

from __future__ import annotations

import re
from typing import Any

import pytest

from fermtui.units import METRIC
from fermtui.writing.wanted import Strength, read_strength

ON = ("--on", "2026-03-01")
FRUITED = """
{ at = 2026-03-01T10:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1196, water_l = 3.18 }
{ at = 2026-03-01T10:05:00+01:00, did = "read", sg = 1.095 }
{ at = 2026-03-01T10:10:00+01:00, did = "fruit", kind = "plum", mass_g = 1500, treatment = "crushed" }
{ at = 2026-03-01T10:20:00+01:00, did = "pitch" }
"""
LATE_FRUIT = """
{ at = 2026-03-01T10:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1196, water_l = 3.18 }
{ at = 2026-03-01T10:05:00+01:00, did = "read", sg = 1.095 }
{ at = 2026-03-01T10:20:00+01:00, did = "pitch" }
{ at = 2026-03-15T10:20:00+01:00, did = "read", sg = 1.000 }
{ at = 2026-03-15T10:30:00+01:00, did = "fruit", kind = "plum", mass_g = 1500, treatment = "crushed" }
{ at = 2026-03-16T10:20:00+01:00, did = "read", sg = 1.004 }
"""


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("1.095", Strength(1.095, None)),
        ("12%", Strength(None, 12.0)),
        ("12,5 % vol", Strength(None, 12.5)),
        ("1.100 16%", Strength(1.1, 16.0)),
    ],
)
def test_one_field_takes_a_gravity_or_a_strength(text: str, meant: Strength) -> None:
    assert read_strength(text, METRIC) == meant


def test_a_strength_in_place_of_a_gravity_on_the_command_line(cellar: Any, fermtui: Any) -> None:
    cellar({})
    by_gravity = fermtui("start", "Damson", "--volume", "4L", "--gravity", "12%", "--dry-run", "--json", *ON)
    by_strength = fermtui("start", "Damson", "--volume", "4L", "--abv", "12", "--dry-run", "--json", *ON)
    assert by_gravity.status == 0
    assert by_gravity.json == by_strength.json
    twice = fermtui("start", "Damson", "--volume", "4L", "--gravity", "12%", "--abv", "12", "--dry-run", *ON)
    assert (twice.status, "names a strength already" in twice.err) == (2, True)
    none = fermtui("start", "Damson", "--volume", "4L", "--gravity", "120%", "--dry-run", *ON)
    assert (none.status, "no strength between 0 and 25" in none.err) == (1, True)


def test_the_law_is_told_at_length_once(cellar: Any, fermtui: Any) -> None:
    cellar({})
    first = fermtui("start", "Damson", "--volume", "4L", "--gravity", "1.095", *ON).out
    later = fermtui("start", "Sloe", "--volume", "4L", "--gravity", "1.095", *ON).out
    assert "100 gal a year" in first
    assert "100 gal a year" not in later
    assert "by the rules where you live" in later
    assert "Never seal a live ferment" in later  # what can hurt today is said each time


@pytest.mark.parametrize("sg", ["1.080", "1.088", "1.094"])
def test_a_reading_the_day_after_the_fruit_is_believed(cellar: Any, fermtui: Any, sg: str) -> None:
    # 4 L of 1.095 with 1.5 kg of plums come to 1.081 once all their juice is in, but not on the first day.
    cellar(
        {
            "vessels/damson/vessel.toml": 'name = "Damson"\n[plan]\nvolume_l = 4\ngravity = 1.095',
            "vessels/damson/daybook.toml": FRUITED,
        }
    )
    assert fermtui("read", "damson", sg, "--on", "2026-03-02").status == 0
    assert "out of reach" not in fermtui("show", "damson", "--on", "2026-03-02").out


def test_a_reading_above_all_that_went_in_is_asked_about(cellar: Any, fermtui: Any) -> None:
    cellar(
        {
            "vessels/damson/vessel.toml": 'name = "Damson"\n[plan]\nvolume_l = 4\ngravity = 1.095',
            "vessels/damson/daybook.toml": FRUITED,
        }
    )
    asked = fermtui("read", "damson", "1.100", "--on", "2026-03-02")
    assert (asked.status, "5 points above what went in, fruit and all" in asked.err) == (3, True)


@pytest.mark.parametrize(("sg", "status"), [("1.008", 0), ("1.012", 0), ("1.030", 3)])
def test_fruit_may_lift_the_gravity_while_it_gives_its_juice(cellar: Any, fermtui: Any, sg: str, status: int) -> None:
    # 1.5 kg of plums hold about 150 g of sugar: in 5.3 L that is up to 0.011 SG, of which a third is in on day one.
    cellar(
        {
            "vessels/damson/vessel.toml": 'name = "Damson"\n[plan]\nvolume_l = 4\ngravity = 1.095',
            "vessels/damson/daybook.toml": LATE_FRUIT,
        }
    )
    assert fermtui("read", "damson", sg, "--on", "2026-03-17").status == status


def test_the_first_reading_after_a_feed_is_held_against_what_the_ledger_expects(cellar: Any, fermtui: Any) -> None:
    book = [*LATE_FRUIT.splitlines()[:5], '{ at = 2026-03-15T10:30:00+01:00, did = "feed", honey_g = 200 }']
    cellar(
        {
            "vessels/damson/vessel.toml": 'name = "Damson"\n[plan]\nvolume_l = 4\ngravity = 1.095',
            "vessels/damson/daybook.toml": "\n".join(book),
        }
    )
    asked = fermtui("read", "damson", "1.045", "--on", "2026-03-15T11:00:00+01:00")  # 200 g lift 4 L by 0.014
    assert (asked.status, "with what was added" in asked.err) == (3, True)
    assert fermtui("read", "damson", "1.014", "--on", "2026-03-15T11:00:00+01:00").status == 0


PLUM = ("start", "Damson", "--volume", "4L", "--gravity", "1.095", "--fruit", "plum", "--mass", "1.5kg", "--capacity",
        "6L", "--dry-run", *ON)  # fmt: skip
SACK = ("start", "Sack", "--volume", "20L", "--abv", "16", "--schedule", "strong-step-fed", "--tolerance", "16", *ON)


def test_fruit_counts_in_strength_volume_and_room(cellar: Any, fermtui: Any) -> None:
    # By hand: 4 L of 1.095 weigh 4.372 kg and hold 22.6 % sugar (Plato's table), 0.990 kg. 1.5 kg of plums bring
    # 149 g of sugar and 1,308 g of water (USDA SR28 09279): 19.5 % of 5.829 kg, a gravity of 1.081 all in. 81 points
    # down to 1.000 make 81 x 0.134 = 10.9 % vol (HMRC Notice 226), not the 12.7 of the must alone.
    cellar({})
    plan = fermtui(*PLUM, "--json").json
    assert plan["abv_percent_at_end"] == pytest.approx(10.85, abs=0.15)
    alone = fermtui(*[word for word in PLUM if word not in ("--fruit", "plum", "--mass", "1.5kg")], "--json").json
    assert alone["abv_percent_at_end"] == pytest.approx(95 * 0.135, abs=0.15)
    # 5.829 kg of 1.081 are 5.40 L; the pulp takes some 40 mL more, the ferment some away; plums are 5 % air.
    assert plan["room_l"] == pytest.approx(6.0 - 4.0 - 1.5 / 1.042 / 0.95, abs=0.05)
    # What clings to the pulled fruit (0.3 L, an estimate) and 4 % at each of two rackings are gone.
    assert plan["volume_at_end_l"] == pytest.approx((5.37 - 0.30) * 0.96**2, abs=0.1)
    page = fermtui(*PLUM).out
    assert "10.8 % vol" in page
    assert "1.50 kg plum, pitted: about 1.60 kg as bought" in page  # 6 % of a plum is its stone (USDA SR28)


def test_a_wanted_strength_is_that_with_the_fruit(cellar: Any, fermtui: Any) -> None:
    cellar({})
    words = ("start", "Damson", "--volume", "4L", "--abv", "12", "--fruit", "plum", "--dry-run", "--json", *ON)
    plan = fermtui(*words, "--mass", "1.5kg").json
    assert plan["abv_percent_at_end"] == pytest.approx(12.0, abs=0.02)
    assert plan["gravity"] > 1.100  # 1.090 would come to 12 % alone, and to 10.2 with the water of so many plums
    drowned = fermtui(*words, "--mass", "30kg")
    assert (drowned.status, "take less fruit or want less strength" in drowned.err) == (1, True)


def test_fruit_that_is_in_from_the_start_feeds_the_yeast(cellar: Any, fermtui: Any) -> None:
    cellar({})
    late = fermtui(*PLUM, "--json").json["doses"]
    early = fermtui(*PLUM, "--schedule", "fruit-from-start", "--json").json["doses"]
    assert early["autolysate_g"] < late["autolysate_g"]


def test_a_fed_plan_names_each_feed(cellar: Any, fermtui: Any) -> None:
    cellar({"cellar.toml": 'timezone = "Europe/Vienna"\n[stock]\ncounted = 2026-02-01\nhoney_g = 6400\n'})
    plan = fermtui(*SACK, "--dry-run", "--json").json
    feeds = [one for one in plan["additions"] if one["do"] == "feed"]
    assert [one["task"] for one in feeds] == ["feed-1", "feed-2"]
    assert plan["gravity"] == 1.1
    assert plan["abv_percent_at_end"] == pytest.approx(16.0, abs=0.05)
    # As much honey as 20.9 L of 1.118 would hold, for nothing is gained or lost by holding it back.
    held_back = sum(one["mass_g"] for one in feeds)
    assert all(one["from_sg"] == pytest.approx(1.030, abs=1e-4) for one in feeds)
    assert feeds[-1]["volume_l"] > 20.8
    assert plan["missing"][0].startswith(f"{(plan['honey_g'] + held_back - 6400) / 1000:.2f} kg honey missing")
    page = fermtui(*SACK, "--dry-run").out
    assert re.search(r"1\.5\d kg honey held back: (\d+ g), \1, each at 1.030, to 1.041", page)
    assert "16.0 % vol at 1.000; the yeast takes 16.0" in page


def test_what_the_feeds_cannot_do_is_said(cellar: Any, fermtui: Any) -> None:
    cellar({})
    words = ("start", "Sack", "--volume", "20L", "--schedule", "strong-step-fed", "--dry-run", *ON)
    short = fermtui(*words, "--gravity", "1.090 19%", "--tolerance", "19", "--json").json
    assert any("the feeds bring it to" in note for note in short["notes"])
    stops = fermtui(*words, "--gravity", "1.100 17%", "--tolerance", "14", "--json").json["notes"]
    assert any("more than the yeast takes (14 % vol): it will stop sweet, at about 1.02" in note for note in stops)
    both = fermtui("start", "Rowan", "--volume", "4L", "--gravity", "1.090 14%", "--dry-run", *ON)
    assert (both.status, "need a schedule that feeds honey" in both.err) == (1, True)


def test_honey_for_feeds_and_for_sweetening_is_on_the_list_before_the_first_day(cellar: Any, fermtui: Any) -> None:
    cellar({})
    fermtui(*SACK, "--sweet", "1.020")
    named = {(one["task"], one["vessel"]): one["amount"] for need in fermtui("needs", "--json", *ON).json["undated"]
             for one in need["for"] if need["item"] == "honey"}  # fmt: skip
    plan = fermtui("start", "Other", "--like", "sack", "--dry-run", "--json", *ON).json
    # Before it is pitched the day of the second racking is not known: it may take 4 % before or after the sweetening.
    assert named == {
        (one["task"], "sack"): pytest.approx(one["mass_g"], rel=0.042) for one in plan["additions"] if one["mass_g"]
    }
    assert {task for task, _ in named} == {"feed-1", "feed-2", "sweeten"}


def test_the_plan_has_days_with_their_range(cellar: Any, fermtui: Any) -> None:
    cellar({})
    tasks = {task["task"]: task for task in fermtui(*PLUM, "--json").json["tasks"]}
    for key in ("fruit", "pull", "bottle", "taste-3"):
        assert tasks[key]["earliest"] < tasks[key]["likely"]
    assert tasks["fruit"]["likely"] >= "2026-03-15"  # two weeks after pitching at the earliest
    page = fermtui(*PLUM).out
    assert "later  " not in page
    assert "if it is pitched today: fruit about 1" in page
    assert "bottles about" in page
    assert "first taste about" in page


TWO = ("start", "Damson", "--volume", "8L", "--gravity", "1.095", "--fruit", "plum", "--mass", "600g", "--capacity",
       "6L")  # fmt: skip
SECOND = "Sloe, 3 L, 500 g cherry frozen, in 5 L"


def test_one_must_for_two_vessels(cellar: Any, fermtui: Any) -> None:
    cellar({})
    plan = fermtui(*TWO, "--and", SECOND, "--json", "--on", "2026-03-01T10:00").json
    alone = fermtui("start", "Whole", "--volume", "8L", "--gravity", "1.095", "--dry-run", "--json", *ON).json
    assert plan["honey_g"] == pytest.approx(alone["honey_g"], rel=1e-4)  # mixed once, for both
    assert (plan["volume_l"], plan["second"]["volume_l"]) == (5.0, 3.0)
    assert [plan["additions"][0]["what"], plan["second"]["additions"][0]["what"]] == ["plum", "cherry"]

    due = fermtui("due", "--json", "--on", "2026-03-01T10:00").json["tasks"]
    pressing = [(task["vessel"], task["task"]) for task in due if task["state"] in ("due", "late")]
    assert pressing == [("damson", "mix")]
    assert "its part of damson is not poured yet" in fermtui("show", "--on", "2026-03-01T10:00").out
    # Eight litres into a demijohn of six: it is mixed in a pot that holds both.
    assert fermtui("tick", "damson", "mix", "--on", "2026-03-01T11:00").status == 0
    assert fermtui("read", "damson", "1.096", "--on", "2026-03-01T11:10").status == 0
    due = fermtui("due", "--json", "--on", "2026-03-01T11:15").json["tasks"]
    assert [(task["vessel"], task["task"]) for task in due][:2] == [("damson", "pour"), ("damson", "pitch")]
    assert due[0]["amounts"] == {"into": "sloe", "volume_l": 3.0}
    assert fermtui("tick", "damson", "pour", "--on", "2026-03-01T11:20").status == 0

    shown = {one["vessel"]: one for one in fermtui("show", "--json", "--on", "2026-03-01T11:30").json["vessels"]}
    assert shown["sloe"]["volume_l"] == pytest.approx(3.0, abs=0.01)
    assert shown["damson"]["volume_l"] == pytest.approx(5.0, abs=0.02)
    assert shown["sloe"]["gravity"] == pytest.approx(1.096, abs=1e-4)  # as the must was read, not as it was planned
    for vessel in ("damson", "sloe"):
        assert fermtui("tick", vessel, "pitch", "--on", "2026-03-01T12:00").status == 0
    due = {
        (task["vessel"], task["task"]): task for task in fermtui("due", "--json", "--on", "2026-03-03").json["tasks"]
    }
    assert due["sloe", "dose-1"]["amounts"]["dap_g"] == pytest.approx(
        0.6 * due["damson", "dose-1"]["amounts"]["dap_g"], abs=0.06
    )
    assert "Sloe" in fermtui("compare", "damson", "sloe", "--on", "2026-03-03").out
    assert fermtui("check").out.strip() == "nothing is wrong with the files"


def test_the_pouring_is_taken_back_whole(cellar: Any, fermtui: Any) -> None:
    cellar({})
    fermtui(*TWO, "--and", SECOND, "--on", "2026-03-01T10:00")
    fermtui("tick", "damson", "mix", "--on", "2026-03-01T11:00")
    fermtui("read", "damson", "1.096", "--on", "2026-03-01T11:10")
    fermtui("tick", "damson", "pour", "--on", "2026-03-01T11:20")
    assert "and in sloe" in fermtui("strike", "damson", "--on", "2026-03-01T11:30").out
    due = fermtui("due", "--json", "--days", "0", "--on", "2026-03-01T11:40").json["tasks"]
    assert ("damson", "pour") in [(task["vessel"], task["task"]) for task in due]
    fermtui("write", "damson", "skip", "task=pour", "--on", "2026-03-01T11:50")
    due = fermtui("due", "--json", "--days", "0", "--on", "2026-03-01T12:00").json["tasks"]
    assert ("damson", "pour") not in [(task["vessel"], task["task"]) for task in due]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("Sloe, 9 L", "leave nothing for one of the two"),
        ("damson, 4 L", "needs a name of its own"),
        ("Sloe, 500 g gravel", "is no fruit, volume or container"),
        ("Sloe, 4 L, in Nowhere", "is not in cellar.toml"),
        ("Sloe, 4 furlongs", "has the unit 'furlongs'"),
    ],
)
def test_a_second_vessel_that_cannot_be(cellar: Any, fermtui: Any, text: str, says: str) -> None:
    cellar({})
    refused = fermtui(*TWO, "--and", text, "--dry-run", *ON)
    assert (refused.status, says in refused.err) == (1, True), refused.err


def test_half_is_the_part_of_a_second_vessel_and_a_head_with_a_torn_pour_is_named(cellar: Any, fermtui: Any) -> None:
    folder = cellar({})
    plan = fermtui(*TWO, "--and", "Sloe", "--json", *ON).json
    assert (plan["volume_l"], plan["second"]["volume_l"], plan["second"]["schedule"]) == (4.0, 4.0, "two-doses")
    head = folder / "vessels/damson/vessel.toml"
    head.write_text(head.read_text().replace("volume_l = 4.0 }", 'volume_l = "four" }'))
    assert "plan.pour.volume_l" in fermtui("check").err + fermtui("check").out


PAST = {
    "past/elder/vessel.toml": 'name = "Elder"\nschedule = "two-doses"\n[plan]\nvolume_l = 4\ngravity = 1.09',
    "past/elder/daybook.toml": """
{ at = 2025-02-01T18:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1130 }
{ at = 2025-02-01T18:10:00+01:00, did = "read", sg = 1.090 }
{ at = 2025-02-01T18:30:00+01:00, did = "pitch" }
{ at = 2025-02-15T18:30:00+01:00, did = "read", sg = 1.000 }
{ at = 2025-02-20T18:30:00+01:00, did = "note", text = "racked too early" }
{ at = 2025-05-01T18:30:00+02:00, did = "bottle", count = 5, size_ml = 750 }
{ at = 2025-08-01T18:30:00+02:00, did = "taste", taste = "thin, flowers", score = 13 }
{ at = 2025-12-01T18:30:00+01:00, did = "taste", taste = "rounder", score = 15.5 }
""",
}


def test_a_copy_brings_what_came_out_its_tastings_and_notes(cellar: Any, fermtui: Any) -> None:
    cellar(PAST)
    page = fermtui("start", "Elder again", "--like", "elder", "--dry-run", *ON).out
    # 90 points by the factor 0.135 of HMRC Notice 226 are 12.1 % vol; the ledger is within 0.15 of it.
    assert "last time  Elder: 1.090 to 1.000, 12.0 % vol, dry in 14 days, 5 bottles" in page
    assert "tasted     13, 15.5 of 20; 2025-12-01: rounder; 2025-08-01: thin, flowers" in page
    assert "noted      2025-02-20: racked too early" in page
    told = fermtui("start", "Elder again", "--like", "Elder", "--dry-run", "--json", *ON).json["last_time"]
    assert (told["vessel"], told["bottles"], told["score"]) == ("elder", 5, 15.5)
    assert told["notes"] == ["2025-02-20: racked too early"]
    plain = fermtui("start", "New", "--volume", "4L", "--gravity", "1.090", "--dry-run", "--json", *ON).json
    assert plain["last_time"] is None


CALM = """
{ at = 2026-03-01T10:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1196, water_l = 3.18 }
{ at = 2026-03-01T10:05:00+01:00, did = "read", sg = 1.095 }
{ at = 2026-03-01T10:20:00+01:00, did = "pitch" }
{ at = 2026-04-15T10:20:00+02:00, did = "read", sg = 1.000, temp_c = 20, ph = 3.5 }
{ at = 2026-04-20T10:20:00+02:00, did = "read", sg = 1.000, temp_c = 20, ph = 3.5 }
{ at = 2026-04-25T10:20:00+02:00, did = "read", sg = 1.000, temp_c = 20, ph = 3.5 }
{ at = 2026-04-26T10:20:00+02:00, did = "rack", volume_l = 3.8 }
"""


def test_sulfite_tells_free_total_and_the_share_bound(cellar: Any, fermtui: Any) -> None:
    cellar(
        {
            "vessels/damson/vessel.toml": 'name = "Damson"\n[plan]\nvolume_l = 4\ngravity = 1.095',
            "vessels/damson/daybook.toml": CALM,
        }
    )
    # 0.25 g of potassium metabisulfite hold 57.6 % SO2 (IUPAC weights): 144 mg in 3.8 L are 37.9 mg/L.
    said = fermtui("write", "damson", "sulfite", "metabisulfite_g=0.25", "--on", "2026-04-27").out
    assert "then 38 mg/L free at most, 38 mg/L in total: none of it counted as bound" in said
    fermtui("write", "damson", "read", "free_so2_mg_per_l=25", "--on", "2026-04-28")
    told = fermtui("write", "damson", "sulfite", "metabisulfite_g=0.05", "--json", "--on", "2026-04-29").json["so2"]
    # 25 measured of 37.9, and 7.6 more: 32.6 of 45.5 is free, 28 % is bound.
    assert told["free_at_most_mg_per_l"] == pytest.approx(32.6, abs=0.2)
    assert told["total_mg_per_l"] == pytest.approx(45.5, abs=0.2)
    assert told["bound_percent"] == pytest.approx(28.4, abs=0.5)


def test_a_sweet_plan_names_its_sulfite_and_sorbate(cellar: Any, fermtui: Any) -> None:
    cellar({"cellar.toml": 'timezone = "Europe/Vienna"\n[stock]\ncounted = 2026-02-01\nmetabisulfite_g = 0.1\n'})
    words = ("start", "Sweet", "--volume", "4L", "--gravity", "1.095", "--sweet", "1.015", "--dry-run", *ON)
    plan = fermtui(*words, "--json").json
    # UC Cooperative Extension (1982) prints 40 mg/L of free SO2 for pH 3.5.
    assert plan["keeping"]["free_so2_mg_per_l"] == pytest.approx(40.0, abs=1.0)
    assert plan["keeping"]["metabisulfite_g"] == pytest.approx(40.0 * plan["volume_at_end_l"] / 1000 / 0.576, abs=0.01)
    assert any("metabisulfite missing" in line for line in plan["missing"])
    assert "in total: none of it counted as bound" in fermtui(*words).out
    dry = fermtui("start", "Dry", "--volume", "4L", "--gravity", "1.095", "--dry-run", "--json", *ON).json
    assert dry["keeping"] is None


def test_the_pull_proposes_the_loss_that_the_plan_counts(cellar: Any, fermtui: Any) -> None:
    cellar(
        {
            "vessels/damson/vessel.toml": 'name = "Damson"\nschedule = "fruit-when-dry"\n[plan]\nvolume_l = 4\n'
            'gravity = 1.095\nfruit = { kind = "plum", mass_g = 1500, treatment = "crushed" }',
            "vessels/damson/daybook.toml": LATE_FRUIT,
        }
    )
    due = {task["task"]: task for task in fermtui("due", "--json", "--days", "30", "--on", "2026-04-06").json["tasks"]}
    # A fifth of a millilitre a gram of fruit: an estimate, no source.
    assert due["pull"]["amounts"]["loss_l"] == pytest.approx(0.30, abs=0.005)


SACK_LIVED = """
{ at = 2026-03-01T10:00:00+01:00, did = "mix", honey_g = 6301, water_l = 15.73 }
{ at = 2026-03-01T11:00:00+01:00, did = "read", sg = 1.100 }
{ at = 2026-03-01T12:00:00+01:00, did = "pitch" }
{ at = 2026-03-10T12:00:00+01:00, did = "read", sg = 1.030 }
{ at = 2026-03-10T13:00:00+01:00, did = "feed", task = "feed-1", honey_g = 773 }
{ at = 2026-03-14T12:00:00+01:00, did = "read", sg = 1.030 }
{ at = 2026-03-14T13:00:00+01:00, did = "feed", task = "feed-2", honey_g = 773 }
{ at = 2026-04-20T12:00:00+02:00, did = "read", sg = 1.000 }
"""
DAMSON_LIVED = """
{ at = 2026-03-01T10:00:00+01:00, did = "mix", honey_g = 1196, water_l = 3.18 }
{ at = 2026-03-01T11:00:00+01:00, did = "read", sg = 1.095 }
{ at = 2026-03-01T12:00:00+01:00, did = "pitch" }
{ at = 2026-03-15T12:00:00+01:00, did = "read", sg = 1.004 }
{ at = 2026-03-15T13:00:00+01:00, did = "fruit", kind = "plum", mass_g = 1500 }
{ at = 2026-04-05T12:00:00+02:00, did = "read", sg = 1.000 }
{ at = 2026-04-05T13:00:00+02:00, did = "pull", what = "fruit", loss_l = 0.3 }
{ at = 2026-04-12T13:00:00+02:00, did = "rack", volume_l = 4.9 }
"""


def test_a_fed_mead_comes_out_as_its_plan_said(cellar: Any, fermtui: Any) -> None:
    folder = cellar({})
    plan = fermtui(*SACK, "--json").json
    book = folder / "vessels/sack/daybook.toml"
    lines = SACK_LIVED.strip().splitlines()
    for upto, task in ((4, "feed-1"), (6, "feed-2")):  # what the list asks for is what the plan said
        book.write_text("\n".join(f"e{at:03d} = {line}" for at, line in enumerate(lines[:upto])) + "\n")
        day = "2026-03-10T12:30" if task == "feed-1" else "2026-03-14T12:30"
        due = {one["task"]: one for one in fermtui("due", "--json", "--on", day).json["tasks"]}
        planned = next(one for one in plan["additions"] if one["task"] == task)
        assert due[task]["state"] == "due"
        assert due[task]["amounts"]["honey_g"] == pytest.approx(planned["mass_g"], rel=0.02)
    book.write_text("\n".join(f"e{at:03d} = {line}" for at, line in enumerate(lines)) + "\n")
    shown = fermtui("show", "sack", "--json", "--on", "2026-04-21").json
    assert shown["abv_percent"] == pytest.approx(plan["abv_percent_at_end"], abs=0.1)
    assert shown["volume_l"] == pytest.approx(plan["volume_at_end_l"] / 0.96**2, rel=0.01)


def test_a_fruit_mead_comes_out_as_its_plan_said(cellar: Any, fermtui: Any) -> None:
    folder = cellar({})
    plan = fermtui(*[word for word in PLUM if word != "--dry-run"], "--json").json
    lines = DAMSON_LIVED.strip().splitlines()
    page = "\n".join(f"e{at:03d} = {line}" for at, line in enumerate(lines)) + "\n"
    (folder / "vessels/damson/daybook.toml").write_text(page)
    shown = fermtui("show", "damson", "--json", "--on", "2026-04-13").json
    assert shown["abv_percent"] == pytest.approx(plan["abv_percent_at_end"], abs=0.1)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--schedule", "two-doses", "--fruit", "plum"), "two-doses asks for no fruit"),
        (("--schedule", "fruit-when-dry"), "fruit-when-dry asks for fruit, and none is named"),
        (("--schedule", "fruit-to-bottle", "--fruit", "plum", "--sweet", "1.010"), "fruit-to-bottle sweetens nothing"),
        (("--schedule", "short-mead"), "a must that stops at 1.000"),
    ],
)
def test_what_the_schedule_has_no_step_for_is_said(
    cellar: Any, fermtui: Any, words: tuple[str, ...], says: str
) -> None:
    cellar({})
    plan = fermtui("start", "X", "--volume", "4L", "--gravity", "1.045", *words, "--dry-run", "--json", *ON).json
    assert any(says in note for note in plan["notes"])
    assert all(task["likely"] for task in plan["tasks"] if task["do"] == "bottle")


def test_the_first_taste_is_one_of_the_mead(cellar: Any, fermtui: Any) -> None:
    cellar({})
    words = ("start", "X", "--volume", "4L", "--gravity", "1.085", "--schedule", "oak", "--dry-run", *ON)
    told = fermtui(*words).out
    days = re.search(r"bottles about (\d+ \w+), first taste about (\d+ \w+)", told)
    assert days is not None
    tasks = {task["task"]: task["likely"] for task in fermtui(*words, "--json").json["tasks"]}
    assert tasks["taste-3"] > tasks["bottle"]
    assert days[2].split()[0] == str(int(tasks["taste-3"][8:10]))  # and not of the oak, which is tasted before
