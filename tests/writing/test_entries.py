"""The one door for writing, as the screens use it."""

from __future__ import annotations

import errno
import os
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from fermtui.cellar.store import CellarStore
from fermtui.daybook import append
from fermtui.daybook.files import NotWritten
from fermtui.daybook.places import Cellar
from fermtui.writing import door, entries
from fermtui.writing.refused import GUARD, INPUT, Refused

NOW = datetime.fromisoformat("2026-03-06T19:00:00+01:00")
PAGE = """
a0 = { at = 2026-03-01T18:30:00+01:00, did = "mix", honey_g = 1130, volume_l = 4.0 }
a1 = { at = 2026-03-01T19:00:00+01:00, did = "pitch" }
a2 = { at = 2026-03-05T19:00:00+01:00, did = "read", sg = 1.066, temp_c = 20 }
"""


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> CellarStore:
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "cache"))
    folder = tmp_path / "cellar/vessels/damson"
    folder.mkdir(parents=True)
    (folder / "vessel.toml").write_text('name = "D"\nschedule = "two-doses"\n[plan]\nvolume_l = 4.0\ngravity = 1.09\n')
    (folder / "daybook.toml").write_text(PAGE)
    opened = CellarStore(Cellar(tmp_path / "cellar"), lambda: NOW)
    opened.load()
    return opened


def page(store: CellarStore, vessel: str = "damson") -> str:
    return (store.cellar.path / "vessels" / vessel / "daybook.toml").read_text()


def write(
    store: CellarStore, did: str, at: datetime = NOW, override: str | None = None, **fields: Any
) -> entries.WrittenEntry:
    return door.write(store, "damson", did, fields, at=at, now=NOW, override=override)


def test_what_is_written_is_seen_at_once(store: CellarStore) -> None:
    done = write(store, "level", volume_l=3.5)
    assert done.key in page(store)
    assert store.vessels["damson"].facts.level_l == pytest.approx(3.5)
    assert store.acknowledged["damson"][done.key] in page(store)


@pytest.mark.parametrize(
    ("did", "fields", "says"),
    [
        ("wobble", {}, "no kind of entry"), ("read", {}, "needs the gravity"),
        ("taste", {}, "look, smell, taste, a score of 20, or a note"),
        ("taste", {"override": "x"}, "at least one thing"),
        ("read", {"sg": 1.9}, "the gravity is a number"),
        ("note", {"text": "x" * 2001}, "2000 is the most"), ("note", {"text": "\ud800"}, "surrogate"),
        ("rack", {"volume_l": float("nan")}, "the volume is a number"),
        ("dose", {"dap_g": "1"}, "number without quotes"),
        ("bottle", {"count": 4, "size_ml": 750, "glass": "jam"}, "still"), ("postpone", {"task": "dose-1"}, "until"),
    ],
)  # fmt: skip
def test_what_no_form_should_send_is_refused(store: CellarStore, did: str, fields: dict[str, Any], says: str) -> None:
    with pytest.raises(Refused, match=r"^[^\n]+$") as why:
        write(store, did, **fields)
    assert (why.value.code, says in str(why.value)) == (INPUT, True)
    assert page(store) == PAGE


def test_a_reason_of_blanks_is_none_and_is_not_written(store: CellarStore) -> None:
    write(store, "degas", override="   ")
    assert "override" not in page(store)
    with pytest.raises(Refused) as why:
        write(store, "bottle", override="  ", count=4, size_ml=750)
    assert why.value.code == GUARD
    assert why.value.findings
    write(store, "bottle", override="  into a keg  ", count=4, size_ml=750)
    assert 'override = "into a keg"' in page(store)


def test_a_clock_may_be_off_by_some_hours_and_not_by_a_day(store: CellarStore) -> None:
    write(store, "degas", at=NOW + timedelta(hours=11))
    with pytest.raises(Refused, match="future"):
        write(store, "degas", at=NOW + timedelta(hours=13))


