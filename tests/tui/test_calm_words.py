"""What stands in the due list when nothing is due."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

from fermtui.cellar.store import CellarStore
from fermtui.daybook.places import Cellar
from fermtui.tui.row_builders import calm_words
from fermtui.units import METRIC
from fermtui.wording.vessels import vessel_text

HEAD = 'name = "Plum"\n[plan]\nvolume_l = 4.5\ngravity = 1.095\n'
PAGE = """
a0 = { at = 2026-01-01T18:30:00+01:00, did = "read", sg = 1.095, temp_c = 20 }
a1 = { at = 2026-01-01T19:00:00+01:00, did = "pitch" }
a2 = { at = 2026-01-05T19:00:00+01:00, did = "read", sg = 1.060, temp_c = 20 }
"""
STUCK = """
a3 = { at = 2026-01-10T19:00:00+01:00, did = "read", sg = 1.034, temp_c = 20 }
a4 = { at = 2026-01-16T19:00:00+01:00, did = "read", sg = 1.034, temp_c = 20 }
a5 = { at = 2026-01-20T19:00:00+01:00, did = "read", sg = 1.034, temp_c = 20 }
"""


def words(folder: Path, pages: dict[str, str]) -> str:
    for name, page in pages.items():
        place = folder / "vessels" / name
        place.mkdir(parents=True)
        (place / "vessel.toml").write_text(HEAD.replace("Plum", name.capitalize()))
        (place / "daybook.toml").write_text(page)
    now = datetime.fromisoformat("2026-01-21T12:00:00+01:00")
    store = CellarStore(Cellar(folder), lambda: now)
    store.load()
    store.make_forecasts(list(pages))
    return calm_words(store.at(now))


def test_a_vessel_in_trouble_is_not_passed_over(tmp_path: Path) -> None:
    said = words(tmp_path, {"plum": PAGE + STUCK, "rowan": PAGE, "sloe": PAGE + STUCK})
    assert re.fullmatch(r"Nothing is due, but look at Plum, stalled \((over )?\d\d % likely\) and 1 more\.", said)


def test_the_shelf_says_how_likely_a_trouble_is(tmp_path: Path) -> None:
    words(tmp_path, {"plum": PAGE + STUCK})
    now = datetime.fromisoformat("2026-01-21T12:00:00+01:00")
    store = CellarStore(Cellar(tmp_path), lambda: now)
    store.load()
    store.make_forecasts(["plum"])
    (seen,) = store.at(now).vessels
    assert re.search(r"fermenting, stalled \((over )?\d\d % likely\)", vessel_text(seen, METRIC))


def test_where_all_is_well_it_is_quiet(tmp_path: Path) -> None:
    assert words(tmp_path, {"plum": PAGE}) == "Nothing is due."
