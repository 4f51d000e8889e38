"""The JSON is a promise to scripts: exactly these keys, nulls for what is not known, times with their offset."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

OFFSET = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d\d:\d\d\Z")
HEAD = """
name = "Damson"
capacity_l = 5.0
schedule = "fruit-when-dry"
[plan]
volume_l = 4.0
gravity = 1.099
temp_c = 20
fruit = { kind = "plum", mass_g = 500 }
doses = { dap_g = 2.2, autolysate_g = 4.0 }
"""
RUNNING = """
{ at = 2026-03-01T17:30:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1250 }
{ at = 2026-03-01T18:00:00+01:00, did = "read", sg = 1.099, temp_c = 20 }
{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }
{ at = 2026-03-03T19:00:00+01:00, did = "dose", dap_g = 1.1, autolysate_g = 2.0, task = "dose-1" }
{ at = 2026-03-05T19:00:00+01:00, did = "read", sg = 1.070, temp_c = 20 }
"""
VESSEL_KEYS = {
    "vessel", "name", "stage", "trouble", "day", "volume_l", "headspace_l", "gravity", "abv_percent", "abv_plus_minus",
    "sugar_spent_percent", "refermentable_g_per_l", "refermentable_plus_minus", "readings", "entries", "forecast",
    "forecast_reason",
}  # fmt: skip
FURTHER_KEYS = {
    "schema_version",
    "troubles", "end_gravity", "container", "gravity_from", "original_gravity", "g0", "speed_sg_per_day", "notes",
    "problems", "sensors", "so2",
}  # fmt: skip
STATES = {"waiting", "coming", "due", "late", "done", "dropped"}


@pytest.fixture
def damson(cellar: Any) -> Path:
    folder: Path = cellar({"vessels/damson/vessel.toml": HEAD, "vessels/damson/daybook.toml": RUNNING})
    return folder


def instants(value: Any, name: str = "") -> Iterator[str]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from instants(inner, key)
    elif isinstance(value, list):
        for inner in value:
            yield from instants(inner, name)
    elif isinstance(value, str) and name in ("on", "at", "earliest", "likely", "latest", "done_at"):
        yield value


@pytest.mark.usefixtures("damson")
def test_due(fermtui: Any) -> None:
    ran = fermtui("due", "--on", "2026-03-06T08:00:00+01:00", "--json")
    assert (ran.status, ran.err) == (0, "")
    assert set(ran.json) == {"schema_version", "on", "troubles", "tasks", "problems"}
    assert ran.json["on"] == "2026-03-06T08:00:00+01:00"
    for task in ran.json["tasks"]:
        assert {"vessel", "task", "do", "state", "earliest", "likely", "latest", "why", "amounts", "guard"} <= set(task)
        assert set(task) - {"what", "say", "done_at"} <= {
            "vessel", "task", "do", "state", "earliest", "likely", "latest", "why", "amounts", "guard"
        }  # fmt: skip
        assert task["state"] in STATES
        assert task["why"]
    by_key = {task["task"]: task for task in ran.json["tasks"]}
    assert by_key["dose-2"]["state"] == "due"
    assert by_key["dose-2"]["amounts"] == {"dap_g": 1.1, "autolysate_g": 2.0}
    assert by_key["dose-1"]["done_at"] == "2026-03-03T19:00:00+01:00"
    assert by_key["dose-1"]["earliest"] is None
    times = list(instants(ran.json))
    assert len(times) > 10
    assert all(OFFSET.match(at) for at in times)


@pytest.mark.usefixtures("damson")
def test_days_narrows_what_is_coming(fermtui: Any) -> None:
    def coming(*words: str) -> set[str]:
        found = fermtui("due", "--json", "--on", "2026-03-05", *words).json["tasks"]
        return {task["task"] for task in found if task["state"] == "coming"}

    assert "dose-2" in coming("--days", "1")
    assert "dose-2" not in coming("--days", "0")
    assert coming("--days", "0") < coming("--days", "1") < coming()


@pytest.mark.usefixtures("damson")
def test_show_one(fermtui: Any) -> None:
    ran = fermtui("show", "damson", "--on", "2026-03-06", "--json")
    assert (ran.status, ran.err) == (0, "")
    seen = ran.json
    assert set(seen) == VESSEL_KEYS | FURTHER_KEYS
    assert (seen["vessel"], seen["name"], seen["stage"], seen["trouble"]) == ("damson", "Damson", "fermenting", None)
    assert (seen["day"], seen["gravity"], seen["container"]) == (5, 1.07, None)
    assert seen["volume_l"] == pytest.approx(4.0, abs=0.02)  # fermented mead takes up a little less room
    assert seen["headspace_l"] == pytest.approx(1.0, abs=0.02)
    assert seen["sugar_spent_percent"] == pytest.approx(100 * 29 / 99, abs=0.1)
    assert 3.5 < seen["abv_percent"] < 4.2
    assert [reading["sg"] for reading in seen["readings"]] == [1.099, 1.07]
    assert [entry["did"] for entry in seen["entries"]] == ["mix", "read", "pitch", "dose", "read"]
    assert seen["entries"][3] == {
        "key": "e003", "at": "2026-03-03T19:00:00+01:00", "did": "dose", "dap_g": 1.1, "autolysate_g": 2.0,
        "task": "dose-1", "struck": False,
    }  # fmt: skip
    forecast = seen["forecast"]
    assert {"finish", "crossings", "band", "finished", "stalled", "slow"} <= set(forecast)
    assert set(forecast["finish"]) == {"earliest", "likely", "latest"}
    assert set(forecast["band"][0]) == {"at", "low", "likely", "high"}
    assert set(forecast["crossings"]) == {"third_break", "half", "two_thirds"}
    assert seen["forecast_reason"] is None
    assert all(OFFSET.match(at) for at in instants(seen))


def test_what_is_not_known_is_null(cellar: Any, fermtui: Any) -> None:
    cellar({"vessels/bare/vessel.toml": 'name = "Bare"'})
    seen = fermtui("show", "bare", "--on", "2026-03-06", "--json").json
    unknown = VESSEL_KEYS - {"vessel", "name", "stage", "readings", "entries", "forecast_reason"}
    assert {name: seen[name] for name in unknown} == dict.fromkeys(unknown)
    assert (seen["readings"], seen["entries"]) == ([], [])
    assert seen["forecast_reason"]


@pytest.mark.usefixtures("damson")
@pytest.mark.parametrize(("on", "day"), [("2026-03-01T18:30:00+01:00", 0), ("2026-03-01T23:59:59+01:00", 0),
                                         ("2026-03-02T00:00:00+01:00", 1), ("2026-03-01T23:30:00Z", 1)])  # fmt: skip
def test_the_day_of_pitching_is_day_nought_in_the_zone_of_the_cellar(fermtui: Any, on: str, day: int) -> None:
    assert fermtui("show", "damson", "--on", on, "--json").json["day"] == day


@pytest.mark.usefixtures("damson")
def test_before_pitching_there_is_no_day_and_later_entries_are_left_out(fermtui: Any) -> None:
    seen = fermtui("show", "damson", "--on", "2026-03-01T18:10:00+01:00", "--json").json
    assert (seen["day"], seen["stage"], seen["gravity"]) == (None, "must", 1.099)
    assert [entry["did"] for entry in seen["entries"]] == ["mix", "read"]
    assert seen["forecast_reason"] == "nothing has been pitched yet"


def test_show_all(cellar: Any, fermtui: Any) -> None:
    cellar({
        "vessels/damson/vessel.toml": HEAD, "vessels/damson/daybook.toml": RUNNING,
        "vessels/rowan/vessel.toml": 'name = "Rowan"', "past/old/vessel.toml": 'name = "Old"',
    })  # fmt: skip
    ran = fermtui("show", "--on", "2026-03-06", "--json")
    assert set(ran.json) == {"schema_version", "on", "vessels", "problems"}
    assert [seen["vessel"] for seen in ran.json["vessels"]] == ["damson", "rowan"]
    each = VESSEL_KEYS | FURTHER_KEYS - {"schema_version"}  # which stands once, above them
    assert all(set(seen) == each for seen in ran.json["vessels"])
    alone = fermtui("show", "damson", "--on", "2026-03-06", "--json").json
    assert {"schema_version": 1, **ran.json["vessels"][0]} == alone
    past = fermtui("show", "old", "--on", "2026-03-06", "--json")
    assert (past.status, past.json["forecast_reason"]) == (0, "it has been put away")


def test_a_stall_is_trouble_and_no_stage(cellar: Any, fermtui: Any) -> None:
    stuck = "".join(
        f'{{ at = 2026-03-{day}T19:00:00+01:00, did = "read", sg = 1.0{sg}, temp_c = 19 }}\n'
        for day, sg in ((10, 45), (14, 35), (18, 34), (21, 34), (25, 34))
    )
    cellar({"vessels/damson/vessel.toml": HEAD, "vessels/damson/daybook.toml": RUNNING + stuck})
    seen = fermtui("show", "damson", "--on", "2026-03-26", "--json").json
    assert (seen["stage"], seen["trouble"]) == ("fermenting", "stalled")


@pytest.mark.usefixtures("damson")
def test_the_same_entries_and_clock_give_the_same_bytes(fermtui: Any, tmp_path: Path) -> None:
    calls = [("due", "--json"), ("show", "--json"), ("show", "damson", "--json"), ("show", "damson"), ("due",)]
    cold = [fermtui(*call, "--on", "2026-03-06").out for call in calls]
    assert [fermtui(*call, "--on", "2026-03-06").out for call in calls] == cold
    caches = sorted((tmp_path / "cache").iterdir())
    assert caches
    for spoilt in (b"", b"{", b"[1, 2]", b'{"a": 1}', b"\xff\xfe", json.dumps({"x": [None] * 5}).encode()):
        for cache in caches:
            cache.write_bytes(spoilt)
        assert [fermtui(*call, "--on", "2026-03-06").out for call in calls] == cold


@pytest.mark.usefixtures("damson")
def test_a_cache_whose_values_were_twisted_changes_nothing(fermtui: Any, tmp_path: Path) -> None:
    calls = [("due", "--json"), ("show", "damson", "--json")]
    cold = [fermtui(*call, "--on", "2026-03-06").out for call in calls]
    for cache in sorted((tmp_path / "cache").iterdir()):
        text = cache.read_text()
        for old, new in (("1.07", "1.09"), ("damson", "rowan"), ("null", '"x"'), ("[", "[[],")):
            cache.write_text(text.replace(old, new))
            assert [fermtui(*call, "--on", "2026-03-06").out for call in calls] == cold


@pytest.mark.usefixtures("damson")
def test_what_is_written_is_told_as_json(fermtui: Any) -> None:
    ran = fermtui("read", "damson", "1.064", "21", "--on", "2026-03-06T19:00:00+01:00", "--json")
    assert set(ran.json) == {"vessel", "entry", "did", "at", "fields", "also"}
    assert ran.json["fields"] == {"sg": 1.064, "temp_c": 21.0}
    assert (ran.json["at"], ran.json["also"]) == ("2026-03-06T19:00:00+01:00", [])


def test_start_tells_its_plan(cellar: Any, fermtui: Any) -> None:
    cellar({})
    plan = fermtui("start", "Sloe", "--volume", "4L", "--gravity", "1.095", "--dry-run", "--json").json
    assert {"vessel", "name", "schedule", "volume_l", "gravity", "honey_g", "water_l", "yeast_g", "doses"} <= set(plan)
    assert (plan["vessel"], plan["room_l"], plan["notes"]) == ("sloe", None, [])


@pytest.mark.usefixtures("damson")
def test_check(fermtui: Any) -> None:
    assert fermtui("check", "--json").json == {"problems": [], "one_moment": []}
