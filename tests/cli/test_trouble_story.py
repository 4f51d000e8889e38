"""A stalled ferment lived through the commands: look, warm and swirl, restart, take it for its end; then rack it."""

from __future__ import annotations

from typing import Any

import pytest

HEAD = """
name = "Buckwheat"
capacity_l = 5.0
schedule = "{schedule}"
[plan]
volume_l = 4.2
gravity = 1.099
end = 1.000
temp_c = 19
yeast = {{ demand = "medium", tolerance_abv = {tolerance} }}
"""
PITCHED = """
{ at = 2026-03-01T18:00:00+01:00, did = "mix", volume_l = 4.2, honey_g = 1300 }
{ at = 2026-03-01T18:10:00+01:00, did = "read", sg = 1.099, temp_c = 20 }
{ at = 2026-03-01T19:00:00+01:00, did = "pitch", temp_c = 20 }
"""
STALLED = PITCHED + """
{ at = 2026-03-03T19:00:00+01:00, did = "dose", dap_g = 1.1, autolysate_g = 1.5, task = "dose-1" }
{ at = 2026-03-06T19:00:00+01:00, did = "read", sg = 1.070, temp_c = 19, ph = 3.1 }
{ at = 2026-03-12T19:00:00+01:00, did = "read", sg = 1.034, temp_c = 15 }
{ at = 2026-03-15T19:00:00+01:00, did = "read", sg = 1.032, temp_c = 18 }
{ at = 2026-03-19T19:00:00+01:00, did = "read", sg = 1.031, temp_c = 19 }
{ at = 2026-03-23T19:00:00+01:00, did = "read", sg = 1.031, temp_c = 19 }
"""


@pytest.fixture
def buckwheat(cellar: Any) -> Any:
    """(page, schedule, tolerance) -> the cellar with that vessel in it."""

    def made(page: str, schedule: str = "two-doses", tolerance: float = 14.0) -> Any:
        head = HEAD.format(schedule=schedule, tolerance=tolerance)
        return cellar({"vessels/buckwheat/vessel.toml": head, "vessels/buckwheat/daybook.toml": page})

    return made


def checks(fermtui: Any, on: str) -> list[str]:
    """The rows above all others."""
    return [line for line in fermtui("due", "--on", on).out.splitlines() if line.startswith("CHECK")]


def states(fermtui: Any, on: str) -> dict[str, str]:
    return {task["task"]: task["state"] for task in fermtui("due", "--on", on, "--json").json["tasks"]}


def test_a_stall_is_the_first_row_everywhere(buckwheat: Any, fermtui: Any) -> None:
    buckwheat(STALLED)
    on = "2026-03-24T12:00"
    told = fermtui("due", "--on", on).out.splitlines()
    assert told[0].endswith("1 to check")
    assert "Buckwheat" in told[1]
    assert "stalled: look at it" in told[1]
    (trouble,) = fermtui("due", "--on", on, "--json").json["troubles"]
    assert (trouble["vessel"], trouble["kind"], trouble["task"]) == ("buckwheat", "stalled", "trouble-look")
    assert trouble["chance"] > 0.5
    shown = fermtui("show", "buckwheat", "--on", on, "--json").json
    assert shown["troubles"] == [trouble]
    assert "SUMMARY:CHECK: Buckwheat: stalled: look at it" in fermtui("calendar", "--on", on).out
    said = fermtui("show", "buckwheat", "--on", on).out
    for line in ("15 °C within the last two weeks", "35 % of the need", "pH: 3.10 is low", "9.1 % vol, well below"):
        assert line in said


def test_what_would_make_it_worse_waits(buckwheat: Any, fermtui: Any) -> None:
    buckwheat(STALLED, "strong-step-fed")
    seen = states(fermtui, "2026-03-24T12:00")
    waiting = {key for key in ("feed-1", "feed-2", "rack-1", "bottle") if seen[key] == "waiting"}
    assert waiting == {"feed-1", "feed-2", "rack-1", "bottle"}
    told = fermtui("due", "--on", "2026-03-24T12:00").out
    assert "feed" not in told, "the list does not ask for sugar while the check list forbids it"


