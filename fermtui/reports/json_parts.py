"""Parts that the JSON of several commands shares."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from fermtui.daybook.problem import Problem
from fermtui.replay.facts import SensorOffset
from fermtui.wording.problems import problem_json


def problems_json(problems: Iterable[Problem]) -> list[dict[str, object]]:
    """Problems as scripts read them."""
    return [problem_json(problem) for problem in problems]


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
