"""What stands in people's files is shown literally, cut or refused; a damaged vessel harms no other one."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest

ESCAPE, RIGHT_TO_LEFT = "\x1b[2J", "\u202e"
GOOD = {
    "vessels/rowan/vessel.toml": 'name = "Rowan"\nschedule = "two-doses"\n[plan]\nvolume_l = 4\ngravity = 1.09',
    "vessels/rowan/daybook.toml": '{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }',
}
NASTY = r"[bold red]X[/] \u001b[2J \n ../../x \u202eabc \u2028 " + "x" * 500
NASTY_PAGES = {
    "vessels/odd/vessel.toml": f"""
        name = "{NASTY[:490]}"
        container = "{NASTY[:400]}"
        schedule = "two-doses"
        [plan]
        volume_l = 4
        gravity = 1.09
        yeast = {{ name = "{NASTY[:400]}" }}
    """,
    "vessels/odd/daybook.toml": f"""
        {{ at = 2026-03-01T18:30:00+01:00, did = "pitch", text = "{NASTY}" }}
        {{ at = 2026-03-02T18:30:00+01:00, did = "note", text = "{NASTY}", strange = "{NASTY[:100]}" }}
        {{ at = 2026-03-02T19:30:00+01:00, did = "postpone", task = "dose-1", until = 2026-03-09, reason = "{NASTY}" }}
        {{ at = 2026-03-03T18:30:00+01:00, did = "degas", override = "{NASTY}" }}
        {{ at = 2026-03-04T18:30:00+01:00, did = "taste", look = "{NASTY}", smell = "{NASTY[:300]}", score = 12 }}
    """,
}
DAMAGED = {
    "vessels/torn/vessel.toml": 'name = "Torn"',
    "vessels/torn/daybook.toml": """
        { at = 2026-03-01T18:30:00+01:00, did = "pitch" }
        { at = 2026-03-02T18:30:00+01:00, did = "read", sg = 1.0
        { at = 2026-03-03T18:30:00+01:00, did = "wobble", hard = 3 }
    """,
    "vessels/headless/daybook.toml": '{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }',
    "vessels/lost/vessel.toml": 'name = "Lost"\nschedule = "nowhere"',
    "vessels/wrong/vessel.toml": "name = 5",
}


def snapshot(folder: Path) -> dict[str, bytes]:
    return {str(p): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file() and p.name != ".lock"}


TYPED = f"text={ESCAPE}[bold red]\n{RIGHT_TO_LEFT}{'x' * 500}"
CALLS = [("due",), ("show",), ("show", "odd"), ("check",), ("read", "odd", "1.05"), ("tick", "odd", "dose-2"),
         ("write", "odd", "note", TYPED), ("strike", "odd")]  # fmt: skip


@pytest.mark.parametrize("call", CALLS, ids=lambda call: " ".join(call)[:20])
def test_nothing_in_a_file_acts_on_the_terminal(cellar: Any, fermtui: Any, call: tuple[str, ...]) -> None:
    cellar({**GOOD, **NASTY_PAGES})
    ran = fermtui(*call, "--on", "2026-03-06")
    assert ran.status == 0, ran.err
    for text in (ran.out, ran.err):
        assert not {ESCAPE[0], RIGHT_TO_LEFT, "\u2028", "\r", "\x07"} & set(text)
        assert all(len(line) < 1000 for line in text.splitlines())
    shown = fermtui("show", "odd", "--on", "2026-03-06").out
    assert "[bold red]X[/]" in shown
    assert "../../x" in shown
    seen = fermtui("show", "odd", "--json", "--on", "2026-03-06")
    assert ESCAPE in seen.json["entries"][0]["text"]  # JSON gives what stands there, escaped
    assert ESCAPE[0] not in seen.out


def test_a_name_that_would_leave_the_cellar_does_not(cellar: Any, fermtui: Any, tmp_path: Path) -> None:
    folder = cellar(GOOD)
    plan = ("--volume", "4L", "--gravity", "1.09")
    before = snapshot(tmp_path)
    for words in (
        ("start", "X", *plan, "--folder", "../../x"), ("start", "X", *plan, "--schedule", "../../x"),
        ("write", "rowan", "split", "into=../../x", "volume_l=1"),
        ("write", "rowan", "top_up", "from=../x", "volume_l=1"),
        ("show", "../vessels/rowan"), ("read", "../rowan", "1.05"), ("write", "rowan", "degas", "task=../../x"),
        ("write", "../../x", "receive", "from=rowan", "entry=e000"), ("check", ".."), ("show", "."),
        ("start", "X", *plan, "--like", "../vessels/rowan"),
    ):  # fmt: skip
        ran = fermtui(*words, "--on", "2026-03-06")
        assert ran.status == 1, words
    assert snapshot(tmp_path) == before
    assert fermtui("start", "../../x", *plan).status == 0
    assert (folder / "vessels/x/vessel.toml").is_file()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["cache", "cellar"]


def test_damaged_vessels_are_listed_and_harm_no_other(cellar: Any, fermtui: Any) -> None:
    folder = cellar({**GOOD, **DAMAGED})
    before = snapshot(folder)
    due = fermtui("due", "--json", "--on", "2026-03-06")
    assert due.status == 0
    assert any(task["vessel"] == "rowan" and task["task"] == "dose-1" for task in due.json["tasks"])
    paths = {problem["path"] for problem in due.json["problems"]}
    assert paths >= {"vessels/torn/daybook.toml", "vessels/lost/vessel.toml", "vessels/wrong/vessel.toml"}
    assert all(set(problem) == {"path", "line", "reason"} for problem in due.json["problems"])
    lines = {p["line"] for p in due.json["problems"] if p["path"] == "vessels/torn/daybook.toml"}
    assert lines == {2, 3}
    assert "vessels/torn/daybook.toml, line 2: " in due.err
    shown = fermtui("show", "--json", "--on", "2026-03-06")
    assert (shown.status, shown.json["problems"]) == (0, due.json["problems"])
    assert {seen["vessel"] for seen in shown.json["vessels"]} == {"rowan", "torn", "headless", "lost", "wrong"}
    for name, status in (("rowan", 0), ("torn", 1), ("headless", 1), ("lost", 1), ("wrong", 1)):
        for command in ("show", "check"):
            assert fermtui(command, name, "--on", "2026-03-06").status == status, (command, name)
    assert fermtui("check").status == 1
    assert "  rowan " not in fermtui("check").out
    assert snapshot(folder) == before


def test_a_vessel_with_a_bad_line_still_takes_entries_and_says_what_is_wrong(cellar: Any, fermtui: Any) -> None:
    folder = cellar(DAMAGED)
    ran = fermtui("write", "torn", "degas", "--on", "2026-03-06")
    assert (ran.status, "line 2" in ran.err) == (0, True)
    assert 'did = "degas"' in (folder / "vessels/torn/daybook.toml").read_text()


def test_a_folder_with_a_name_of_no_letters_is_a_problem(cellar: Any, fermtui: Any) -> None:
    folder = cellar(GOOD)
    os.mkdir(os.fsencode(folder / "vessels") + b"/\xff\xfe")
    (folder / "vessels" / "a b").mkdir()
    for words in (("due",), ("due", "--json"), ("show",), ("show", "--json")):
        assert fermtui(*words).status == 0
    assert fermtui("check").status == 1


@pytest.mark.parametrize(
    "field",
    ["n = nan", "n = inf", "n = 1e999", "n = 99999999999999999999", "n = [1, 2]", "n = { a = 1 }", "n = 07:30:00",
     "n = 2026-01-01", "n = true", 'sg = "1.05"', "sg = nan", "temp_c = 1e400", 'text = ""', "task = 5"],
)  # fmt: skip
def test_odd_values_end_no_command_in_a_traceback(cellar: Any, fermtui: Any, field: str) -> None:
    cellar({
        **GOOD,
        "vessels/odd/vessel.toml": f'name = "Odd"\n{field.replace("sg", "capacity_l").replace("temp_c", "volume_l")}',
        "vessels/odd/daybook.toml": f"""
            {{ at = 2026-03-01T18:30:00+01:00, did = "read", ph = 3.4, {field} }}
            {{ at = 2026-03-01T18:30:00+01:00, did = "wobble", {field} }}
        """,
    })  # fmt: skip
    for line in ("due", "due --json", "show", "show --json", "show odd", "show odd --json", "check --json",
                 "write odd degas", "strike odd"):  # fmt: skip
        ran = fermtui(*line.split(), "--on", "2026-03-06")
        assert ran.status in (0, 1)
        assert "Traceback" not in ran.err


@pytest.mark.parametrize(
    "page",
    ["", "\x00", "nonsense", "[[log]]\nx = 1", "a = { at = 1 }", "[" * 2000, "a." * 9000 + "b = 1",
     'a = { at = 9999-12-31T23:59:59Z, did = "pitch" }'],
)  # fmt: skip
def test_pages_that_are_no_daybook(cellar: Any, fermtui: Any, page: str) -> None:
    folder = cellar(GOOD)
    (folder / "vessels/rowan/daybook.toml").write_text(page)
    for words in (("due", "--json"), ("show", "rowan"), ("show", "--json"), ("check",)):
        assert fermtui(*words, "--on", "2026-03-06").status in (0, 1)
    assert (folder / "vessels/rowan/daybook.toml").read_text() == page


def test_a_pipe_or_a_link_in_place_of_a_daybook_hangs_nothing(cellar: Any, fermtui: Any, tmp_path: Path) -> None:
    folder = cellar({**GOOD, "vessels/sloe/vessel.toml": 'name = "Sloe"', "vessels/sloe/daybook.toml": ""})
    page = folder / "vessels/rowan/daybook.toml"
    page.unlink()
    os.mkfifo(page)
    secret = tmp_path / "secret.toml"
    secret.write_text("")
    (folder / "vessels/sloe/daybook.toml").unlink()
    (folder / "vessels/sloe/daybook.toml").symlink_to(secret)
    assert fermtui("due").status == 0
    for name in ("rowan", "sloe"):
        assert fermtui("show", name).status == 1
        assert fermtui("write", name, "degas").status == 1
    assert secret.read_text() == ""


SHARE = 'title = "Own"\n[[step]]\nkey = "one"\ndo = "dose"\nshare = SHARE\ndue = { after = "pitch", days = 2 }\n'


@pytest.mark.parametrize("share", ["nan", "inf", "1" + "0" * 310, "-1" + "0" * 310, "1e400", "true", '"0.5"', ""])
def test_a_share_that_is_none_stops_no_command_and_no_other_vessel(cellar: Any, fermtui: Any, share: str) -> None:
    page = SHARE.replace("SHARE", share) if share else ""  # empty, as a copy on a full disk once was
    cellar({
        **GOOD, "schedules/own.toml": page, "vessels/sloe/vessel.toml": 'name = "Sloe"\nschedule = "own"',
        "vessels/sloe/daybook.toml": '{ at = 2026-03-01T10:00:00+01:00, did = "pitch" }',
    })  # fmt: skip
    ran = fermtui("due", "--on", "2026-03-06")
    assert ran.status == 0
    assert ran.out.splitlines()[1] == (
        "CHECK Sloe: no schedule. Its schedule own cannot be used. "
        "Until then nothing of it comes due, whatever it needs. "
        "`fermtui check` names the line to mend; or name another schedule in its vessel.toml."
    )
    assert "schedules/own.toml" in ran.err
    assert fermtui("due", "--json", "--on", "2026-03-06").json["troubles"][0]["kind"] == "no_schedule"
    for words in (("show",), ("show", "sloe"), ("schedule",), ("calendar",), ("needs",), ("show", "rowan")):
        assert fermtui(*words, "--on", "2026-03-06").status in (0, 1)
    assert fermtui("check").status == 1
