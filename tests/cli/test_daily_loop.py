"""The daily loop by commands: start, pitch, see what is due, tick it off, read, take back."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from fermtui.daybook import append

HEAD = 'name = "Damson"\nschedule = "two-doses"\n[plan]\nvolume_l = 4.0\ngravity = 1.099\ndoses = { dap_g = 2.2 }'
PITCHED = """
{ at = 2026-03-01T18:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1250 }
{ at = 2026-03-01T18:10:00+01:00, did = "read", sg = 1.099, temp_c = 20 }
{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }
"""


@pytest.fixture
def page(cellar: Any) -> Path:
    folder: Path = cellar({"vessels/damson/vessel.toml": HEAD, "vessels/damson/daybook.toml": PITCHED})
    return folder / "vessels/damson/daybook.toml"


def task(fermtui: Any, key: str, on: str, vessel: str = "damson") -> dict[str, Any]:
    found = fermtui("due", "--json", "--on", on).json["tasks"]
    return next(one for one in found if (one["vessel"], one["task"]) == (vessel, key))


def test_start_and_pitch_put_the_doses_on_the_third_and_the_sixth(cellar: Any, fermtui: Any) -> None:
    cellar({})
    evening = "2026-03-01T18:30:00+01:00"
    assert fermtui("start", "Damson", "--volume", "4L", "--gravity", "1.099", "--on", evening).status == 0
    assert fermtui("tick", "damson", "mix", "--on", evening).status == 0
    assert fermtui("read", "damson", "1.099", "20", "--on", evening).status == 0
    assert fermtui("tick", "damson", "pitch", "--on", evening).status == 0
    assert task(fermtui, "dose-1", evening)["likely"] == "2026-03-03T00:00:00+01:00"
    assert task(fermtui, "dose-2", evening)["likely"] == "2026-03-06T00:00:00+01:00"
    text = fermtui("due", "--on", "2026-03-03").out
    assert re.search(r"due +Damson +dose 1 of 2", text)


def test_what_comes_after_a_late_tick_moves_with_it(cellar: Any, fermtui: Any) -> None:
    schedule = """
        title = "One after the other"
        [[step]]
        key = "first"
        do = "degas"
        due = { after = "pitch", days = 2 }
        [[step]]
        key = "second"
        do = "chore"
        what = "look"
        due = { after = "step:first", days = 4 }
    """
    cellar({
        "vessels/damson/vessel.toml": HEAD.replace("two-doses", "mine"), "vessels/damson/daybook.toml": PITCHED,
        "schedules/mine.toml": schedule,
    })  # fmt: skip
    assert task(fermtui, "second", "2026-03-02")["likely"] == "2026-03-07T00:00:00+01:00"
    assert fermtui("tick", "damson", "first", "--on", "2026-03-08").status == 0
    assert task(fermtui, "second", "2026-03-08")["likely"] == "2026-03-12T00:00:00+01:00"


@pytest.mark.usefixtures("page")
def test_the_third_break_of_1_099_is_1_066(cellar: Any, fermtui: Any) -> None:
    schedule = """
        title = "At the break"
        [[step]]
        key = "last"
        do = "dose"
        due = { sugar_spent = "1/3" }
    """
    cellar({"vessels/damson/vessel.toml": HEAD.replace("two-doses", "mine"), "schedules/mine.toml": schedule,
            "vessels/damson/daybook.toml": PITCHED})  # fmt: skip
    assert "1.066" in task(fermtui, "last", "2026-03-02")["why"]  # common practice: 1 + 2/3 of 0.099
    fermtui("read", "damson", "1.067", "20", "--on", "2026-03-04")
    assert task(fermtui, "last", "2026-03-04")["state"] == "coming"
    fermtui("read", "damson", "1.066", "20", "--on", "2026-03-05")
    assert task(fermtui, "last", "2026-03-05")["state"] == "due"


@pytest.mark.parametrize("text", ["1.9", "0.8", "abc", "1.042 @ 400", "", "1.042 1.043", "ph 44", "1.042 99:99"])
def test_impossible_typing_is_refused_and_says_what_would_be_right(page: Path, fermtui: Any, text: str) -> None:
    before = page.read_bytes()
    ran = fermtui("read", "damson", text, "--on", "2026-03-05")
    assert ran.status == 1
    assert "1.042" in ran.err
    assert page.read_bytes() == before


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("1,042", "sg = 1.042"), ("1042", "sg = 1.042"), ("1.042 70F", "sg = 1.042, temp_c = 21.1"),
        ("1.100", "sg = 1.100"), ("10,4bx", "brix = 10.4"), ("10.4 P", "sg = 1.0416"), ("pH 3.4", "ph = 3.4"),
        ("pH=3.4", "ph = 3.4"), ("1.042 pH=3.4", "sg = 1.042"),
    ],
)  # fmt: skip
def test_what_people_type_is_understood(page: Path, fermtui: Any, text: str, fields: str) -> None:
    ran = fermtui("read", "damson", *text.split(), "--on", "2026-03-12", "override=as it stood")
    assert ran.status == 0, ran.err
    line = page.read_text().splitlines()[-1]
    assert all(part in line for part in fields.split(", "))


def test_a_rising_gravity_asks_once_more_at_every_door(page: Path, fermtui: Any) -> None:
    fermtui("read", "damson", "1.080", "20", "--on", "2026-03-03")
    before = page.read_bytes()
    doors = [
        ("read", "damson", "1.090", "20"), ("write", "damson", "read", "sg=1.090", "temp_c=20"),
        ("tick", "damson", "sign", "sg=1.090", "temp_c=20"),
    ]  # fmt: skip
    for door in doors:
        for reason in ((), ("override=",), ("override=  ",), ("--override", " ")):
            ran = fermtui(*door, *reason, "--on", "2026-03-05")
            assert ran.status == 3
            assert "rise by 10 points" in ran.err
            assert ran.err.rstrip().endswith("read again (--override REASON writes it all the same)")
            assert page.read_bytes() == before
    ran = fermtui("read", "damson", "1.090", "20", "override=stirred honey up", "--on", "2026-03-05")
    assert ran.status == 0
    assert "in spite of a guard: stirred honey up" in fermtui("show", "damson", "--on", "2026-03-05").out
    told = fermtui("show", "damson", "--on", "2026-03-05", "--json").json["entries"][-1]
    assert told["override"] == "stirred honey up"


def test_a_little_noise_asks_nothing(page: Path, fermtui: Any) -> None:
    del page
    fermtui("read", "damson", "1.080", "20", "--on", "2026-03-04")
    assert fermtui("read", "damson", "1.082", "20", "--on", "2026-03-05").status == 0
    assert fermtui("read", "damson", "1.0851", "20", "--on", "2026-03-06").status == 3


def test_a_reading_that_was_forgotten_is_compared_with_what_went_before_it(page: Path, fermtui: Any) -> None:
    del page
    fermtui("read", "damson", "1.070", "20", "--on", "2026-03-05")
    fermtui("write", "damson", "feed", "honey_g=300", "--on", "2026-03-08")
    ran = fermtui("read", "damson", "1.085", "20", "--at", "2026-03-06", "--on", "2026-03-09")
    assert (ran.status, "rise by 15 points" in ran.err) == (3, True)
    assert fermtui("read", "damson", "1.062", "20", "--at", "2026-03-06", "--on", "2026-03-09").status == 0


def test_undo_says_what_it_took_and_a_second_one_gives_it_back(page: Path, fermtui: Any) -> None:
    start = fermtui("show", "damson", "--on", "2026-03-04", "--json").json
    assert fermtui("tick", "damson", "dose-1", "--on", "2026-03-03").status == 0
    dosed = fermtui("show", "damson", "--on", "2026-03-04", "--json").json
    ran = fermtui("strike", "damson", "--on", "2026-03-04")
    # What was struck and when, in words; its key is no news to anybody.
    assert (ran.status, ran.out) == (0, "damson: took back 'dosed 1.1 g DAP' of Tue 3 Mar 12:00\n")
    assert task(fermtui, "dose-1", "2026-03-04")["state"] == "late"
    assert page.read_text().count("dose-1") == 1  # the struck line stays readable
    assert " ~2026-03-03 12:00  dosed" in fermtui("show", "damson", "--on", "2026-03-04").out
    ran = fermtui("strike", "damson", "--on", "2026-03-04")
    assert ran.out == "damson: took back the strike, so it stands again: 'dosed 1.1 g DAP' of Tue 3 Mar 12:00\n"
    back = fermtui("show", "damson", "--on", "2026-03-04", "--json").json
    assert task(fermtui, "dose-1", "2026-03-04")["state"] == "done"
    assert back["abv_percent"] == dosed["abv_percent"] == start["abv_percent"]
    key = page.read_text().splitlines()[-1].split(" = ")[0]
    assert fermtui("strike", "damson", "e001", "--on", "2026-03-04").status == 0
    again = fermtui("strike", "damson", "e001", "--on", "2026-03-04")
    assert (again.status, "taken back already" in again.err) == (1, True)
    assert key not in again.err


def test_ticks_that_do_not_fit_change_nothing(page: Path, fermtui: Any) -> None:
    before = page.read_bytes()
    for words, says in (
        (("dose-1", "dap_g=x"), "cannot be read"), (("dose-1", "dap_g=-1"), "0 to 10000"),
        (("dose-1", "dap_g="), "is empty"), (("dose-1", "foo=1"), "has no field foo"),
        (("dose-1", "dap_g=99999"), "0 to 10000"), (("sign",), "read needs the gravity (sg=) or "),
        (("og", "sg=1.09"), "done already"),
        (("mix",), "done already"), (("nope",), "open are: "), (("pitch",), "done already"),
        (("bottle", "count=four"), "count"),
    ):  # fmt: skip
        ran = fermtui("tick", "damson", *words, "--on", "2026-03-04")
        assert (ran.status, says in ran.err) == (1, True), (words, ran.err)
    assert page.read_bytes() == before


def test_a_dropped_task_says_how_to_do_it_all_the_same(page: Path, fermtui: Any) -> None:
    fermtui("read", "damson", "1.040", "20", "--on", "2026-03-12")
    before = page.read_bytes()
    ran = fermtui("tick", "damson", "dose-1", "--on", "2026-03-12")
    assert (ran.status, "fermtui write damson dose" in ran.err) == (1, True)
    assert page.read_bytes() == before


def test_a_dose_leaves_no_remarks_of_the_program_in_the_file(page: Path, fermtui: Any) -> None:
    fermtui("read", "damson", "1.055", "20", "--on", "2026-03-06")
    ran = fermtui("tick", "damson", "dose-1", "--on", "2026-03-06")
    line = page.read_text().splitlines()[-1]
    if ran.status == 0:
        assert re.fullmatch(r'\S+ = \{ at = \S+, did = "dose", (dap_g|autolysate_g) = .*task = "dose-1" \}', line)
    assert "only_if_slow" not in page.read_text()
    assert "instead" not in page.read_text()


def test_advice_is_told_and_the_entry_is_written(page: Path, fermtui: Any) -> None:
    fermtui("read", "damson", "1.060", "20", "--on", "2026-03-06")  # past the third break of 1.066
    ran = fermtui("write", "damson", "dose", "dap_g=0.5", "--on", "2026-03-06")
    assert ran.status == 0
    assert "autolysate" in ran.err
    assert "dap_g = 0.5" in page.read_text()


def test_a_repeating_step_leaves_one_open_task(page: Path, fermtui: Any) -> None:
    del page
    assert task(fermtui, "aerate", "2026-03-02")["state"] in ("due", "late")
    assert fermtui("tick", "damson", "aerate", "--on", "2026-03-02").status == 0
    again = task(fermtui, "aerate", "2026-03-02")
    assert (again["state"], again["likely"]) == ("coming", "2026-03-03T00:00:00+01:00")
    assert fermtui("tick", "damson", "aerate", "--on", "2026-03-03").status == 0
    assert len([t for t in fermtui("due", "--json", "--on", "2026-03-03").json["tasks"] if t["task"] == "aerate"]) == 1


def test_skip_and_postpone_with_their_reason(page: Path, fermtui: Any) -> None:
    del page
    away = ("postpone", "task=dose-1", "until=+2", "reason=away")
    assert fermtui("write", "damson", *away, "--on", "2026-03-03").status == 0
    put_off = task(fermtui, "dose-1", "2026-03-03")
    assert (put_off["state"], put_off["likely"]) == ("coming", "2026-03-05T00:00:00+01:00")
    assert "away" in put_off["why"]
    for until in ("2026-03-06", "tomorrow", "2026-03-06T20:00:00+01:00"):
        assert fermtui("write", "damson", "postpone", "task=dose-1", f"until={until}", "--on", "2026-03-05").status == 0
    assert task(fermtui, "dose-1", "2026-03-05")["likely"] == "2026-03-06T20:00:00+01:00"
    assert fermtui("write", "damson", "skip", "task=dose-2", "reason=smells fine", "--on", "2026-03-06").status == 0
    skipped = task(fermtui, "dose-2", "2026-03-06")
    assert (skipped["state"], "smells fine" in skipped["why"]) == ("dropped", True)


def test_entries_settle_only_tasks_that_are_there_and_of_their_kind(page: Path, fermtui: Any) -> None:
    before = page.read_bytes()
    for words, says in (
        (("skip", "task=nope"), "has no task 'nope'"), (("postpone", "task=nope", "until=2026-03-09"), "has no task"),
        (("skip", "task=mix"), "done already"), (("degas", "task=bottle"), "asks for bottle, not for degas"),
        (("dose", "dap_g=1", "task=dose-9"), "has no task"), (("note", "text=x", "task=nope"), "has no task"),
        (("postpone", "task=dose-1", "until=soon"), "no day"), (("postpone", "task=dose-1"), "needs until"),
        (("postpone", "task=dose-1", "until=+9999"), "more than 10 years away"),
        (("postpone", "task=dose-1", "until=2026-03-04"), "not later than 2026-03-04"),
    ):  # fmt: skip
        ran = fermtui("write", "damson", *words, "--on", "2026-03-04")
        assert (ran.status, says in ran.err) == (1, True), (words, ran.err)
    assert page.read_bytes() == before


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("dose", "dap_g=1", "--at", "2026-02-01"), "no must yet"),
        (("bottle", "count=4", "size_ml=750", "--at", "2026-03-01T18:05:00"), "pitch"),
        (("degas", "--at", "2026-06-01"), "future"), (("degas", "--at", "1960-01-01"), "1970"),
        (("degas", "--at", "2300-01-01"), "2200"),
    ],
)  # fmt: skip
def test_dates_that_cannot_be(page: Path, fermtui: Any, words: tuple[str, ...], says: str) -> None:
    before = page.read_bytes()
    ran = fermtui("write", "damson", *words, "--on", "2026-03-04")
    assert (ran.status, says in ran.err) == (1, True), ran.err
    assert page.read_bytes() == before


def test_a_vessel_that_was_put_away_takes_no_entries(cellar: Any, fermtui: Any) -> None:
    cellar({"past/old/vessel.toml": HEAD, "past/old/daybook.toml": PITCHED})
    for words in (("read", "old", "1.05"), ("tick", "old", "dose-1"), ("write", "old", "degas"), ("strike", "old")):
        ran = fermtui(*words, "--on", "2026-03-04")
        assert (ran.status, "put away" in ran.err) == (1, True), words


def test_a_folder_that_cannot_be_written_says_so(page: Path, fermtui: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    before = page.read_bytes()

    def refused(path: Path, flags: int) -> int:
        if flags & (os.O_RDWR | os.O_WRONLY):
            from fermtui.daybook.files import UnreadableFile

            raise UnreadableFile("the folder is read-only for you; change its permissions or use another cellar")
        raise FileNotFoundError(path)

    monkeypatch.setattr(append, "open_safely", refused)
    ran = fermtui("write", "damson", "degas", "--on", "2026-03-04")
    assert (ran.status, "read-only" in ran.err) == (1, True)
    assert fermtui("due", "--on", "2026-03-04").status == 0
    assert page.read_bytes() == before


def test_two_programs_write_at_once(page: Path) -> None:
    folder = page.parents[2]
    call = [sys.executable, "-m", "fermtui", "--cellar", str(folder), "write", "damson", "degas", "--on", "2026-03-04"]
    env = {**os.environ, "FERMTUI_CACHE": str(folder.parent / "cache")}
    running = [subprocess.Popen(call, stdout=subprocess.DEVNULL, env=env) for _ in range(6)]
    assert [one.wait(timeout=60) for one in running] == [0] * 6
    lines = [line for line in page.read_text().splitlines() if "degas" in line]
    assert len({line.split(" = ")[0] for line in lines}) == 6


@pytest.mark.parametrize(
    ("pitched", "third"),
    [
        ("2026-03-27T18:30:00+01:00", "2026-03-29T00:00:00+01:00"),  # the clocks go forward on 29 March
        ("2026-10-23T18:30:00+02:00", "2026-10-25T00:00:00+02:00"),  # and back on 25 October
        ("2028-02-27T18:30:00+01:00", "2028-02-29T00:00:00+01:00"),
        ("2028-02-29T23:50:00+01:00", "2028-03-02T00:00:00+01:00"),
    ],
)  # fmt: skip
def test_odd_days_lose_no_task_and_double_none(cellar: Any, fermtui: Any, pitched: str, third: str) -> None:
    page = PITCHED.replace("2026-03-01T18:30:00+01:00", pitched).replace("2026-03-01T18", f"{pitched[:10]}T10")
    cellar({"vessels/damson/vessel.toml": HEAD, "vessels/damson/daybook.toml": page})
    doses = [t for t in fermtui("due", "--json", "--on", pitched).json["tasks"] if t["task"] == "dose-1"]
    assert [dose["likely"] for dose in doses] == [third]
    assert task(fermtui, "dose-1", third)["state"] == "due"
    assert task(fermtui, "dose-1", third[:10])["state"] == "due"


def test_a_clock_that_was_set_back_doubles_no_task_and_loses_none(page: Path, fermtui: Any) -> None:
    fermtui("tick", "damson", "dose-1", "--on", "2026-03-04")
    later = {t["task"] for t in fermtui("due", "--json", "--on", "2026-03-04").json["tasks"]}
    lines = page.read_text().replace("2026-03-04", "2027-03-04")  # as if the clock had been a year ahead
    page.write_text(lines)
    tasks = fermtui("due", "--json").json["tasks"]
    assert len(tasks) == len({t["task"] for t in tasks})
    assert {"dose-1", "dose-2"} <= later & {t["task"] for t in tasks}


def test_the_past_of_a_late_bottling_is_judged_by_what_stands_now(page: Path, fermtui: Any) -> None:
    fermtui("write", "damson", "bottle", "count=4", "size_ml=750", "override=a slip", "--on", "2026-03-10")
    assert fermtui("strike", "damson", "--on", "2026-03-12").status == 0
    ran = fermtui("write", "damson", "dose", "dap_g=0.5", "--at", "2026-03-11", "--on", "2026-03-13")
    assert ran.status == 0, ran.err  # the bottling never was, although its strike came later than the dose
    assert "dap_g = 0.5" in page.read_text()
