"""Each finding of a guard, at each door: write, tick, a late entry, a file edited by hand and a meeting of two clones.

The form's door is in tests/tui/test_guards_in_the_form.py.
"""

from __future__ import annotations

import re
import shlex
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from fermtui.schedule import guards
from trips import SETTINGS, TRIPS, Trip, head_of, schedule_of

STATUS = {"impossible": 1, "refusal": 3, "advice": 0}
HARMFUL = tuple(trip for trip in TRIPS if trip.kind != "advice")
HARMLESS_IN_A_FILE = {
    "heating_bottles-heat", "heating_live_ferment-heat",  # over once it was done
    "vessel_empty-chill", "bottled_already-degas", "nothing_to_pull-pull",  # nothing was there, so nothing changed
    "unknown_container-rack", "full_container-rack",  # where it stands, not what is in it
}  # fmt: skip


def name_of(trip: Trip) -> str:
    return f"{trip.key}-{trip.did}"


def pages(trip: Trip, vessel: str = "rowan") -> dict[str, str]:
    return {
        "cellar.toml": SETTINGS,
        "schedules/one-kind.toml": schedule_of(trip),
        f"vessels/{vessel}/vessel.toml": head_of(trip),
        f"vessels/{vessel}/daybook.toml": trip.page,
    }


def line_of(trip: Trip) -> str:
    """The entry that trips, as a line that somebody typed into the file."""
    did, *pairs = shlex.split(trip.trips)
    fields = [f"at = {trip.at}", f'did = "{did}"']
    for pair in pairs:
        name, value = pair.split("=", 1)
        fields.append(f"{name} = {value}" if re.fullmatch(r"[\d.]+", value) else f'{name} = "{value}"')
    return "zz = { " + ", ".join(fields) + " }\n"


def test_every_finding_of_a_guard_has_its_trip() -> None:
    source = "".join(path.read_text() for path in Path(guards.__file__).parent.glob("*.py"))
    named = re.findall(r'Finding\(\s*"\w+",\s*"(\w+)"', source) + re.findall(r'impossible\("(\w+)"', source)
    named += re.findall(r'"(\w+)" if facts.malolactic else "(\w+)"', source)[0]
    named += re.findall(r'_short\("(\w+)"', source)
    held_elsewhere = {
        "unread_lines",  # it wants a damaged file: tests/cli/test_odd_files.py
        "beyond_reckoning",  # it wants a number that no sum takes: tests/schedule/guards/test_guards_laws.py
        "unknown_way", "short_bath", "bottle_then_heat",  # they want a chosen way: tests/cli/test_kept_sweet.py
    }  # fmt: skip
    assert set(named) - {trip.key for trip in TRIPS} == held_elsewhere


@pytest.mark.parametrize("trip", TRIPS, ids=name_of)
def test_write_trips_and_lets_pass_what_is_just_inside(trip: Trip, cellar: Any, fermtui: Any) -> None:
    book = cellar(pages(trip)) / "vessels/rowan/daybook.toml"
    before = book.read_bytes()
    ran = fermtui("write", "rowan", *shlex.split(trip.trips), "--on", trip.at)
    assert ran.status == STATUS[trip.kind], ran.err
    if trip.kind != "advice":
        assert book.read_bytes() == before
    book.write_bytes(before)
    inside = fermtui("write", "rowan", *shlex.split(trip.inside), "--on", trip.at)
    assert inside.status == 0, inside.err
    assert ran.err != inside.err


@pytest.mark.parametrize("trip", TRIPS, ids=name_of)
def test_tick_says_the_same_as_write(trip: Trip, cellar: Any, fermtui: Any) -> None:
    did, *pairs = shlex.split(trip.trips)
    book = cellar(pages(trip)) / "vessels/rowan/daybook.toml"
    before = book.read_bytes()
    written = fermtui("write", "rowan", did, *pairs, "--on", trip.at)
    book.write_bytes(before)
    ticked = fermtui("tick", "rowan", "step-last", *pairs, "--on", trip.at)
    if "is left out" in ticked.err:  # the list has no such task any more
        return
    assert ticked.status == written.status
    if trip.kind == "advice":  # a dose brings the plan's other nutrient with it, so the figures differ
        assert ticked.err
    else:
        assert ticked.err == written.err


