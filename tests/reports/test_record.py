"""The printed record of a vessel: what its plot calls the line at its end."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from fermtui.cellar.store import CellarStore
from fermtui.daybook.places import open_cellar
from fermtui.reports.document import Block
from fermtui.reports.record import record
from fermtui.writing.entries import vessel_file

HEAD = """\
name = "Quince"
capacity_l = 5.0
schedule = "two-doses"
[plan]
volume_l = 4.0
gravity = 1.090
"""
BOOK = """\
20250401T173000000-aaaaaa = { at = 2025-04-01T18:30:00+02:00, did = "mix", volume_l = 4.0, honey_g = 1200 }
20250401T173100000-aaaaab = { at = 2025-04-01T18:31:00+02:00, did = "read", sg = 1.090, temp_c = 20 }
20250401T173200000-aaaaac = { at = 2025-04-01T18:32:00+02:00, did = "pitch", yeast_g = 2.0 }
20250501T173200000-aaaaad = { at = 2025-05-01T18:32:00+02:00, did = "read", sg = 1.000, temp_c = 20 }
20250801T173200000-aaaaae = { at = 2025-08-01T18:32:00+02:00, did = "read", sg = 1.000, temp_c = 20 }
"""
BOTTLED = """\
20250908T173137420-aaaaaf = { at = 2025-09-08T19:30:00+02:00, did = "bottle", count = 5, size_ml = 750 }
"""
READ_AFTER = """\
20250920T173137420-aaaaag = { at = 2025-09-20T19:30:00+02:00, did = "read", sg = 1.000, temp_c = 20 }
"""


@pytest.mark.parametrize(
    ("book", "on", "word", "line"),
    [
        (BOOK, "2025-09-08T21:00:00+02:00", "today", True),
        (BOOK + BOTTLED, "2025-09-08T21:00:00+02:00", "today", True),
        (BOOK + BOTTLED, "2026-03-18T19:30:00+01:00", "bottled", True),
        (BOOK + BOTTLED + READ_AFTER, "2026-03-18T19:30:00+01:00", "", False),
    ],
)
def test_the_plot_says_today_only_where_today_is(tmp_path: Path, book: str, on: str, word: str, line: bool) -> None:
    place = tmp_path / "vessels" / "quince"
    place.mkdir(parents=True)
    (tmp_path / "cellar.toml").write_text('timezone = "Europe/Vienna"\n', "utf-8")
    (place / "vessel.toml").write_text(HEAD, "utf-8")
    (place / "daybook.toml").write_text(book, "utf-8")
    now = datetime.fromisoformat(on)
    store = CellarStore(open_cellar(tmp_path), lambda: now)
    store.load()
    view = store.at(now)
    seen = view.vessel("quince")
    assert seen is not None
    sections = record(seen, vessel_file(store, "quince"), view.settings, now, ascii_only=True)
    drawn = next(section[1] for section in sections if section[0] == "Gravity")
    assert isinstance(drawn, Block)
    assert {one for one in ("today", "bottled") if one in drawn.lines[-1]} == ({word} if word else set())
    assert ("|" in drawn.lines[2]) is line
