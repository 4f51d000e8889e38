"""A weak sweet mead that no salts hold: the choice of a way is asked, and each way is gone to its end, never stuck.

Sorbate is known from 10 % vol on (Underhill). 50 pasteurising units for what has sugar in it, a calm of seven days and
four weeks in the cold are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from fermtui.units import METRIC
from fermtui.writing.wanted import read_sweetness

Cellar = Callable[[Mapping[str, str]], Path]
HEAD = """
    name = "Weak"
    capacity_l = 5.0
    schedule = "two-doses"
    [plan]
    volume_l = 4.0
    gravity = 1.060
    sweet = 1.012
    yeast = { demand = "medium", tolerance_abv = 14 }
"""
PAGE = """
    { at = 2026-01-01T10:00:00+01:00, did = "mix", volume_l = 4.0 }
    { at = 2026-01-01T11:00:00+01:00, did = "read", sg = 1.060, temp_c = 20, ph = 3.4 }
    { at = 2026-01-01T12:00:00+01:00, did = "pitch" }
    { at = 2026-01-20T12:00:00+01:00, did = "read", sg = 0.994, temp_c = 20 }
    { at = 2026-01-25T12:00:00+01:00, did = "read", sg = 0.994, temp_c = 20 }
    { at = 2026-01-30T12:00:00+01:00, did = "read", sg = 0.994, temp_c = 20 }
    { at = 2026-01-30T13:00:00+01:00, did = "rack", volume_l = 3.8 }
"""
HONEY = (
    PAGE
    + """
    { at = 2026-01-31T12:00:00+01:00, did = "chore", what = "heat the bottles" }
    { at = 2026-02-02T12:00:00+01:00, did = "sweeten", honey_g = 180 }