def test_the_acts_come_one_after_the_other(buckwheat: Any, fermtui: Any) -> None:
    buckwheat(STALLED)
    assert fermtui("tick", "buckwheat", "trouble-look", "--on", "2026-03-24T18:00").status == 0
    assert "warm and swirl" in checks(fermtui, "2026-03-24T19:00")[0]
    assert fermtui("tick", "buckwheat", "trouble-warm", "--on", "2026-03-24T20:00").status == 0
    assert checks(fermtui, "2026-03-25T12:00") == [], "three days of rest"
    assert "take a gravity" in checks(fermtui, "2026-03-27T21:00")[0]
    assert fermtui("read", "buckwheat", "1.031 20", "--on", "2026-03-27T21:00").status == 0
    (row,) = checks(fermtui, "2026-03-27T22:00")
    assert "restart with a starter" in row
    assert "2.1 g yeast" in row  # half a gram a litre into 4.2 L
    assert fermtui("tick", "buckwheat", "trouble-restart", "--on", "2026-03-28T18:00").status == 0
    assert fermtui("read", "buckwheat", "1.031 20", "--on", "2026-04-01T18:00").status == 0
    assert "this is its end" in checks(fermtui, "2026-04-01T20:00")[0]


def test_its_end_needs_a_reason_lets_it_go_on_and_is_taken_back(buckwheat: Any, fermtui: Any) -> None:
    buckwheat(STALLED)
    on, later = "2026-03-24T12:00", "2026-03-24T13:00"
    assert fermtui("tick", "buckwheat", "trouble-end", "--on", on).status == 1
    elsewhere = fermtui("tick", "buckwheat", "trouble-end", "sg=1.020", "reason=done", "--on", on)
    assert (elsewhere.status, "the last reading is 1.031" in elsewhere.err.lower()) == (3, True)
    assert fermtui("tick", "buckwheat", "trouble-end", "reason=nothing moves it", "--on", on).status == 0
    shown = fermtui("show", "buckwheat", "--on", later, "--json").json
    assert (shown["trouble"], shown["troubles"], shown["stage"]) == (None, [], "clearing")
    assert shown["end_gravity"] == 1.031
    assert states(fermtui, later)["rack-1"] == "due"
    assert states(fermtui, later)["dose-2"] == "dropped"
    refused = fermtui("write", "buckwheat", "bottle", "count=5", "size_ml=750", "--on", later)
    assert refused.status == 3, "an end that somebody stated bottles nothing before its time"
    assert "60 days" in refused.err
    assert fermtui("strike", "buckwheat", "--on", later).status == 0
    assert "stalled: look at it" in checks(fermtui, "2026-03-24T14:00")[0]


def test_the_same_entry_without_the_task(buckwheat: Any, fermtui: Any) -> None:
    buckwheat(STALLED)
    wrote = fermtui("write", "buckwheat", "end", "sg=1.031", "reason=the yeast is done", "--on", "2026-03-24T12:00")
    assert wrote.status == 0, wrote.err
    assert states(fermtui, "2026-03-24T13:00")["rack-1"] == "due"


def test_more_honey_takes_the_word_back(buckwheat: Any, fermtui: Any) -> None:
    buckwheat(STALLED)
    fermtui("write", "buckwheat", "end", "sg=1.031", "reason=done", "--on", "2026-03-24T12:00")
    fermtui("write", "buckwheat", "feed", "honey_g=100", "--on", "2026-03-25T12:00")
    assert fermtui("show", "buckwheat", "--on", "2026-03-25T13:00", "--json").json["end_gravity"] == 1.0
    assert states(fermtui, "2026-03-25T13:00")["rack-1"] != "due"


