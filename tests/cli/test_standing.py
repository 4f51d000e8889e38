"""What guards refuse as the entries stand now, where those of two computers came together, a file was edited or an
entry struck; and bottles that may burst: at `check`, `due`, `sync` and `show`, for as long as it is true.

The limits that are tripped: DAP 0.96 g/L by 27 CFR 24.246, as remembered; sorbate after sulfite and into a still mead
only, common practice, no source.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

Cellar = Callable[[Mapping[str, str]], Path]
NOW = ("--on", "2026-04-01T12:00:00+02:00")
DAYBOOK = "vessels/rowan/daybook.toml"
HEAD = """
    name = "Rowan"
    capacity_l = 5.0
    [plan]
    volume_l = 3.84
    gravity = 1.095
    end = 0.996
    yeast = { demand = "medium", tolerance_abv = 14 }
"""
MUST = """
    mix = { at = 2026-01-10T10:00:00+01:00, did = "mix", volume_l = 3.84, honey_g = 1150 }
    og = { at = 2026-01-10T10:30:00+01:00, did = "read", sg = 1.095, temp_c = 20, ph = 3.4 }
    pitch = { at = 2026-01-10T11:00:00+01:00, did = "pitch" }
"""
STILL = """
    r1 = { at = 2026-02-08T18:00:00+01:00, did = "read", sg = 0.994, temp_c = 20 }
    r2 = { at = 2026-02-20T18:00:00+01:00, did = "read", sg = 0.994, temp_c = 20 }
    r3 = { at = 2026-03-01T18:00:00+01:00, did = "read", sg = 0.994, temp_c = 20 }
    r4 = { at = 2026-03-12T08:00:00+01:00, did = "read", sg = 0.994, temp_c = 20 }
"""
HONEY = 'honey = { at = 2026-03-12T18:00:00+01:00, did = "sweeten", honey_g = 280 }\n'
BOTTLES = 'glass = { at = 2026-03-13T10:00:00+01:00, did = "bottle", count = 5, size_ml = 750, left_l = 0 }\n'
DOSE = '= { at = 2026-01-11T18:00:00+01:00, did = "dose", dap_g = 3.36 }\n'
KEPT = """
    rack = { at = 2026-03-12T09:00:00+01:00, did = "rack", volume_l = 3.8 }
    so2 = { at = 2026-03-12T10:00:00+01:00, did = "sulfite", metabisulfite_g = 0.5, ph = 3.4 }
    sorbate = { at = 2026-03-12T11:00:00+01:00, did = "sorbate", sorbate_g = 0.75 }
"""
SWEET = """
    honey = { at = 2026-03-15T18:00:00+01:00, did = "sweeten", honey_g = 200 }
    w1 = { at = 2026-03-16T08:00:00+01:00, did = "read", sg = 1.012, temp_c = 20 }
    w2 = { at = 2026-03-20T08:00:00+01:00, did = "read", sg = 1.012, temp_c = 20 }
    w3 = { at = 2026-03-24T08:00:00+01:00, did = "read", sg = 1.012, temp_c = 20 }
    glass = { at = 2026-03-24T10:00:00+01:00, did = "bottle", count = 5, size_ml = 750, left_l = 0 }
