"""What no mead maker can mean is refused, what is unusual is said. The lines are common practice, no source."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from fermtui.cellar.store import CellarStore
from fermtui.daybook.places import Cellar
from fermtui.writing.planning import Preview, preview
from fermtui.writing.wanted import PlanUnfit, Wanted

NOW = datetime(2026, 3, 1, 18, 30, tzinfo=UTC)


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> CellarStore:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    folder = tmp_path / "cellar" / "vessels" / "damson"
    folder.mkdir(parents=True)
    (folder / "vessel.toml").write_text('name = "Damson"\n[plan]\nvolume_l = 4\ngravity = 1.09\n')
    (folder / "daybook.toml").write_text("")
    (tmp_path / "cellar" / "cellar.toml").write_text('timezone = "UTC"\n')
    return CellarStore(Cellar(tmp_path / "cellar"), lambda: NOW)


def plan(store: CellarStore, **wanted: Any) -> Preview:
    return preview(store, Wanted(**{"name": "Sloe", "volume_l": 4.0, "gravity": 1.095, **wanted}), NOW)


def test_an_ordinary_plan_is_not_questioned(store: CellarStore) -> None:
    assert plan(store).notes == ()
    assert plan(store, gravity=1.031).notes == ()
    assert plan(store, gravity=1.130, volume_l=60.0).notes == ()


@pytest.mark.parametrize(
    ("wanted", "says"),
    [
        ({"gravity": 1.300}, "no yeast ferments a must of 1.300"),
        ({"volume_l": 5_000.0}, "look at the unit"),
        ({"volume_l": 50_000.0}, "L"),
    ],
)
def test_what_cannot_be_is_refused(store: CellarStore, wanted: dict[str, float], says: str) -> None:
    with pytest.raises(PlanUnfit, match=says):
        plan(store, **wanted)


@pytest.mark.parametrize(
    ("wanted", "says"),
    [
        ({"gravity": 1.210}, "hardly any yeast starts in a must of 1.210"),
        ({"gravity": 1.160}, "it may not start"),
        ({"gravity": 1.020}, "thin, weak mead"),
        ({"gravity": 1.150}, "will stop sweet"),
        ({"gravity": 1.120, "tolerance_abv": 12.0}, "more than the yeast takes (12 % vol): it will stop sweet"),
        ({"volume_l": 400.0}, "a lot for a home"),
        ({"name": " damson "}, "there is a vessel called Damson already (folder damson)"),
    ],
)
def test_what_is_unusual_is_said(store: CellarStore, wanted: dict[str, Any], says: str) -> None:
    assert any(says in note for note in plan(store, **wanted).notes)


def test_a_second_vessel_of_a_name_gets_a_folder_of_its_own(store: CellarStore) -> None:
    assert plan(store, name="Damson").folder == "damson-2"


def test_what_is_too_weak_for_sorbate_is_said_before_it_is_mixed(store: CellarStore) -> None:
    # The table of sorbate begins at 10 % vol (Underhill): below it no dose is known to hold a sweet mead.
    weak = plan(store, gravity=1.060, sweet_to=1.012).notes
    assert len(weak) == 1
    for way in ("sorbate holds no mead", "stronger", "dry", "cold", "65 °C", "glass"):
        assert way in weak[0]
    assert plan(store, gravity=1.095, sweet_to=1.012).notes == ()
    assert plan(store, gravity=1.060).notes == ()