def test_near_its_tolerance_no_second_yeast_is_asked_for(buckwheat: Any, fermtui: Any) -> None:
    buckwheat(STALLED, tolerance=10.0)
    seen = states(fermtui, "2026-03-24T12:00")
    assert "trouble-end" in seen
    assert "trouble-restart" not in seen
    assert "rather take this for its end" in fermtui("show", "buckwheat", "--on", "2026-03-24T12:00").out


def test_a_must_that_never_started_is_asked_about(buckwheat: Any, fermtui: Any) -> None:
    buckwheat(PITCHED + '{ at = 2026-03-05T19:00:00+01:00, did = "read", sg = 1.0985, temp_c = 19 }\n')
    (row,) = checks(fermtui, "2026-03-05T20:00")
    assert "not started: look at it" in row
    seen = states(fermtui, "2026-03-05T20:00")
    assert seen["rack-1"] == "waiting"
    assert "trouble-end" not in seen, "a must is no mead"


def test_a_revived_ferment_is_neither_stalled_nor_finished(buckwheat: Any, fermtui: Any) -> None:
    page = PITCHED + """
        { at = 2026-03-06T19:00:00+01:00, did = "read", sg = 1.070, temp_c = 19 }
        { at = 2026-03-16T19:00:00+01:00, did = "read", sg = 1.041, temp_c = 19 }
        { at = 2026-03-21T19:00:00+01:00, did = "read", sg = 1.041, temp_c = 19 }
        { at = 2026-03-22T19:00:00+01:00, did = "heat", temp_c = 21 }
        { at = 2026-03-26T19:00:00+01:00, did = "read", sg = 1.034, temp_c = 21 }
        { at = 2026-03-30T19:00:00+02:00, did = "read", sg = 1.027, temp_c = 21 }
    """
    buckwheat(page)
    assert checks(fermtui, "2026-03-31T12:00") == []
    shown = fermtui("show", "buckwheat", "--on", "2026-03-31T12:00", "--json").json
    assert shown["trouble"] is None
    assert shown["forecast"]["finished"] < 0.5
    assert shown["forecast"]["stalled"] <= 0.5


def test_an_act_is_put_off_and_left_out_like_any_other(buckwheat: Any, fermtui: Any) -> None:
    buckwheat(STALLED)
    put_off = ("write", "buckwheat", "postpone", "task=trouble-look", "until=2026-03-26", "reason=away")
    assert fermtui(*put_off, "--on", "2026-03-24T12:00").status == 0
    assert checks(fermtui, "2026-03-25T12:00") == []
    assert len(checks(fermtui, "2026-03-26T12:00")) == 1
    for key in ("trouble-look", "trouble-warm", "trouble-read", "trouble-restart", "trouble-read-2"):
        skip = ("write", "buckwheat", "skip", f"task={key}", "reason=tried before")
        assert fermtui(*skip, "--on", "2026-03-26T12:00").status == 0
    assert "this is its end" in checks(fermtui, "2026-03-26T13:00")[0]
    assert fermtui("write", "buckwheat", "skip", "task=trouble-end", "--on", "2026-03-26T13:00").status == 0
    assert checks(fermtui, "2026-03-27T12:00") == []
    assert "look at it" in checks(fermtui, "2026-04-02T14:00")[0], "a week later it is asked anew"


def test_where_the_second_yeast_does_not_start_either_the_round_begins_anew(buckwheat: Any, fermtui: Any) -> None:
    page = PITCHED
    for day in ("05", "07", "11", "15"):
        page += f'{{ at = 2026-03-{day}T19:00:00+01:00, did = "read", sg = 1.0985, temp_c = 19 }}\n'
    for day in ("08", "12"):
        page += f'{{ at = 2026-03-{day}T19:00:00+01:00, did = "pitch", yeast_g = 2.1 }}\n'
    buckwheat(page)
    assert "look at it" in checks(fermtui, "2026-03-15T20:00")[0]
    for key in ("look", "warm"):
        assert fermtui("tick", "buckwheat", f"trouble-{key}", "--on", "2026-03-15T21:00").status == 0
    assert "take a gravity" in checks(fermtui, "2026-03-16T21:00")[0]
    later = page.replace("2026-03-15", "2026-03-13")  # too early after the second pitch to tell
    buckwheat(later)
    assert states(fermtui, "2026-03-13T20:00")["trouble-read-2"] == "coming"


