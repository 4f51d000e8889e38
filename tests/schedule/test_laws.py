"""Laws of the engine, on daybooks that nobody would keep."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta, timezone
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fermtui.daybook.entry import Entry
from fermtui.daybook.head import Head, plan_from
from fermtui.daybook.kinds import entry_from
from fermtui.daybook.settings import Settings
from fermtui.forecast.window import BestReading, Window
from fermtui.replay.replay import replay
from fermtui.schedule.amounts import amounts, entry_fields
from fermtui.schedule.library import library_names, load
from fermtui.schedule.planned_steps import for_plan
from fermtui.schedule.steps import Schedule
from fermtui.schedule.task import OPEN, STATES, Task
from fermtui.schedule.tasks import tasks
from fermtui.wording.why import why_text

pytestmark = pytest.mark.slow

START = datetime(2026, 2, 20, 12, tzinfo=UTC)
ZONES = ["Europe/Vienna", "America/New_York", "Pacific/Apia", "Asia/Kathmandu", "America/Sao_Paulo", "UTC"]
FIELDS: dict[str, dict[str, Any]] = {
    "mix": {"volume_l": 4.2, "honey_g": 1300},
    "pitch": {},
    "dose": {"dap_g": 1.0},
    "read": {"sg": 1.05},
    "aerate": {},
    "punch": {},
    "add": {"what": "enzyme"},
    "fruit": {"kind": "plum", "mass_g": 500},
    "pull": {"what": "fruit"},
    "feed": {"honey_g": 200},
    "rack": {"volume_l": 3.9},
    "sulfite": {"metabisulfite_g": 0.2},
    "sorbate": {"sorbate_g": 0.7},
    "sweeten": {"honey_g": 150},
    "forced_test": {"sg": 0.996, "days": 4, "temp_c": 25},
    "bottle": {"count": 3, "size_ml": 750},
    "taste": {},
    "open": {"count": 1},
    "chore": {"what": "airlock"},
    "note": {"text": "smells of apples"},
    "split": {"into": "other", "volume_l": 1.0},
    "receive": {"from": "other", "water_g": 900.0, "sugar_g": 100.0, "ethanol_g": 50.0},
    "empty": {},
    "skip": {},
    "postpone": {},
}
NAMES = library_names()
SETTINGS = Settings(UTC, "UTC")
PLANS = st.fixed_dictionaries(
    {},
    optional={
        "volume_l": st.just(4.2),
        "gravity": st.sampled_from([1.05, 1.099, 1.14]),
        "end": st.sampled_from([0.998, 1.0, 1.012]),
        "sweet": st.sampled_from([True, 1.015]),
        "sparkling": st.sampled_from([True, 2.5]),
        "fruit": st.just({"kind": "plum", "mass_g": 500.0}),
        "juice_l": st.just(3.0),
        "spice": st.just("ginger"),
        "doses": st.just({"dap_g": 2.0, "autolysate_g": 4.0}),
        "yeast": st.just({"tolerance_abv": 14.0}),
    },
)


class Outlook:
    """A forecast that knows no shame."""

    def __init__(self, days: list[float], sg: float, now: datetime) -> None:
        first, likely, last = sorted(days)
        at = [now + timedelta(days=day) for day in (first, likely, last)]
        self.window = Window(at[0], at[1], at[2] if last < 300 else None)
        self.sg = sg

    def crossing(self, sg: float) -> Window | None:
        return self.window if sg < self.sg else None

    def calm(self, days: float) -> Window | None:
        return None if days > 10 else self.window

    def best_reading(self) -> BestReading | None:
        return None

    def expected(self, _at: datetime) -> tuple[float, float, float]:
        return self.sg, self.sg, self.sg


def schedule_of(name: str) -> Schedule:
    found, problems = load(name, None)
    assert found is not None, problems
    return found


@st.composite
def entries(draw: st.DrawFn, schedule: Schedule) -> list[Entry]:
    keys = [*(step.key for step in schedule.steps), "ask-gravity", "ask-ph", "no-such-step", None]
    found: list[Entry] = []
    begun = draw(st.booleans())
    if begun:
        found.append(entry_from("e-mix", {"at": START, "did": "mix", **FIELDS["mix"]}))
        found.append(entry_from("e-pitch", {"at": START + timedelta(hours=6), "did": "pitch"}))
    for number in range(draw(st.integers(0, 25))):
        did = draw(st.sampled_from(sorted(FIELDS)))
        at = START + timedelta(hours=draw(st.integers(-24 * 5, 24 * 300)))
        zone = timezone(timedelta(hours=draw(st.sampled_from([-5, 0, 2]))))
        values: dict[str, Any] = {"at": at.astimezone(zone), "did": did, **FIELDS[did]}
        task = draw(st.sampled_from(keys))
        if did in ("skip", "postpone"):
            task = task or "dose-1"
        if task is not None:
            values["task"] = task
        if did == "postpone":
            until = at + timedelta(days=draw(st.integers(-10, 60)))
            values["until"] = draw(st.sampled_from([until, until.date()]))
        if did == "read":
            values["sg"] = draw(st.sampled_from([0.996, 1.0, 1.001, 1.012, 1.03, 1.066, 1.099, 1.13]))
        found.append(entry_from(f"e{number:03d}", values))
    return found


CASES = st.sampled_from(NAMES).flatmap(lambda name: st.tuples(st.just(schedule_of(name)), entries(schedule_of(name))))
CLOCKS = st.integers(-10, 500).flatmap(lambda day: st.integers(0, 86_399).map(lambda s: (day, s)))
OUTLOOKS = st.none() | st.tuples(
    st.lists(st.floats(-20, 400, allow_nan=False), min_size=3, max_size=3), st.sampled_from([0.998, 1.01, 1.08])
)


def run(
    case: tuple[Schedule, list[Entry]],
    plan: dict[str, Any],
    clock: tuple[int, int],
    outlook: tuple[list[float], float] | None,
    zone: str,
) -> tuple[tuple[Task, ...], tuple[Task, ...], Head, datetime]:
    """The tasks, and those of the same entries written in another order."""
    schedule, written = case
    head = Head(name="Rowan", plan=plan_from(plan))
    now = START + timedelta(days=clock[0], seconds=clock[1])
    seen = None if outlook is None else Outlook(outlook[0], outlook[1], now)
    shuffled = written[:]
    random.Random(len(written)).shuffle(shuffled)
    found, again = (
        tasks(replay(head, page), schedule, head.plan, seen, now, ZoneInfo(zone), "rowan")
        for page in (written, shuffled)
    )
    return found, again, head, now


@settings(max_examples=250, deadline=None)
@given(CASES, PLANS, CLOCKS, OUTLOOKS, st.sampled_from(ZONES))
def test_any_daybook_gives_each_step_once_in_one_state_and_order_does_not_matter(
    case: tuple[Schedule, list[Entry]],
    plan: dict[str, Any],
    clock: tuple[int, int],
    outlook: tuple[list[float], float] | None,
    zone: str,
) -> None:
    found, again, head, now = run(case, plan, clock, outlook, zone)
    assert found == again
    steps = for_plan(case[0], head.plan).steps
    asked = [task for task in found if task.step is None]
    assert [task.key for task in found if task.step is not None] == [step.key for step in steps]
    assert len([task for task in asked if task.do == "read"]) <= 1
    assert len({task.key for task in found}) == len(found)
    known = replay(head, case[1])
    for task in found:
        assert task.state in STATES
        assert task.is_open == (task.state in OPEN)
        _has_sane_dates(task, now)
        sentence = why_text(task.why, ZoneInfo(zone), now)
        assert sentence
        assert sentence.isprintable()
        assert isinstance(entry_fields(amounts(task, known, head.plan, SETTINGS)), dict)


def _has_sane_dates(task: Task, now: datetime) -> None:
    if task.state in ("due", "late"):
        assert task.likely is not None
        assert task.likely <= now
        assert not task.forecast
    if task.state == "coming":
        assert task.likely is not None
        assert task.likely >= now or task.forecast
    if task.state == "waiting":
        assert task.window is None
    if task.state in ("done", "dropped"):
        assert task.settled_at is not None
    if task.state == "done":
        assert task.done_at is not None
    if task.window is not None:
        assert task.window.earliest <= task.window.likely
        assert task.window.latest is None or task.window.likely <= task.window.latest


@settings(max_examples=100, deadline=None)
@given(CASES, PLANS, CLOCKS)
def test_an_open_step_answered_now_by_its_name_is_done(
    case: tuple[Schedule, list[Entry]], plan: dict[str, Any], clock: tuple[int, int]
) -> None:
    """What the tick does: one more entry, newest of all, and the task is gone from the list."""
    schedule, written = case
    head = Head(name="Rowan", plan=plan_from(plan))
    now = max([START + timedelta(days=clock[0]), *(entry.at for entry in written)]) + timedelta(hours=1)
    before = tasks(replay(head, written), schedule, head.plan, None, now, UTC, "rowan")
    for task in before:
        if task.state not in ("due", "late") or task.step is None:
            continue
        values = {**FIELDS.get(task.do, {}), "at": now, "did": task.do, "task": task.key}
        page = [*written, entry_from("tick", values)]
        after = {one.key: one for one in tasks(replay(head, page), schedule, head.plan, None, now, UTC, "rowan")}
        if task.every_days is None:
            assert after[task.key].state == "done"
            assert after[task.key].done_by == "tick"
        else:
            assert after[task.key].state in ("coming", "done")
            assert after[task.key].marks[-1] == now


@settings(max_examples=60, deadline=None)
@given(CASES, PLANS, st.integers(0, 300))
def test_waiting_alone_never_undoes_what_was_done_or_dropped(
    case: tuple[Schedule, list[Entry]], plan: dict[str, Any], day: int
) -> None:
    schedule, written = case
    head = Head(name="Rowan", plan=plan_from(plan))
    facts = replay(head, written)
    now = max([START + timedelta(days=day), *(entry.at for entry in written)])
    earlier, later = (
        tasks(facts, schedule, head.plan, None, clock, UTC, "rowan") for clock in (now, now + timedelta(days=45))
    )
    after = {task.key: task for task in later}
    for task in earlier:
        if task.state in ("done", "dropped"):
            assert after[task.key].state == task.state
        elif task.state in ("due", "late") and task.step is not None:
            assert after[task.key].state != "coming" or task.postponed_until is not None
