"""What is said of a gravity's age."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest

from fermtui.cellar.store import CellarStore
from fermtui.daybook.places import Cellar
from fermtui.wording.vessels import gravity_note, unread_text

HEAD = 'name = "Damson"\n[plan]\nvolume_l = 4.0\ngravity = 1.09\n'
OG = 'a0 = { at = 2026-03-01T18:30:00+01:00, did = "read", sg = 1.090, temp_c = 20 }\n'
PITCH = 'a1 = { at = 2026-03-01T19:00:00+01:00, did = "pitch" }\n'
READ = 'a2 = { at = 2026-03-05T19:00:00+01:00, did = "read", sg = 1.066, temp_c = 20 }\n'
FED = 'a3 = { at = 2026-03-06T19:00:00+01:00, did = "feed", honey_g = 300 }\n'


def said(tmp_path: Path, page: str, day: int) -> tuple[str, str]:
    folder = tmp_path / "vessels/damson"
    folder.mkdir(parents=True)
    (folder / "vessel.toml").write_text(HEAD)
    (folder / "daybook.toml").write_text(page)
    (tmp_path / "cellar.toml").write_text('timezone = "Europe/Vienna"\n')
    now = datetime.fromisoformat("2026-03-01T19:30:00+01:00") + timedelta(days=day)
    store = CellarStore(Cellar(tmp_path), lambda: now)
    store.load()
    (seen,) = store.at(now).vessels
    return gravity_note(seen), unread_text(seen)


@pytest.mark.parametrize(
    ("page", "day", "expected"),
    [
        (OG + PITCH + READ, 4, ("today", "")),
        (OG + PITCH + READ, 5, ("yesterday", "")),
        (OG + PITCH + READ, 17, ("13 days ago", "")),
        (OG + PITCH + READ, 18, ("14 days ago", "not read for 14 days")),
        (OG + PITCH, 30, ("30 days ago", "not read for 30 days")),
        (OG + PITCH + READ + FED, 6, ("reckoned", "")),
        (OG + PITCH + READ + FED, 40, ("reckoned", "not read for 36 days")),
    ],
)
def test_how_old_a_gravity_is(tmp_path: Path, page: str, day: int, expected: tuple[str, str]) -> None:
    assert said(tmp_path, page, day) == expected
