"""What the screens say of a typed reading."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from fermtui.daybook.cellar import Cellar
from fermtui.tui.words import understood_words
from fermtui.understand import understand
from fermtui.units import METRIC
from fermtui.view import Watched

NOW = datetime.fromisoformat("2026-03-05T20:00:00+01:00")


@pytest.mark.parametrize(
    ("text", "says"), [("1.064 20", "down 14 points since 08:10"), ("1.078 20", "as at 08:10")]
)
def test_a_second_reading_of_the_day_says_since_what_hour(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, text: str, says: str
) -> None:
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "cache"))
    folder = tmp_path / "cellar/vessels/damson"
    folder.mkdir(parents=True)
    (tmp_path / "cellar/cellar.toml").write_text('timezone = "Europe/Berlin"\n')
    (folder / "vessel.toml").write_text('name = "Damson"\n[plan]\nvolume_l = 4\ngravity = 1.09\n')
    (folder / "daybook.toml").write_text(
        'a = { at = 2026-03-01T18:30:00+01:00, did = "pitch" }\n'
        'b = { at = 2026-03-05T07:10:00Z, did = "read", sg = 1.078, temp_c = 20 }\n'
    )
    watched = Watched(Cellar(tmp_path / "cellar"), lambda: NOW)
    watched.load()
    said = understood_words(understand(watched, watched.kept["damson"], text, NOW), METRIC)
    assert says in said
