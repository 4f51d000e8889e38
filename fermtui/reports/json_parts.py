"""Parts that the JSON of several commands shares."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from fermtui.daybook.problem import Problem
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