"""


@pytest.fixture
def rowan(cellar: Cellar) -> Callable[[str], Path]:
    """(lines of its daybook) -> the cellar."""
    return lambda page: cellar({"vessels/rowan/vessel.toml": HEAD, DAYBOOK: page})


def troubles(fermtui: Any) -> list[tuple[str, str]]:
    found = fermtui("due", *NOW, "--json").json["troubles"]
    assert all(one["say"].endswith(".") for one in found)
    return [(one["vessel"], one["kind"]) for one in found]


def line_of(page: Path, key: str) -> int:
    lines = (page / DAYBOOK).read_text("utf-8").splitlines()
    return next(at for at, line in enumerate(lines, 1) if line.startswith(f"{key} "))


CASES = {
    "bottled here, sweetened there": (
        MUST + STILL + BOTTLES + HONEY, "glass", "live_bottles", "may reach more than 16 bar at 20 °C",
    ),
    "bottled twice": (
        MUST + STILL + BOTTLES + BOTTLES.replace("glass =", "again =").replace("T10", "T12"),
        "again", "bottled_already", "all of it went into 5 bottles",
    ),
    "DAP doubled": (MUST + "a " + DOSE + "b " + DOSE, "b", "dap_ceiling", "1.75 g/L"),
    "sorbate here, honey there": (
        MUST + STILL + KEPT + HONEY.replace("T18:00", "T10:30"), "sorbate", "sorbate_while_live", "the sorbate of",
    ),
    "sorbate struck after bottling": (
        MUST + STILL + KEPT + SWEET
        + 'back = { at = 2026-03-25T10:00:00+01:00, did = "strike", entry = "sorbate" }\n',
        "glass", "live_bottles", "no sorbate",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_it_is_said_at_check_and_due_for_as_long_as_it_is_true(case: str, rowan: Any, fermtui: Any) -> None:
    page, key, kind, words = CASES[case]
    folder = rowan(page)
    for _ in range(2):  # from the files, and from the cache
        checked = fermtui("check", *NOW)
        assert checked.status == 1
        assert f"{DAYBOOK}, line {line_of(folder, key)}: " in checked.out
        assert words in checked.out
        assert troubles(fermtui) == [("rowan", kind)]
        told = fermtui("due", *NOW).out.splitlines()
        assert told[1].startswith("CHECK Rowan: ")
        assert words in told[1]
        assert words in fermtui("show", "rowan", *NOW).out
    assert fermtui("check", "rowan", *NOW).status == 1
    (folder / DAYBOOK).write_text(
        (folder / DAYBOOK).read_text("utf-8").replace(f"{key} = {{", f'{key} = {{ override = "weighed twice",')
    )
    assert troubles(fermtui) == ([("rowan", kind)] if kind == "live_bottles" else [])


@pytest.mark.parametrize(
    "page",
    [
        MUST + STILL + BOTTLES,
        MUST + STILL + KEPT + SWEET,
        MUST + STILL + HONEY,
        MUST + "a " + DOSE,
        MUST + STILL + BOTTLES.replace("2026-03-13", "2026-03-29"),
    ],
)
def test_what_its_guard_let_pass_is_no_trouble(page: str, rowan: Any, fermtui: Any) -> None:
    """The last one was bottled 17 days after its last reading: a guard asks for a new one, but nothing is live."""
    rowan(page)
    assert troubles(fermtui) == []
    assert fermtui("check", *NOW).status == 0
    assert "CHECK" not in fermtui("due", *NOW).out


LIVE = MUST + STILL + HONEY + BOTTLES.replace("count", 'override = "for the party", count')


@pytest.mark.parametrize(
    ("after", "still_said"),
    [
        ("", True),
        ('x = { at = 2026-03-20T10:00:00+01:00, did = "open", count = 4 }', True),
        ('x = { at = 2026-03-20T10:00:00+01:00, did = "open", count = 5 }', False),
        ('x = { at = 2026-03-20T10:00:00+01:00, did = "chill", temp_c = 4 }', False),
        ('x = { at = 2026-03-20T10:00:00+01:00, did = "chill" }', False),
        ('x = { at = 2026-03-20T10:00:00+01:00, did = "chill", temp_c = 18 }', True),
        ('x = { at = 2026-03-10T10:00:00+01:00, did = "chill", temp_c = 4 }', True),
        ('x = { at = 2026-03-20T10:00:00+01:00, did = "note", text = "still quiet" }', True),
    ],
)
def test_live_bottles_stay_on_the_list_until_opened_or_chilled(
    after: str, still_said: bool, rowan: Any, fermtui: Any
) -> None:
    rowan(LIVE + after + "\n")
    assert troubles(fermtui) == ([("rowan", "live_bottles")] if still_said else [])


def test_live_bottles_are_told_with_their_pressures_and_what_to_do(rowan: Any, fermtui: Any) -> None:
    rowan(LIVE.replace("honey_g = 280", "honey_g = 24"))
    say = fermtui("due", *NOW, "--json").json["troubles"][0]["say"]
    assert "5 bottles of 13 Mar 2026" in say
    assert "at 20 °C and " in say
    assert "at 30 °C" in say
    assert "Open one" in say
    assert "chill the rest" in say


@pytest.mark.parametrize(
    ("after", "still_said"),
    [
        ("", True),
        ('x = { at = 2026-03-21T10:00:00+01:00, did = "open", why = "drunk" }', False),
        ('x = { at = 2026-03-21T10:00:00+01:00, did = "note", text = "others flat" }', False),
        ('x = { at = 2026-03-21T10:00:00+01:00, did = "chore", what = "put into the cold" }', False),
        ('x = { at = 2026-03-19T10:00:00+01:00, did = "note", text = "before" }', True),
        ('x = { at = 2026-03-21T10:00:00+01:00, did = "taste", score = 4 }', True),
        ('x = { at = 2026-03-21T10:00:00+01:00, did = "open", count = 4, why = "burst" }', False),
    ],
)
def test_a_burst_bottle_brings_a_look_at_the_others(after: str, still_said: bool, rowan: Any, fermtui: Any) -> None:
    """Once the last one is gone there is none to look at."""
    rowan(MUST + STILL + BOTTLES + 'burst = { at = 2026-03-20T10:00:00+01:00, did = "open", why = "burst" }\n' + after)
    assert troubles(fermtui) == ([("rowan", "burst_bottle")] if still_said else [])
    if still_said:
        assert "check the others" in fermtui("due", *NOW).out.lower()


def test_a_later_clock_counts_no_entry_before_its_time(rowan: Any, fermtui: Any) -> None:
    rowan(MUST + STILL + HONEY + BOTTLES)
    assert fermtui("due", "--on", "2026-03-12T20:00:00+01:00", "--json").json["troubles"] == []


def test_doses_and_honey_of_a_mead_that_is_gone_trouble_nobody(rowan: Any, fermtui: Any) -> None:
    page = MUST + "a " + DOSE + "b " + DOSE + STILL + BOTTLES
    folder = rowan(page)
    assert troubles(fermtui) == [("rowan", "dap_ceiling")]
    with (folder / DAYBOOK).open("a", encoding="utf-8") as book:
        book.write('drunk = { at = 2026-03-30T10:00:00+02:00, did = "open", count = 5 }\n')
    assert troubles(fermtui) == []


@pytest.mark.skipif(shutil.which("git") is None, reason="sync is the maker's own git")
def test_two_laptops_come_together(
    cellar: Cellar, fermtui: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Sweetened on one laptop, bottled on the other: git merges both lines, and the sync that brings them says so."""
    for name, value in (("GIT_CONFIG_GLOBAL", os.devnull), ("GIT_CONFIG_NOSYSTEM", "1"), ("GIT_AUTHOR_NAME", "A"),
                        ("GIT_AUTHOR_EMAIL", "a@example.com"), ("GIT_COMMITTER_NAME", "A"),
                        ("GIT_COMMITTER_EMAIL", "a@example.com")):  # fmt: skip
        monkeypatch.setenv(name, value)

    def git(at: str, *words: str) -> None:
        subprocess.run(["git", "-C", str(tmp_path / at), *words], check=True, capture_output=True)

    attributes = "daybook.toml text eol=lf merge=union"
    cellar({"vessels/rowan/vessel.toml": HEAD, DAYBOOK: MUST + STILL, ".gitattributes": attributes})
    git("cellar", "init", "-q", "-b", "main")
    git("cellar", "add", "-A")
    git("cellar", "commit", "-q", "-m", "base")
    git(".", "clone", "-q", "--bare", "cellar", "far.git")
    git("cellar", "remote", "add", "origin", str(tmp_path / "far.git"))
    git("cellar", "fetch", "-q")
    git("cellar", "branch", "-q", "--set-upstream-to=origin/main")
    git(".", "clone", "-q", "far.git", "laptop")
    with (tmp_path / "laptop" / DAYBOOK).open("a", encoding="utf-8") as book:
        book.write(HONEY)
    git("laptop", "commit", "-q", "-a", "-m", "sweetened")
    git("laptop", "push", "-q")

    wrote = ("write", "rowan", "bottle", "count=5", "size_ml=750", "left_l=0", "--at", "2026-03-13T10:00:00+01:00")
    assert fermtui(*wrote, "--on", "2026-03-13T10:00:00+01:00").status == 0
    assert troubles(fermtui) == []
    synced = fermtui("sync")
    assert synced.status == 0
    assert "5 bottles of 13 Mar 2026" in synced.err
    assert HONEY.strip() in (tmp_path / "cellar" / DAYBOOK).read_text("utf-8")
    assert troubles(fermtui) == [("rowan", "live_bottles")]
    assert fermtui("check", *NOW).status == 1


