"""The text twin of the screens shows what they show."""

from __future__ import annotations

import re
from datetime import datetime
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from fermtui.cellar.agenda import by_time
from fermtui.cellar.cache import Cache
from fermtui.cellar.store import CellarStore
from fermtui.daybook.places import open_cellar
from fermtui.reports.vessel_text import band_lines, cellar_lines, vessel_lines
from fermtui.writing.entries import vessel_file
from fermtui.writing.sample import sample_path

NOW = datetime(2026, 3, 18, 19, tzinfo=ZoneInfo("Europe/Berlin"))


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> CellarStore:
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path))
    found = CellarStore(open_cellar(sample_path()), lambda: NOW, Cache(tmp_path / "cache.json"), upto=NOW)
    found.load()
    found.make_forecasts()
    return found


def test_a_vessel_in_trouble_has_its_check_list(store: CellarStore) -> None:
    seen = store.see(store.vessels["buckwheat"], NOW)
    lines = vessel_lines(seen, vessel_file(store, "buckwheat"), store.settings, NOW)
    trouble = next(line for line in lines if line.startswith("trouble: "))
    assert re.fullmatch(r"trouble: stalled at 1\.03\d, \d\d points above its end.*", trouble)
    answers = "\n".join(lines)
    for word in ("Temperature:", "Nitrogen:", "pH:", "Alcohol:", "Yeast:", "Leave alone: do not bottle it"):
        assert word in answers


def test_what_stands_still_is_given_no_finish_and_a_forecast_says_what_it_leaves_out(store: CellarStore) -> None:
    pages = {
        name: vessel_lines(store.see(store.vessels[name], NOW), vessel_file(store, name), store.settings, NOW)
        for name in ("buckwheat", "heather", "quince")
    }
    assert not [line for line in pages["buckwheat"] if line.startswith("  finish")]
    assert [line for line in pages["heather"] if line.startswith("  finish")]
    assert [line for line in pages["heather"] if "without the honey or fruit that is still to go in" in line]
    assert [line for line in pages["quince"] if line.split() == ["volume", "empty"]]


def test_the_trend_to_come_is_a_table_that_falls_and_narrows_nowhere_below_its_band(store: CellarStore) -> None:
    seen = store.see(store.vessels["damson"], NOW)
    assert seen.forecast is not None
    rows = [
        [float(number) for number in re.findall(r"\d\.\d{3}", line)]
        for line in band_lines(seen.forecast, store.settings, NOW)
    ]
    assert 2 <= len(rows) <= 8
    for likely, low, high in rows:
        assert low <= likely <= high
    assert all(later[0] <= earlier[0] for earlier, later in pairwise(rows))


def test_all_vessels_in_a_line_each(store: CellarStore) -> None:
    lines = cellar_lines(store.at(NOW))
    assert len(lines) == 9
    assert next(line for line in lines if line.startswith("damson")).split()[1:3] == ["Damson", "fermenting"]
    assert "(stalled)" in next(line for line in lines if line.startswith("buckwheat"))


def test_steps_readings_and_struck_lines_are_all_there(store: CellarStore) -> None:
    seen = store.see(store.vessels["raspberry"], NOW)
    lines = vessel_lines(seen, vessel_file(store, "raspberry"), store.settings, NOW)
    assert lines[0] == "Raspberry (raspberry)"
    assert {"steps", "readings", "daybook"} <= set(lines)
    assert any(line.startswith(" ~") for line in lines)  # the struck slip stays readable


def test_steps_stand_in_the_order_of_time_and_not_of_the_file(store: CellarStore) -> None:
    for name in store.names():
        seen = store.see(store.vessels[name], NOW)
        ordered = by_time(seen.tasks)
        assert sorted(task.key for task in ordered) == sorted(task.key for task in seen.tasks)
        states = [task.is_open for task in ordered]
        assert states == sorted(states), "what is over comes first"
        for some in ([t.settled_at for t in ordered if not t.is_open], [t.likely for t in ordered if t.is_open]):
            days = [at.timestamp() if at else float("inf") for at in some]
            assert days == sorted(days)
        lines = vessel_lines(seen, vessel_file(store, name), store.settings, NOW)
        shown = lines[lines.index("steps") + 1 : lines.index("readings") - 1]
        keys = [found[1] for line in shown if (found := re.search(r"\[([a-z0-9-]+)\]$", line))]
        assert keys == [task.key for task in ordered if task.is_open]


def test_a_chance_says_of_what_and_is_never_certain(store: CellarStore) -> None:
    seen = store.see(store.vessels["buckwheat"], NOW)
    lines = vessel_lines(seen, vessel_file(store, "buckwheat"), store.settings, NOW)
    (stopped,) = [line for line in lines if line.startswith("  has stopped")]
    (stalled,) = [line for line in lines if line.startswith("  ends high")]
    assert stopped.endswith("likely")
    assert stalled.endswith("likely: comes to rest above its planned end")
    assert "100 %" not in stopped + stalled