def test_an_end_is_not_asked_for_before_it_stands_still(buckwheat: Any, fermtui: Any) -> None:
    page = PITCHED + '{ at = 2026-03-06T19:00:00+01:00, did = "read", sg = 1.070, temp_c = 20 }\n'
    for day, sg in (("12", 1.0345), ("15", 1.0334), ("19", 1.0322), ("23", 1.0310), ("28", 1.0298)):
        page += f'{{ at = 2026-03-{day}T19:00:00+01:00, did = "read", sg = {sg}, temp_c = 20 }}\n'
    for key in ("warm", "read", "restart", "read-2"):
        page += f'{{ at = 2026-03-28T19:30:00+01:00, did = "skip", task = "trouble-{key}" }}\n'
    buckwheat(page)
    seen = states(fermtui, "2026-03-28T20:00")  # it creeps: a stall, but no three days of calm
    assert (seen["trouble-end"], seen["trouble-read-3"]) == ("waiting", "coming")
    told = fermtui("tick", "buckwheat", "trouble-end", "reason=done", "--on", "2026-03-28T20:00")
    assert (told.status, "over 3 days" in told.err) == (3, True)


def test_after_a_restart_a_gravity_is_asked_for_until_one_tells(buckwheat: Any, fermtui: Any) -> None:
    page = PITCHED + '{ at = 2026-03-06T19:00:00+01:00, did = "read", sg = 1.070, temp_c = 20 }\n'
    for day, sg in (("12", 1.0345), ("15", 1.0334), ("19", 1.0322)):  # a stall by the forecast, not by seven calm days
        page += f'{{ at = 2026-03-{day}T19:00:00+01:00, did = "read", sg = {sg}, temp_c = 20 }}\n'
    buckwheat(page + '{ at = 2026-03-20T19:00:00+01:00, did = "pitch", yeast_g = 2.1 }\n')
    assert states(fermtui, "2026-03-21T12:00")["trouble-read-2"] == "coming"
    (row,) = checks(fermtui, "2026-03-24T20:00")
    assert "restarted: take a gravity" in row
    assert fermtui("tick", "buckwheat", "trouble-read-2", "sg=1.026", "--on", "2026-03-24T20:00").status == 0
    assert "trouble-read-2" not in states(fermtui, "2026-03-24T21:00")


def test_one_fall_after_a_stall_is_told_and_the_next_reading_decides(buckwheat: Any, fermtui: Any) -> None:
    fell = '{ at = 2026-03-22T12:00:00+01:00, did = "read", sg = 1.030, temp_c = 21 }\n'
    page = PITCHED + "".join(
        f'{{ at = 2026-03-{day:02}T12:00:00+01:00, did = "read", sg = {sg}, temp_c = 18 }}\n'
        for day, sg in ((4, 1.070), (7, 1.041), (11, 1.040), (15, 1.040), (18, 1.040))
    )
    buckwheat(page)

    def row_on(day: str) -> str:
        lines = fermtui("due", "--on", f"2026-03-{day}T20:00:00+01:00").out.splitlines()
        return next((line for line in lines if "stalled" in line), "")

    assert "stands still at 1.039" in row_on("18")  # at 20 °C
    buckwheat(page + fell)
    assert "has fallen to 1.030: one more reading tells" in row_on("22")
    buckwheat(page + fell + fell.replace("03-22", "03-25").replace("1.030", "1.022"))
    assert row_on("25") == ""
