"""The cellar at one clock, with and without its forecasts."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fermtui.cellar.agenda import agenda
from fermtui.cellar.store import CellarStore
from fermtui.daybook.places import Cellar

NOW = datetime(2026, 3, 12, 12, tzinfo=UTC)
HEAD = 'name = "{}"\ncontainer = "{}"\nschedule = "two-doses"\n[plan]\nvolume_l = 4.0\ngravity = 1.09\n'
RUNNING = """
a0 = { at = 2026-03-01T18:30:00+01:00, did = "read", sg = 1.090, temp_c = 20 }
a1 = { at = 2026-03-01T19:00:00+01:00, did = "pitch" }
a2 = { at = 2026-03-05T19:00:00+01:00, did = "read", sg = 1.066, temp_c = 20 }
a3 = { at = 2026-03-09T19:00:00+01:00, did = "read", sg = 1.040, temp_c = 20 }
"""
BOTTLED = (
    RUNNING.replace("2026-", "2025-")
    + """
b0 = { at = 2025-04-01T19:00:00+02:00, did = "read", sg = 1.000, temp_c = 20 }
b1 = { at = 2025-06-01T19:00:00+02:00, did = "bottle", count = 5, size_ml = 750 }
"""
)
PAGES = {
    "cellar.toml": 'timezone = "Europe/Vienna"\n'
    + "".join(f'[[container]]\nname = "Jar {n}"\ncapacity_l = 5.0\n' for n in (1, 2, 3)),
    "vessels/damson/vessel.toml": HEAD.format("Damson", "Jar 1"),
    "vessels/damson/daybook.toml": RUNNING,
    "vessels/rowan/vessel.toml": HEAD.format("Rowan", "Jar 2"),
    "vessels/rowan/daybook.toml": BOTTLED,
}


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "cache"))
    for name, text in PAGES.items():
        path = tmp_path / "cellar" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return tmp_path / "cellar"


def opened(folder: Path, **more: datetime) -> CellarStore:
    return CellarStore(Cellar(folder), lambda: NOW, upto=more.get("upto"))


def test_without_a_forecast_it_shows_what_is_known(folder: Path) -> None:
    store = opened(folder)
    store.load()
    view = store.at(NOW)
    seen = view.vessel("damson")
    assert seen is not None
    assert (seen.forecast, seen.forecast_ready, seen.gravity) == (None, False, 1.040)
    assert store.without_forecast() == ["damson", "rowan"]
    waiting = {task.key for task in seen.tasks if task.state == "waiting"}
    store.make_forecasts()
    answers = store.at(NOW).vessel("damson")
    assert answers is not None
    assert answers.forecast is not None
    assert answers.forecast_ready
    assert {task.key for task in answers.tasks if task.state == "waiting"} < waiting  # dates have come
    assert (answers.gravity, answers.volume_l, answers.stage) == (seen.gravity, seen.volume_l, seen.stage)
    assert view.vessel("nope") is None


def test_the_same_clock_gives_the_same_view(folder: Path) -> None:
    def answers() -> str:
        store = opened(folder)
        store.load()
        store.make_forecasts()
        view = store.at(NOW)
        store.save()
        return repr([(seen.tasks, seen.present, seen.trouble_found, seen.stage) for seen in view.vessels])

    assert answers() == answers() == answers()


def test_a_vessel_alone_is_foretold_as_it_is_among_all(folder: Path) -> None:
    alone, among = opened(folder), opened(folder)
    alone.load_one("damson")
    alone.make_forecasts(["damson"])
    among.load()
    among.make_forecasts()
    one, other = (store.at(NOW).vessel("damson") for store in (alone, among))
    assert one is not None
    assert other is not None
    assert one.forecast is not None
    assert other.forecast is not None
    assert one.forecast.finish == other.forecast.finish
    assert one.forecast.band() == other.forecast.band()


def test_an_earlier_look_teaches_nothing_false(folder: Path) -> None:
    before = datetime(2025, 3, 12, 12, tzinfo=UTC)
    for clock in (NOW, before, NOW):
        store = opened(folder, upto=clock)
        store.load()
        store.make_forecasts()
        seen = store.at(clock).vessel("damson")
        assert seen is not None
        answers = None if seen.forecast is None else seen.forecast.finish
        store.save()
        fresh = CellarStore(Cellar(folder), lambda: NOW, upto=clock)
        fresh.cache._values.clear()  # noqa: SLF001 - as if the file had been deleted
        fresh.load()
        fresh.make_forecasts()
        again = fresh.at(clock).vessel("damson")
        assert again is not None
        assert (None if again.forecast is None else again.forecast.finish) == answers


def finish_of(store: CellarStore) -> object:
    store.make_forecasts()
    seen = store.at(NOW).vessel("damson")
    assert seen is not None
    assert seen.forecast is not None
    return seen.forecast.finish


@pytest.mark.parametrize("how", ["bottled", "put away", "a reading of it corrected"])
def test_a_vessel_that_ends_reaches_the_forecasts_of_the_same_session(folder: Path, how: str) -> None:
    page, slow = folder / "vessels/rowan/daybook.toml", BOTTLED.replace("2025-03-09", "2025-03-28")
    ended = slow.replace("1.066", "1.080")
    page.write_text(slow if how.startswith("a ") else ended.partition("b1 = ")[0] if how == "bottled" else ended)
    store = opened(folder)
    store.load()
    before = finish_of(store)
    assert store.without_forecast() == []
    if how == "put away":
        (folder / "past").mkdir()
        (folder / "vessels/rowan").rename(folder / "past/rowan")
    else:
        page.write_text(ended)
    store.renew("rowan")
    assert "damson" in store.without_forecast()
    seen = store.at(NOW).vessel("damson")
    assert seen is not None
    assert seen.forecast is not None, "the old one stands there until the new one is made"
    after = finish_of(store)
    fresh = opened(folder)
    fresh.cache._values.clear()  # noqa: SLF001 - as if the file had been deleted
    fresh.load()
    assert after == finish_of(fresh)
    assert (after == before) == (how == "put away"), "what is put away teaches what it taught when it was bottled"


def test_which_containers_are_free(folder: Path) -> None:
    store = opened(folder)
    store.load()
    assert [one.name for one in store.at(NOW).free_containers] == ["Jar 2", "Jar 3"]  # the bottled one has left its
    assert store.occupied() == {"Jar 1"}
    assert store.occupied("damson") == frozenset()
    assert (store.held_by("Jar 1"), store.held_by("Jar 2"), store.held_by("Jar 9")) == ("Damson", None, None)


def test_it_follows_what_is_written_and_what_goes(folder: Path) -> None:
    store = opened(folder)
    store.load()
    page = folder / "vessels/damson/daybook.toml"
    page.write_text(page.read_text() + 'a4 = { at = 2026-03-11T19:00:00+01:00, did = "read", sg = 1.031 }\n')
    store.renew("damson")
    seen = store.at(NOW).vessel("damson")
    assert seen is not None
    assert seen.gravity == 1.031
    (folder / "past").mkdir()
    (folder / "vessels/damson").rename(folder / "past/damson")
    store.load()
    assert [one.vessel for one in store.at(NOW).vessels] == ["rowan"]
    assert store.load_one("damson") is not None
    assert "damson" not in store.vessels


def test_the_agenda_puts_what_presses_first(folder: Path) -> None:
    store = opened(folder)
    store.load()
    store.make_forecasts()
    view = store.at(NOW)
    states = [item.task.state for item in agenda(view)]
    assert states == sorted(states, key=("late", "due", "coming").index)
    assert {item.task.state for item in agenda(view, None, ("waiting",))} <= {"waiting"}
    near = agenda(view, timedelta(0))
    assert all(item.task.state != "coming" or item.task.likely == NOW for item in near)
    assert len(agenda(view, None)) >= len(agenda(view))
