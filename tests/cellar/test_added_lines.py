"""A daybook that was only added to is read on from where it was left, and says the same as one that is read whole."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fermtui.cellar.cache import Cache
from fermtui.cellar.loaded import LoadedVessel
from fermtui.cellar.store import CellarStore
from fermtui.daybook import vessel_file
from fermtui.daybook.line_parser import parse_line
from fermtui.daybook.places import open_cellar

BEGUN = """
a1 = { at = 2026-03-01T10:00:00Z, did = "mix", volume_l = 4.0, honey_g = 1200 }
a2 = { at = 2026-03-01T11:00:00Z, did = "read", sg = 1.095, temp_c = 20 }
a3 = { at = 2026-03-01T12:00:00Z, did = "pitch", temp_c = 22 }
a4 = { at = 2026-03-03T12:00:00Z, did = "dose", autolysate_g = 2 }
a5 = { at = 2026-03-08T12:00:00Z, did = "fruit", kind = "plum", mass_g = 300 }
""".lstrip()
PLAIN = 'b1 = { at = 2026-03-09T12:00:00Z, did = "read", sg = 1.050, temp_c = 20 }\n'
LATER = (
    PLAIN,
    PLAIN + 'b2 = { at = 2026-03-12T12:00:00Z, did = "feed", honey_g = 200 }\n',
    'b1 = { at = 2026-03-12T12:00:00Z, did = "split", into = "half", volume_l = 1.0 }\n',
    'b1 = { at = 2026-03-12T12:00:00Z, did = "bottle", count = 4, size_ml = 750 }\n',  # live bottles
    'b1 = { at = 2026-03-08T12:00:00Z, did = "read", sg = 1.050 }\n',  # of the same moment
    'b1 = { at = 2026-03-02T12:00:00Z, did = "read", sg = 1.090 }\n',  # late
    'b1 = { at = 2026-03-09T12:00:00Z, did = "strike", entry = "a4" }\n',
    'b1 = { at = 2026-03-09T12:00:00Z, did = "waved", text = "hello" }\n',
    'a4 = { at = 2026-03-09T12:00:00Z, did = "dose", autolysate_g = 3 }\n',  # a key that stands before
    "b1 = { at = 2026-03-09T12:00\n",  # torn
    "# a remark\n\n",
    PLAIN.rstrip("\n"),
)
Made = Callable[[str], Path]


@pytest.fixture
def book(tmp_path: Path) -> Path:
    folder = tmp_path / "cellar" / "vessels" / "rowan"
    folder.mkdir(parents=True)
    (tmp_path / "cellar" / "cellar.toml").write_text('timezone = "Europe/Vienna"\n')
    (folder / "vessel.toml").write_text('name = "Rowan"\ncapacity_l = 5.0\n[plan]\nvolume_l = 4.0\ngravity = 1.095\n')
    (folder / "daybook.toml").write_text(BEGUN)
    return folder / "daybook.toml"


def store_with(book: Path, cache: Path) -> CellarStore:
    return CellarStore(open_cellar(book.parents[2]), lambda: datetime(2026, 4, 1, tzinfo=UTC), Cache(cache))


def read(store: CellarStore) -> LoadedVessel:
    store.load()
    store.cache.save()
    return store.vessels["rowan"]


def same(one: LoadedVessel, other: LoadedVessel) -> None:
    assert one.facts == other.facts
    assert (one.problems, one.transfers) == (other.problems, other.transfers)
    assert (one.standing == ()) == (other.standing == ())
    assert one.key == other.key


@pytest.mark.parametrize("added", LATER)
def test_what_was_added_counts_as_if_all_were_read(added: str, book: Path, tmp_path: Path) -> None:
    open_store = store_with(book, tmp_path / "open.json")
    read(open_store)
    book.write_text(BEGUN + added)
    whole = read(store_with(book, tmp_path / "fresh.json"))
    same(read(open_store), whole)  # a process that had it open
    book.write_text(BEGUN)
    read(store_with(book, tmp_path / "kept.json"))
    book.write_text(BEGUN + added)
    same(read(store_with(book, tmp_path / "kept.json")), whole)  # a later one, by the cache
    same(read(store_with(book, tmp_path / "kept.json")), whole)


@pytest.mark.parametrize("by_cache", [False, True])
def test_new_lines_are_all_that_is_parsed(
    by_cache: bool, book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store = store_with(book, tmp_path / "kept.json")
    before = read(store).facts
    book.write_text(BEGUN + LATER[1])
    monkeypatch.setattr(vessel_file, "read_lines", lambda *_: pytest.fail("read the whole daybook"))
    seen: list[bytes] = []

    def counted(raw: bytes) -> tuple[str, dict[str, object]]:
        seen.append(raw)
        return parse_line(raw)

    monkeypatch.setattr("fermtui.daybook.lines.parse_line", counted)
    after = read(store_with(book, tmp_path / "kept.json") if by_cache else store).facts
    assert len(seen) == 2
    assert len(after.readings) == len(before.readings) + 1


@pytest.mark.parametrize("change", ["before", "head", "settings"])
def test_what_was_changed_before_is_read_whole(change: str, book: Path, tmp_path: Path) -> None:
    store = store_with(book, tmp_path / "kept.json")
    read(store)
    text, head, settings = BEGUN, book.with_name("vessel.toml"), book.parents[2] / "cellar.toml"
    if change == "before":
        text = BEGUN.replace("honey_g = 1200", "honey_g = 1300")
    elif change == "head":
        head.write_text(head.read_text().replace("capacity_l = 5.0", "capacity_l = 6.0"))
    else:
        settings.write_text('timezone = "Europe/Vienna"\n[hydrometer]\noffset_sg = 0.002\n')
    book.write_text(text + PLAIN)
    same(read(store_with(book, tmp_path / "kept.json")), read(store_with(book, tmp_path / "fresh.json")))