def test_check_names_the_order_that_counts_and_calls_it_no_fault(
    rowan: Callable[[str], Path], fermtui: Callable[..., Any]
) -> None:
    rowan(
        MUST
        + """
    a1 = { at = 2026-01-20T12:00:00+01:00, did = "feed", honey_g = 400 }
    a2 = { at = 2026-01-20T12:00:00+01:00, did = "read", sg = 1.082 }
    """
    )
    ran = fermtui("check", *NOW)
    assert ran.status == 0
    assert "line 6: this reading and the feeding of line 5 are of one moment" in ran.out
    assert [one["line"] for one in fermtui("check", "rowan", *NOW, "--json").json["one_moment"]] == [6]


def test_show_tells_free_and_total_sulfite_and_what_is_bound(
    rowan: Callable[[str], Path], fermtui: Callable[..., Any]
) -> None:
    # 57.6 % of potassium metabisulfite is SO2 (IUPAC weights): 0.5 g in 3.8 L are 75.8 mg/L.
    rowan(MUST + STILL)
    assert fermtui("show", "rowan", *NOW, "--json").json["so2"] is None
    rowan(MUST + STILL + KEPT)
    assert "at most 76 mg/L free of 76: not measured since" in fermtui("show", "rowan", *NOW).out
    measured = '    free = { at = 2026-03-14T18:00:00+01:00, did = "read", free_so2_mg_per_l = 38 }\n'
    rowan(MUST + STILL + KEPT + measured)
    assert "38 mg/L free of 76, 50 % bound" in fermtui("show", "rowan", *NOW).out
    told = fermtui("show", "rowan", *NOW, "--json").json["so2"]
    assert told == {
        "free_mg_per_l": 38.0, "total_mg_per_l": pytest.approx(75.8, abs=0.1), "measured": True,
        "bound_percent": pytest.approx(49.9, abs=0.2),
    }  # fmt: skip


def test_live_bottles_stand_in_the_calendar_and_in_show_too(rowan: Any, fermtui: Any) -> None:
    rowan(LIVE)
    file = fermtui("calendar", *NOW).out
    assert "UID:rowan.live_bottles.glass@fermtui" in file
    assert "SUMMARY:CHECK: Rowan: bottles may burst" in file
    shown = fermtui("show", "rowan", *NOW, "--json").json
    assert [one["kind"] for one in shown["troubles"]] == ["live_bottles"]
    assert shown["troubles"] == fermtui("due", *NOW, "--json").json["troubles"]
    opened = LIVE + 'x = { at = 2026-03-20T10:00:00+01:00, did = "open", count = 5 }\n'
    rowan(opened)
    assert "bottles may burst" not in fermtui("calendar", *NOW).out
