"""Needs: what coming tasks use up, less what was counted, less what was used since then in any vessel."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

Cellar = Callable[[Mapping[str, str]], Path]

SETTINGS = """
timezone = "Europe/Vienna"
[stock]
counted = 2026-04-20
honey_g = 2000
dap_g = 10
yeast_g = 1
fruit_g = { plums = 300 }
closures = { screw_cap = 3 }
[[bottle]]
size_ml = 750
count = 2
"""
ROWAN = """
name = "Rowan"
schedule = "two-doses"
[plan]
volume_l = 4.0
gravity = 1.095
doses = { dap_g = 3.0, autolysate_g = 4.0 }
"""
DAMSON = """
name = "Damson"
schedule = "fruit-to-bottle"
[plan]
volume_l = 4.0
gravity = 1.080
fruit = { kind = "plum", mass_g = 500, treatment = "frozen" }
"""
DRY = """
{ at = 2026-04-10T10:00:00+02:00, did = "mix", volume_l = 4.0, honey_g = 1000 }
{ at = 2026-04-10T10:10:00+02:00, did = "read", sg = 1.080, temp_c = 20 }
{ at = 2026-04-10T10:20:00+02:00, did = "pitch", yeast_g = 2 }
{ at = 2026-04-12T10:00:00+02:00, did = "dose", dap_g = 1, autolysate_g = 1 }
{ at = 2026-04-15T10:00:00+02:00, did = "dose", dap_g = 1, autolysate_g = 1 }
{ at = 2026-04-24T10:00:00+02:00, did = "read", sg = 1.000, temp_c = 20 }
{ at = 2026-04-27T10:00:00+02:00, did = "read", sg = 1.000, temp_c = 20 }
{ at = 2026-04-30T10:00:00+02:00, did = "read", sg = 1.000, temp_c = 20 }
"""
GONE = """
{ at = 2026-04-18T10:00:00+02:00, did = "feed", honey_g = 400 }
{ at = 2026-04-20T23:30:00+02:00, did = "feed", honey_g = 50 }
{ at = 2026-04-21T10:00:00+02:00, did = "feed", honey_g = 300 }
typo = { at = 2026-04-22T10:00:00+02:00, did = "feed", honey_g = 900 }
{ at = 2026-04-22T10:05:00+02:00, did = "strike", entry = "typo" }
{ at = 2026-04-23T10:00:00+02:00, did = "fruit", kind = "plum", mass_g = 100 }
{ at = 2026-05-09T10:00:00+02:00, did = "feed", honey_g = 5 }
"""


@pytest.fixture
def pages(cellar: Cellar) -> Path:
    return cellar({
        "cellar.toml": SETTINGS,
        "vessels/rowan/vessel.toml": ROWAN,
        "vessels/damson/vessel.toml": DAMSON,
        "vessels/damson/daybook.toml": DRY,
        "past/old/vessel.toml": 'name = "Old"\n',
        "past/old/daybook.toml": GONE,
    })  # fmt: skip


def by_item(found: Any) -> dict[str, Any]:
    return {need["item"]: need for need in found["needs"]}


@pytest.mark.usefixtures("pages")
def test_what_is_wanted_is_what_the_tasks_ask_for(fermtui: Any) -> None:
    found = by_item(fermtui("needs", "--json", "--on", "2026-05-01").json)
    assert found["plum"]["wanted"] == 500
    assert found["plum"]["for"] == [{"vessel": "damson", "task": "fruit", "amount": 500.0}]
    assert found["dap"]["wanted"] == 3.0
    assert [one["task"] for one in found["dap"]["for"]] == ["dose-1", "dose-2"]
    assert found["yeast"]["wanted"] == 2.0
    assert [one["vessel"] for one in found["honey"]["for"]] == ["rowan"]


@pytest.mark.usefixtures("pages")
def test_stock_is_what_was_counted_less_the_use_since_in_past_vessels_too(fermtui: Any) -> None:
    found = by_item(fermtui("needs", "--json", "--on", "2026-05-01").json)
    # Of the six feeds and fruits: one was before the count, one on its day, one struck, one is still to come.
    assert found["honey"]["in_stock"] == 2000 - 300
    assert found["plum"]["in_stock"] == 300 - 100
    assert found["plum"]["missing"] == 300
    assert found["dap"]["in_stock"] == 10
    assert found["dap"]["missing"] == 0
    assert found["yeast"]["missing"] == 1


@pytest.mark.usefixtures("pages")
def test_what_nobody_counted_is_null(fermtui: Any) -> None:
    found = by_item(fermtui("needs", "--json", "--on", "2026-05-01").json)
    assert found["autolysate"]["in_stock"] is None
    assert found["autolysate"]["missing"] is None
    line = next(line for line in fermtui("needs", "--on", "2026-05-01").out.splitlines() if "autolysate" in line)
    assert line.split() == ["autolysate", "4.0", "g", "not", "counted", "?", "Rowan"]


@pytest.mark.usefixtures("pages")
def test_a_shorter_span_asks_for_less(fermtui: Any) -> None:
    found = fermtui("needs", "--days", "3", "--json", "--on", "2026-05-01").json
    assert by_item(found)["dap"]["wanted"] == 1.5
    assert found["until"] == "2026-05-04T12:00:00+02:00"


def test_bottles_and_closures_count_by_the_piece(cellar: Cellar, fermtui: Any) -> None:
    ripe = (
        DRY
        + """
    { at = 2026-04-25T10:00:00+02:00, did = "skip", task = "fruit", reason = "no plums" }
    { at = 2026-04-30T10:30:00+02:00, did = "skip", task = "pull" }
    """
    )
    cellar({"cellar.toml": SETTINGS, "vessels/damson/vessel.toml": DAMSON.replace("fruit =", "# fruit ="),
            "vessels/damson/daybook.toml": ripe})  # fmt: skip
    found = fermtui("needs", "--json", "--on", "2026-05-01").json
    both = {need["item"]: need for need in found["needs"] + found["undated"]}
    assert both["bottle 750 mL"]["unit"] == "pieces"
    assert both["bottle 750 mL"]["wanted"] == 5
    assert both["closure"]["wanted"] == 5


def test_more_used_than_counted_says_so(cellar: Cellar, fermtui: Any) -> None:
    cellar({"cellar.toml": SETTINGS.replace("honey_g = 2000", "honey_g = 100"), "vessels/rowan/vessel.toml": ROWAN,
            "past/old/vessel.toml": 'name = "Old"', "past/old/daybook.toml": GONE})  # fmt: skip
    found = fermtui("needs", "--json", "--on", "2026-05-01").json
    assert by_item(found)["honey"]["in_stock"] == 0
    assert found["notes"] == ["more honey was used since 2026-04-20 than was counted: count again"]


@pytest.mark.usefixtures("pages")
@pytest.mark.parametrize(("words", "status"), [(("--days", "x"), 2), (("--days", "-1"), 2), (("--days", "99999"), 2),
                                               (("rowan",), 2), (("--days", "٣"), 2)])  # fmt: skip
def test_bad_input_is_one_sentence(fermtui: Any, words: tuple[str, ...], status: int) -> None:
    ran = fermtui("needs", *words)
    assert ran.status == status
    assert ran.err.count("\n") == 1
    assert not ran.out


def test_an_empty_cellar_needs_nothing(cellar: Cellar, fermtui: Any) -> None:
    cellar({})
    ran = fermtui("needs")
    assert ran.status == 0
    assert "nothing is used up by then" in ran.out