@pytest.mark.parametrize("trip", [trip for trip in TRIPS if trip.kind == "refusal"], ids=name_of)
def test_a_reason_lifts_it_and_stays_visible(trip: Trip, cellar: Any, fermtui: Any) -> None:
    cellar(pages(trip))
    words = ("write", "rowan", *shlex.split(trip.trips), "--on", trip.at)
    assert fermtui(*words, "override=").status == 3
    assert fermtui(*words, "override=I know this one").status == 0
    assert "in spite of a guard: I know this one" in fermtui("show", "rowan", "--on", "2026-05-01").out


@pytest.mark.parametrize("trip", [trip for trip in TRIPS if trip.kind == "impossible"], ids=name_of)
def test_no_reason_lifts_what_cannot_be(trip: Trip, cellar: Any, fermtui: Any) -> None:
    cellar(pages(trip))
    ran = fermtui("write", "rowan", *shlex.split(trip.trips), "override=I know", "--on", trip.at)
    assert ran.status == 1


@pytest.mark.parametrize("trip", HARMFUL, ids=name_of)
def test_written_late_it_is_refused_as_on_its_day(trip: Trip, cellar: Any, fermtui: Any) -> None:
    book = cellar(pages(trip)) / "vessels/rowan/daybook.toml"
    before = book.read_bytes()
    ran = fermtui("write", "rowan", *shlex.split(trip.trips), "--at", trip.at, "--on", "2026-05-01T12:00:00Z")
    assert ran.status == STATUS[trip.kind], ran.err
    assert book.read_bytes() == before


def one_vessel_each(cellar: Callable[[dict[str, str]], Path]) -> Path:
    every: dict[str, str] = {}
    for at, trip in enumerate(HARMFUL):
        every |= pages(trip, f"v{at:02d}")
    return cellar(every)


def troubled(fermtui: Any) -> dict[str, str]:
    """By vessel: what `check` says of it; the names of the files are left out."""
    said: dict[str, str] = {}
    for line in fermtui("check", "--on", "2026-04-06T12:00:00Z").out.splitlines():
        found = re.search(r"vessels/(v\d\d)/", line)
        if found:
            said[found[1]] = said.get(found[1], "") + line
    return said


def test_typed_into_the_file_by_hand_check_names_it(cellar: Any, fermtui: Any) -> None:
    folder = one_vessel_each(cellar)
    quiet = troubled(fermtui)
    for at, trip in enumerate(HARMFUL):
        book = folder / f"vessels/v{at:02d}/daybook.toml"
        book.write_text(book.read_text() + line_of(trip).replace("rowan", f"v{at:02d}"))
    loud = troubled(fermtui)
    silent = {name_of(trip) for at, trip in enumerate(HARMFUL) if loud.get(f"v{at:02d}") == quiet.get(f"v{at:02d}")}
    assert silent == HARMLESS_IN_A_FILE


def test_two_clones_that_meet_are_told_at_once(cellar: Any, fermtui: Any, tmp_path: Path) -> None:
    """One clone has the vessel, the other wrote the line that does not go with it."""
    folder = one_vessel_each(cellar)
    git = ("git", "-c", "user.name=maker", "-c", "user.email=maker@example.org", "-c", "init.defaultBranch=main")

    def shell(*words: str, at: Path) -> None:
        subprocess.run([*git, *words], cwd=at, check=True, capture_output=True)

    origin, other = tmp_path / "origin.git", tmp_path / "other"
    shell("init", "--bare", str(origin), at=tmp_path)
    (folder / ".gitattributes").write_text("daybook.toml text eol=lf merge=union\n")
    for words in (("init",), ("add", "."), ("commit", "-m", "first"), ("remote", "add", "origin", str(origin)),
                  ("push", "-u", "origin", "main")):  # fmt: skip
        shell(*words, at=folder)
    shell("clone", str(origin), str(other), at=tmp_path)
    for at, trip in enumerate(HARMFUL):
        book = other / f"vessels/v{at:02d}/daybook.toml"
        book.write_text(book.read_text() + line_of(trip).replace("rowan", f"v{at:02d}"))
    shell("commit", "-am", "from the other laptop", at=other)
    shell("push", at=other)
    ran = fermtui("sync", "--on", "2026-04-06T12:00:00Z")
    said = ran.out + ran.err
    told = {f"v{at:02d}" for at in range(len(HARMFUL)) if f"v{at:02d}: " in said or f"vessels/v{at:02d}/" in said}
    silent = {name_of(trip) for at, trip in enumerate(HARMFUL) if f"v{at:02d}" not in told}
    unreadable = {"below_nothing-bottle", "with_itself-top_up"}  # faults of one line: due, show and check name it
    assert silent == HARMLESS_IN_A_FILE | unreadable