def test_preparing_writes_nothing(store: CellarStore) -> None:
    ready = entries.prepare(store, "damson", "bottle", {"count": 4, "size_ml": 750}, at=NOW, now=NOW)
    assert ready.refusals
    assert ready.cautions
    assert page(store) == PAGE


def test_of_a_split_that_was_cut_off_it_says_where_the_other_half_stands(
    store: CellarStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    true = os.rename

    def failing(source: Path, target: Path) -> None:
        if Path(target).name == "half":
            raise OSError(errno.ENOSPC, "no space")
        true(source, target)

    monkeypatch.setattr(os, "rename", failing)
    with pytest.raises(Refused) as why:
        write(store, "split", into="half", volume_l=1.0)
    assert "disk is full" in str(why.value)
    assert "its other half stands in damson" in str(why.value)
    assert "half" not in store.names()
    monkeypatch.undo()
    key = page(store).splitlines()[-1].split(" = ")[0]
    door.write(store, "half", "receive", {"from": "damson", "entry": key}, at=NOW, now=NOW)
    assert store.problems_of(store.vessels["damson"]) == ()
    assert store.vessels["half"].facts.level_l == pytest.approx(1.0, abs=0.005)


def test_a_split_that_failed_leaves_no_vessel(store: CellarStore, monkeypatch: pytest.MonkeyPatch) -> None:
    def failing(*_: object) -> None:
        raise NotWritten("nothing was written: the disk is full; make room and try again")

    monkeypatch.setattr(append, "_append", failing)
    with pytest.raises(Refused, match="nothing was written: the disk is full"):
        write(store, "split", into="half", volume_l=1.0)
    assert store.names() == ("damson",)
    assert [path.name for path in (store.cellar.path / "vessels").iterdir()] == ["damson"]
    assert page(store) == PAGE


TROUBLED = """
c0 = { at = 2026-02-01T10:00:00+01:00, did = "mix", honey_g = 1130, volume_l = 4.0 }
c1 = { at = 2026-02-01T11:00:00+01:00, did = "pitch" }
c2 = { at = 2026-02-02T12:00:00+01:00, did = "read", sg = 0.998, temp_c = 20 }
c3 = { at = 2026-02-20T10:00:00+01:00, did = "read", sg = 0.998, temp_c = 20 }
c4 = { at = 2026-03-05T10:00:00+01:00, did = "read", sg = 0.998, temp_c = 20, ph = 3.3 }
"""
EARLIER = NOW - timedelta(hours=2)


@pytest.fixture
def dry(store: CellarStore) -> CellarStore:
    book = store.cellar.path / "vessels/damson/daybook.toml"
    book.write_text(TROUBLED)
    head = book.with_name("vessel.toml")
    head.write_text(head.read_text().replace('name = "D"\n', 'name = "D"\ncapacity_l = 5.0\n'))
    store.renew("damson")
    return store


def refused(store: CellarStore, did: str, at: datetime = NOW, **fields: Any) -> str:
    before = page(store)
    with pytest.raises(Refused) as why:
        write(store, did, at, **fields)
    assert (why.value.code, page(store)) == (GUARD, before)
    return str(why.value)


@pytest.mark.parametrize(
    ("first", "late", "said"),
    [
        (("sulfite", {"metabisulfite_g": 2.0}), ("sulfite", {"metabisulfite_g": 2.0}), "total SO2 comes to"),
        (("fruit", {"kind": "plum", "mass_g": 700}), ("fruit", {"kind": "plum", "mass_g": 700}), "700 g of plum"),
        (("bottle", {"count": 4, "size_ml": 750}), ("feed", {"honey_g": 100}), "no gravity has been read since"),
        (("bottle", {"count": 4, "size_ml": 750}), ("add", {"what": "sugar", "mass_g": 50}), "no gravity"),
    ],
)  # fmt: skip
def test_an_earlier_date_is_no_way_around_a_guard(
    dry: CellarStore, first: tuple[str, Any], late: tuple[str, Any], said: str
) -> None:
    write(dry, first[0], **first[1])
    text = refused(dry, late[0], EARLIER, **late[1])
    assert "of 6 Mar 2026 19:00 no longer passes its checks: " in text
    assert said in text
    done = write(dry, late[0], EARLIER, override="it was so", **late[1])
    assert [finding.observed.kind for finding in done.findings if finding.kind == "refusal"] == ["in_hindsight"]


# The line for DAP is 0.96 g/L: 27 CFR 24.246. Two times 3 g in 4 L pass it, whatever date the second one bears.
def test_a_second_dose_under_an_earlier_date_is_refused_as_the_first_would_be(store: CellarStore) -> None:
    write(store, "dose", dap_g=3.0)
    text = refused(store, "dose", EARLIER, dap_g=3.0)
    assert "no longer passes its checks: " in text
    assert "comes to 1.50 g/L" in text


def test_what_was_read_and_what_was_overridden_already_is_not_held_against_what_is_written_late(
    dry: CellarStore,
) -> None:
    write(dry, "bottle", count=4, size_ml=750)
    write(dry, "read", EARLIER, sg=1.004, override="seen")  # a reading is written, whatever it shows
    write(dry, "strike")
    write(dry, "strike", entry=page(dry).splitlines()[-3].split(" = ")[0])
    write(dry, "bottle", count=4, size_ml=750, override="a keg")
    written = write(dry, "feed", EARLIER, honey_g=100)
    assert written.key in page(dry)


def test_a_clock_set_back_is_no_way_around_a_guard(dry: CellarStore) -> None:
    write(dry, "sulfite", metabisulfite_g=2.0)
    back = CellarStore(dry.cellar, lambda: NOW, upto=EARLIER)
    back.load()
    with pytest.raises(Refused, match="total SO2"):
        door.write(back, "damson", "sulfite", {"metabisulfite_g": 2.0}, at=EARLIER, now=EARLIER)


def test_to_restore_what_was_struck_is_no_way_around_a_guard(dry: CellarStore) -> None:
    first = write(dry, "sulfite", metabisulfite_g=2.0)
    struck = write(dry, "strike", entry=first.key)
    write(dry, "strike", entry=struck.key)  # nothing came between
    struck = write(dry, "strike", entry=first.key)
    write(dry, "sulfite", metabisulfite_g=2.0)
    assert "total SO2 comes to" in refused(dry, "strike", entry=struck.key)


def test_lines_that_cannot_be_read_make_no_guard_weaker(dry: CellarStore) -> None:
    book = dry.cellar.path / "vessels/damson/daybook.toml"
    ready = entries.prepare(dry, "damson", "bottle", {"count": 4, "size_ml": 750}, at=NOW, now=NOW)
    assert ready.refusals == ()
    book.write_text(TROUBLED + "c5 = { at = 2026-03-02T10:00:00+01:00, did = 'sweeten', honey_g = 40\n")
    dry.renew("damson")
    for did, fields in (("bottle", {"count": 4, "size_ml": 750}), ("sulfite", {"metabisulfite_g": 0.2})):
        assert "1 line of its files could not be read" in refused(dry, did, **fields)
    write(dry, "read", sg=0.998)
    write(dry, "bottle", count=4, size_ml=750, override="that line was a slip")


def test_a_reason_is_told_all_that_it_overrides(dry: CellarStore) -> None:
    done = write(dry, "bottle", count=4, size_ml=750, priming_g=60, glass="still", override="as ever")
    assert "priming_in_still_glass" in [finding.key for finding in done.findings]


def test_a_strike_of_nothing_stops_no_act(dry: CellarStore) -> None:
    book = dry.cellar.path / "vessels/damson/daybook.toml"
    book.write_text(TROUBLED + 'c5 = { at = 2026-03-02T10:00:00+01:00, did = "strike", entry = "nowhere" }\n')
    dry.renew("damson")
    assert [problem.kind for problem in dry.problems_of(dry.vessels["damson"])] == ["strike_of_nothing"]
    assert entries.prepare(dry, "damson", "bottle", {"count": 4, "size_ml": 750}, at=NOW, now=NOW).refusals == ()
