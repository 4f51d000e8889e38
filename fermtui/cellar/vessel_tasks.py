"""The tasks of one loaded vessel at one clock: its schedule's, what guards hold back, and what a trouble asks for."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from fermtui.daybook.settings import Settings
from fermtui.forecast.forecast import Forecast
from fermtui.forecast.trouble import trouble_of
from fermtui.replay.facts import Act
from fermtui.schedule.held_back import held_back
from fermtui.schedule.missed_doses import without_given
from fermtui.schedule.task import Task
from fermtui.schedule.tasks import tasks
from fermtui.schedule.trouble_tasks import with_trouble

if TYPE_CHECKING:
    from fermtui.cellar.loaded import LoadedVessel


def forecast_at(loaded: LoadedVessel, now: datetime) -> Forecast | None:
    """The forecast read off at the clock; None where there is none, or not yet."""
    if loaded.answers is None or loaded.facts.pitched_at is None:
        return None
    return Forecast(loaded.answers, loaded.facts.pitched_at, now, loaded.facts.g0)


def tasks_of(
    loaded: LoadedVessel,
    forecast: Forecast | None,
    settings: Settings,
    now: datetime,
    inherited: Callable[[], tuple[Act, ...]],
) -> tuple[Task, ...]:
    """Every task, the acts against a trouble first. Without a schedule there are only those.

    `inherited` gives what was done to the vessels that this one was poured off from, up to then.
    """
    facts, plan, name = loaded.facts, loaded.head.plan, loaded.name
    if _never_filled(loaded):
        return ()
    found: tuple[Task, ...] = ()
    if loaded.schedule is not None:
        found = tasks(facts, loaded.schedule, plan, forecast, now, settings.zone, name, inherited())
    found = tuple(without_given(found, facts, plan, settings))
    found = held_back(found, facts, plan, settings, now, name)
    return with_trouble(found, facts, trouble_of(facts, plan, forecast, now), now, name)


def _never_filled(loaded: LoadedVessel) -> bool:
    """Whether it was to be poured off from another vessel and that was taken back, or got lost."""
    return loaded.head.parent is not None and loaded.facts.level_l is None and loaded.facts.pitched_at is None
