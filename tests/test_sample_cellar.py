"""The sample cellar shows what its story says, on the day that it was written for and on any that it is moved to."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from functools import cache
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from fermtui.cellar.cache import Cache
from fermtui.cellar.loaded import measures_of
from fermtui.cellar.store import CellarStore, VesselView, View
from fermtui.daybook.places import open_cellar, past_names
from fermtui.daybook.settings import settings_of
from fermtui.daybook.vessel_file import VesselFile, read_vessel
from fermtui.must.fruit import fruit
from fermtui.replay.replay import replay
from fermtui.schedule.guards import check
from fermtui.schedule.task import Task
from fermtui.writing.sample import STORY_DAY, copy_shifted, sample_path

BERLIN = ZoneInfo("Europe/Berlin")
SAMPLE = sample_path()
EVENING = datetime(2026, 3, 18, 19, tzinfo=BERLIN)


def look(folder: Path, now: datetime) -> View:
    store = CellarStore(open_cellar(folder), lambda: now, Cache(folder / "no-such-cache.json"))
    store.load()
    store.make_forecasts()
    return store.at(now)


@cache
def story() -> View:
    return look(SAMPLE, EVENING)


def vessel(name: str) -> VesselView:
    found = story().vessel(name)
    assert found is not None
    return found


def in_state(seen: VesselView, state: str) -> set[str]:
    return {task.key for task in seen.tasks if task.state == state}


def task(name: str, key: str) -> Task:
    found = vessel(name).task(key)
    assert found is not None
    return found


def test_there_are_eight_at_work_and_two_put_away_and_nothing_is_wrong() -> None:
    names = [seen.vessel for seen in story().vessels]
    assert names == [
        "buckwheat", "damson", "heather", "linden", "quince", "raspberry", "sour-cherry", "windfall",
    ]  # fmt: skip
    assert past_names(open_cellar(SAMPLE)) == ("blackcurrant", "ginger-spark")
    assert story().all_problems == ()
    assert story().settings.unknown == ()
    assert all(seen.facts.notes == () for seen in story().vessels)
    assert [one.name for one in story().free_containers] == ["Demijohn 6", "Small jug", "Carboy 1"]


def test_one_was_just_pitched() -> None:
    seen = vessel("linden")
    assert (seen.stage, seen.trouble, seen.day) == ("fermenting", None, 1)
    assert seen.facts.after_pitch == ()
    assert in_state(seen, "due") == {"aerate", "dose-1"}
    assert in_state(seen, "late") == set()


def test_one_has_a_dose_late_that_stands_for_two() -> None:
    seen = vessel("damson")
    assert seen.name == "Damson"
    assert (seen.stage, seen.trouble) == ("fermenting", None)
    assert in_state(seen, "late") == {"dose-2"}
    assert in_state(seen, "due") == set()
    assert task("damson", "dose-3").state == "dropped"
    assert task("damson", "dose-1").state == "done"
    assert [seen.vessel for seen in story().vessels if in_state(seen, "late")] == ["damson"]


def test_one_is_at_the_one_third_break() -> None:
    seen = vessel("heather")
    assert (seen.stage, seen.trouble) == ("fermenting", None)
    assert seen.sugar_spent_percent == pytest.approx(100 / 3, abs=3.5)
    assert in_state(seen, "due") == {"ask-gravity"}
    last = task("heather", "dose-4")
    assert last.likely is not None
    assert last.likely.date() == STORY_DAY


def test_one_waits_for_dryness_before_its_fruit() -> None:
    seen = vessel("raspberry")
    assert (seen.stage, seen.trouble) == ("fermenting", None)
    assert seen.gravity is not None
    assert 1.005 < seen.gravity < 1.012
    assert task("raspberry", "fruit").state == "coming"
    assert task("raspberry", "fruit").forecast
    assert seen.facts.fruit == ()


def test_one_stands_on_fruit() -> None:
    seen = vessel("sour-cherry")
    assert (seen.stage, seen.trouble) == ("on fruit", None)
    assert "punch" in in_state(seen, "due")
    pull = task("sour-cherry", "pull")
    assert pull.likely is not None
    assert pull.likely.date() == date(2026, 3, 25)
    gaps = [later.at - earlier.at for earlier, later in pairwise(seen.facts.readings)]
    assert max(gaps) > timedelta(days=10)  # nobody was at home


def test_one_has_stalled() -> None:
    seen = vessel("buckwheat")
    assert (seen.stage, seen.trouble) == ("fermenting", "stalled")
    assert seen.gravity == pytest.approx(1.034, abs=0.001)
    assert task("buckwheat", "bottle").state == "waiting"


def test_one_ages_in_bulk() -> None:
    seen = vessel("windfall")
    assert (seen.stage, seen.trouble) == ("ageing", None)
    assert seen.headspace_l is not None
    assert seen.headspace_l < 0.05 * 9.4
    assert in_state(seen, "due") == in_state(seen, "late") == set()
    assert task("windfall", "bottle").postponed_until is not None


def test_one_is_bottled_and_wants_tasting() -> None:
    seen = vessel("quince")
    assert (seen.stage, seen.trouble) == ("bottled", None)
    assert in_state(seen, "due") == {"taste-6"}
    (lot,) = seen.facts.lots
    assert (lot.bottles, lot.opened) == (5, 2)


def files() -> list[VesselFile]:
    cellar = open_cellar(SAMPLE)
    folders = [(place, one.name) for place in ("vessels", "past") for one in sorted((SAMPLE / place).iterdir())]
    return [read_vessel(cellar, name, place) for place, name in folders]


def test_those_put_away_are_finished_and_were_tasted() -> None:
    for file in files():
        if file.place != "past":
            continue
        assert file.head is not None
        facts = replay(file.head, file.live)
        assert all(lot.opened == lot.bottles for lot in facts.lots)
        assert all(lot.burst == 0 for lot in facts.lots)
        scores = [entry.written["score"] for entry in file.live if entry.did == "taste"]
        assert len(scores) >= 2


def test_one_slip_was_struck() -> None:
    struck = [(file.name, key) for file in files() for key in file.struck]
    assert [name for name, _ in struck] == ["raspberry"]


def test_no_guard_would_have_refused_anything_in_it() -> None:
    settings, _, _ = settings_of(open_cellar(SAMPLE))
    for file in files():
        assert file.head is not None
        for entry in file.live:
            before = replay(file.head, [e for e in file.live if e.at < entry.at], measures_of(settings))
            found = check(entry.did, entry.written, before, file.head.plan, settings, entry.at, vessel=file.name)
            assert [one for one in found if one.kind != "advice"] == [], (file.name, entry.at)


def test_every_step_that_was_ticked_is_one_of_the_schedule() -> None:
    for seen in story().vessels:
        steps = {one.key for one in seen.tasks}
        named = {act.task for act in seen.facts.acts if act.task is not None}
        assert named <= steps, seen.vessel
        assert len(named) >= 3


# Trade names of yeasts, nutrients and the like are written with capitals or digits: the words of this cellar are not.
def test_it_names_no_brand_and_not_the_two_fruits_of_everyone_elses_examples() -> None:
    for file in sorted(SAMPLE.rglob("*.toml")):
        text = file.read_text("utf-8")
        assert not re.search(r"peach|blueberr|[®™©]|https?:|www\.|@", text, re.IGNORECASE), file
        assert not re.search(r"\b[A-Z]{1,4}-?\d{2,4}\b", re.sub(r"\d{8}T\d+-\w+|\d{4}-\d\d-\d\dT", "", text)), file
    for answers in files():
        assert answers.head is not None
        yeasts = {answers.head.plan.yeast.name, *(entry.written.get("yeast") for entry in answers.live)} - {None}
        assert all(str(yeast).islower() and str(yeast).endswith("yeast") for yeast in yeasts)
        if answers.head.plan.fruit is not None:
            fruit(answers.head.plan.fruit.kind)


@pytest.mark.parametrize(
    ("today", "clock"),
    [(STORY_DAY, "00:10"), (date(2026, 3, 29), "23:50"), (date(2026, 10, 25), "00:10"), (date(2028, 2, 29), "08:00")],
)
def test_the_story_is_the_same_on_other_days_and_at_any_hour(tmp_path: Path, today: date, clock: str) -> None:
    copy_shifted(SAMPLE, tmp_path / "cellar", today)
    hour, minute = map(int, clock.split(":"))
    now = datetime(today.year, today.month, today.day, hour, minute, tzinfo=BERLIN)
    view = look(tmp_path / "cellar", now)
    assert view.all_problems == ()
    seen = {one.vessel: (one.stage, one.trouble) for one in view.vessels}
    assert seen == {one.vessel: (one.stage, one.trouble) for one in story().vessels}
    damson, quince = view.vessel("damson"), view.vessel("quince")
    assert damson is not None
    assert quince is not None
    assert in_state(damson, "late") == {"dose-2"}
    assert "dose-3" in in_state(damson, "dropped")
    assert in_state(quince, "due") == {"taste-6"}
    assert all(act.at <= now for one in view.vessels for act in one.facts.acts)
