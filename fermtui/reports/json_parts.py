"""Parts that the JSON of several commands shares."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from fermtui.cellar.store import VesselView
from fermtui.daybook.problem import Problem
from fermtui.daybook.settings import Settings
from fermtui.replay.facts import SensorOffset
from fermtui.wording.problems import problem_json
from fermtui.wording.vessels import standing_text


def problems_json(problems: Iterable[Problem]) -> list[dict[str, object]]:
    """Problems as scripts read them."""
    return [problem_json(problem) for problem in problems]


def troubles_json(vessel: VesselView, settings: Settings) -> list[dict[str, object]]:
    """What stands against a vessel: by its entries, then by its readings. `task` is the act that is asked for next,
    `chance` from 0 to 1 by the forecast; null where there is none.
    """
    found: list[dict[str, object]] = [
        {"vessel": vessel.vessel, "kind": one.kind, "say": standing_text(one, settings.units), "chance": None,
         "task": None}
        for one in vessel.standing
    ]  # fmt: skip
    trouble = vessel.trouble_found
    if trouble is not None:
        from fermtui.wording.checklist import trouble_text  # brings more than a list of tasks needs

        open_act = next((task.key for task in vessel.tasks if task.trouble is not None and task.is_open), None)
        found.append({
            "vessel": vessel.vessel, "kind": trouble.kind, "say": trouble_text(trouble, settings.units),
            "chance": rounded(trouble.chance, 4), "task": open_act,
        })  # fmt: skip
    return found


def rounded(value: float | None, places: int) -> float | None:
    """A number to so many places; null where it is not known."""
    return None if value is None else round(value, places)


def instant(at: datetime | None) -> str | None:
    """A time as RFC 3339; null where it is not known."""
    return None if at is None else at.isoformat()


def offset_json(sensor: SensorOffset) -> dict[str, Any]:
    """How far a sensor is off, for scripts."""
    return {
        "sensor": sensor.name,
        "offset_sg": rounded(sensor.offset_sg, 5),
        "plus_minus": rounded(sensor.sd_sg, 5),
        "hand_readings": sensor.pairs,
        "newest_at": sensor.at.isoformat(),
        "applied": sensor.applied,
    }