"""
)
FALLING = HONEY.replace('30T12:00:00+01:00, did = "read", sg = 0.994', '30T12:00:00+01:00, did = "read", sg = 0.990')
BOTTLED = HONEY + '{ at = 2026-02-02T14:00:00+01:00, did = "bottle", count = 5, size_ml = 750, left_l = 0 }\n'
BOTTLE = ("write", "weak", "bottle", "count=5", "size_ml=750")


def on(day: str, hour: int = 15) -> tuple[str, str]:
    return "--on", f"2026-{day}T{hour:02d}:00:00+01:00"


@pytest.fixture
def weak(cellar: Cellar) -> Callable[..., None]:
    """(daybook, more of the plan) -> the vessel."""

    def made(page: str = PAGE, plan: str = "") -> None:
        cellar({"vessels/weak/vessel.toml": HEAD + plan, "vessels/weak/daybook.toml": page})

    return made


def tasks_of(fermtui: Any, *clock: str) -> dict[str, Any]:
    return {task["task"]: task for task in fermtui("due", "--days", "400", "--json", *clock).json["tasks"]}


def lived(fermtui: Any, way: str, days: int = 330) -> list[tuple[str, str]]:
    """Do all that is due, the gravity read as it would be, and return what was done: (day, task)."""
    done: list[tuple[str, str]] = []
    sweet = False
    for day in range(1, days):
        at = datetime.fromisoformat("2026-01-31T15:00:00+01:00") + timedelta(days=day)
        for _ in range(8):
            clock = ("--on", at.isoformat())
            due = [t for t in fermtui("due", "--json", *clock).json["tasks"] if t["state"] in ("due", "late")]
            if not due:
                break
            task = due[0]
            words = ["tick", "weak", task["task"]]
            words += [f"what={way}"] if task["task"] == "ask-keep" else []
            words += ["score=14"] if task["do"] == "taste" else []
            words += [f"sg={1.012 if sweet else 0.994}", "temp_c=20"] if task["do"] == "read" else []
            ran = fermtui(*words, *clock)
            assert ran.status == 0, (task, ran.err)
            sweet = sweet or task["do"] == "sweeten"
            done.append((f"{at:%m-%d}", task["task"]))
            at += timedelta(minutes=20)
    return done


def test_the_choice_is_asked_once_it_could_be_stabilised_and_the_sweetening_waits(
    weak: Callable[..., None], fermtui: Any
) -> None:
    weak()
    early = tasks_of(fermtui, *on("01-31"))
    assert early["ask-keep"]["state"] == "coming"
    found = tasks_of(fermtui, *on("02-14"))
    assert found["ask-keep"]["state"] == "due"
    assert found["ask-keep"]["why"] == (
        "sorbate holds no mead of 8.7 % vol: sweeten in the glass, or write what = keep it dry, keep it cold or "
        "heat the bottles"
    )
    assert {found[key]["state"] for key in ("sulfite", "sorbate", "sweeten", "watch-1", "watch-2")} == {"waiting"}


@pytest.mark.parametrize(
    ("plan", "read"),
    [("gravity = 1.095\n", "1.095"), ("", "1.060")],
    ids=["strong enough", "weak"],
)
def test_only_what_no_salts_hold_has_to_choose(weak: Callable[..., None], fermtui: Any, plan: str, read: str) -> None:
    head = plan and plan.replace("gravity", "abv_percent").replace("1.095", "13")
    weak(PAGE.replace("1.060", read), head)
    assert ("ask-keep" in tasks_of(fermtui, *on("02-14"))) is (read == "1.060")


def test_acid_is_named_where_only_the_ph_stands_in_the_way(weak: Callable[..., None], fermtui: Any) -> None:
    sour = PAGE.replace("1.060", "1.095").replace("ph = 3.4", "ph = 3.8")
    weak(sour)
    why = tasks_of(fermtui, *on("02-14"))["ask-keep"]["why"]
    assert why.startswith("sorbate holds nothing at pH 3.8")
    assert why.endswith("or add acid and read the pH")
    assert fermtui("read", "weak", "pH 3.4", *on("02-14")).status == 0
    assert "ask-keep" not in tasks_of(fermtui, *on("02-14", 16))


def test_an_answer_that_names_no_way_is_refused(weak: Callable[..., None], fermtui: Any) -> None:
    weak()
    ran = fermtui("tick", "weak", "ask-keep", "what=somehow", *on("02-14"))
    assert ran.status == 1
    assert "somehow is no way to keep a mead sweet: write what = sweeten in the glass, keep it dry" in ran.err


@pytest.mark.parametrize(
    "words", [("tick", "weak", "ask-keep"), ("write", "weak", "skip", "task=ask-keep")], ids=["one key", "left out"]
)
def test_who_names_none_sweetens_in_the_glass(weak: Callable[..., None], fermtui: Any, words: tuple[str, ...]) -> None:
    weak()
    assert fermtui(*words, *on("02-14")).status == 0
    assert not {"ask-keep", "sweeten", "sulfite", "sorbate"} & tasks_of(fermtui, *on("02-14", 16)).keys()


def test_the_choice_can_be_taken_back(weak: Callable[..., None], fermtui: Any) -> None:
    weak()
    assert fermtui("tick", "weak", "ask-keep", "what=keep it cold", *on("02-14")).status == 0
    found = tasks_of(fermtui, *on("02-14", 16))
    assert "ask-keep" not in found
    assert "keep-cold" in found
    assert fermtui("strike", "weak", *on("02-14", 17)).status == 0
    assert tasks_of(fermtui, *on("02-14", 18))["ask-keep"]["state"] == "due"


@pytest.mark.parametrize("way", ["glass", "dry", "sweeten in the glass", "keep it dry"])
def test_in_the_glass_and_dry_it_is_bottled_without_honey(weak: Callable[..., None], fermtui: Any, way: str) -> None:
    weak()
    done = [task for _, task in lived(fermtui, way)]
    assert "bottle" in done
    assert done[-1] == "taste-6"
    assert not {"sweeten", "sulfite", "sorbate"} & set(done)


def test_in_the_cold_it_is_sweetened_and_drunk_and_never_bottled(weak: Callable[..., None], fermtui: Any) -> None:
    weak()
    done = lived(fermtui, "cold", 130)
    days = {task: day for day, task in reversed(done)}
    assert days["keep-cold"] == days["sweeten"]
    assert [task for _, task in done].count("drink") >= 4
    assert "bottle" not in days
    assert fermtui("write", "weak", "empty", "reason=drunk", *on("07-01")).status == 0
    assert not [t for t in tasks_of(fermtui, *on("07-02")).values() if t["state"] in ("due", "late", "coming")]


def test_in_the_heat_honey_bottles_and_bath_come_on_one_day(weak: Callable[..., None], fermtui: Any) -> None:
    weak()
    done = lived(fermtui, "heat")
    days = {task: day for day, task in reversed(done)}
    assert days["sweeten"] == days["bottle"] == days["pasteurise"]
    assert done[-1][1] == "taste-6"
    assert not {"sulfite", "sorbate", "watch-1"} & set(days)


def test_a_plan_may_name_the_way(cellar: Cellar, fermtui: Any) -> None:
    cellar({})
    words = ("start", "Weak", "--volume", "4L", "--gravity", "1.060", *on("01-01"))
    asked = fermtui(*words, "--sweet", "1.012", "--dry-run", "--json").json["notes"]
    assert len(asked) == 1
    assert "say behind the gravity how it is kept sweet" in asked[0]
    ran = fermtui(*words, "--sweet", "1.012 heat", "--json")
    assert "79 pasteurising units" in ran.json["notes"][0]  # 15 x 1.393^5
    keys = {task["task"] for task in ran.json["tasks"]}
    assert "pasteurise" in keys
    assert not keys & {"ask-keep", "sulfite", "sorbate"}
    wrong = fermtui(*words, "--sweet", "1.012 warm")
    assert (wrong.status, "glass, dry, cold, heat" in wrong.err) == (1, True)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("1.012", (1.012, None)), ("1.012 cold", (1.012, "cold")), (" 1,012  Heat ", (1.012, "heat")),
        ("3 Bx", (1.0117, None)),
    ],
)  # fmt: skip
def test_how_sweet_and_how_it_is_kept_so_are_read_together(text: str, meant: tuple[float, str | None]) -> None:
    found = read_sweetness(text, METRIC)
    assert found.sweet_to == pytest.approx(meant[0], abs=0.0003)
    assert found.keep == meant[1]


def test_a_head_that_names_another_way_is_a_problem(weak: Callable[..., None], fermtui: Any) -> None:
    weak(PAGE, 'keep = "warm"\n')
    assert "plan.keep is one of glass, dry, cold, heat" in fermtui("check").out + fermtui("check").err


def test_bottles_that_wait_for_the_heat_are_named_until_they_had_it(weak: Callable[..., None], fermtui: Any) -> None:
    weak(BOTTLED)
    assert [one["kind"] for one in fermtui("due", "--json", *on("02-02")).json["troubles"]] == ["live_bottles"]
    short = fermtui("tick", "weak", "pasteurise", "temp_c=62", "hours=0.1", *on("02-02"))
    assert short.status == 0
    assert "12 pasteurising units" in short.err  # 6 x 1.393^2 = 11.6
    assert fermtui("due", "--json", *on("02-02", 16)).json["troubles"]
    assert fermtui("write", "weak", "heat", "temp_c=65", "hours=0.25", *on("02-02", 17)).status == 0
    assert not fermtui("due", "--json", *on("02-02", 18)).json["troubles"]


@pytest.mark.parametrize(
    ("page", "day", "status"),
    [
        (HONEY, "02-02", 0),
        (HONEY, "02-04", 0),
        (HONEY, "02-06", 3),  # the honey may be at work by now
        (HONEY.replace("heat the bottles", "keep it cold"), "02-02", 3),
        (FALLING, "02-02", 3),
    ],
)
def test_only_what_has_made_no_gas_is_bottled_for_the_heat(
    weak: Callable[..., None], fermtui: Any, page: str, day: str, status: int
) -> None:
    weak(page)
    ran = fermtui(*BOTTLE, *on(day, 11 if day > "02-02" else 15))
    assert ran.status == status
    if status == 0:
        assert "Heat the bottles today: 15 minutes at 65 °C inside" in ran.err


@pytest.mark.parametrize(
    ("page", "heat", "status"),
    [
        (BOTTLED, ("temp_c=65", "hours=0.25"), 0),
        (BOTTLED, ("temp_c=80", "hours=0.25"), 3),  # hotter than a full bottle bears
        (BOTTLED.replace("heat the bottles", "keep it cold"), ("temp_c=65", "hours=0.25"), 3),
        (BOTTLED.replace("left_l = 0", 'left_l = 0, glass = "beer"'), ("temp_c=65", "hours=0.25"), 3),
    ],
)
def test_only_still_bottles_that_wait_for_it_are_heated(
    weak: Callable[..., None], fermtui: Any, page: str, heat: tuple[str, ...], status: int
) -> None:
    weak(page)
    assert fermtui("write", "weak", "heat", *heat, *on("02-02")).status == status
