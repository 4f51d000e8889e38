"""Partial pooling of what the maker's own vessels say: one moves the centre little, ten move it much."""

import math
from collections.abc import Sequence
from typing import NamedTuple

_LIKE_OG = 0.020  # how far apart original gravities may lie and still speak for each other
_BETWEEN_PACE, _WITHIN_PACE = 0.60, 0.33  # standard deviations between makers, and between vessels of one: judgement
_BETWEEN_LAG, _WITHIN_LAG = 0.40, 0.35
_BETWEEN_END, _WITHIN_END = 0.006, 0.003


class PastBatch(NamedTuple):
    """What one finished vessel of the maker says: how far its pace, lag and end lay from the fed world's centre."""

    yeast: str | None
    og: float
    pace: float
    pace_sd: float
    lag: float
    lag_sd: float
    end: float
    end_sd: float


class Pooled(NamedTuple):
    """Shift from the common centre and standard deviation for the next vessel; `vessels` is how many, weighted."""

    vessels: float
    pace: float
    pace_sd: float
    lag: float
    lag_sd: float
    end: float
    end_sd: float


def pool(lessons: Sequence[PastBatch], yeast: str | None, og: float) -> Pooled | None:
    """What lessons say about a vessel with this yeast and original gravity; None when hardly any speaks for it."""
    voices = [
        (math.exp(-0.5 * ((lesson.og - og) / _LIKE_OG) ** 2) * _kinship(yeast, lesson.yeast), lesson)
        for lesson in lessons
    ]
    count = sum(voice for voice, _ in voices)
    if count < 0.05:
        return None
    pace = _pooled([(v, x.pace, x.pace_sd) for v, x in voices], _BETWEEN_PACE, _WITHIN_PACE)
    lag = _pooled([(v, x.lag, x.lag_sd) for v, x in voices], _BETWEEN_LAG, _WITHIN_LAG)
    end = _pooled([(v, x.end, x.end_sd) for v, x in voices], _BETWEEN_END, _WITHIN_END)
    return Pooled(count, *pace, *lag, *end)


def _kinship(mine: str | None, theirs: str | None) -> float:
    if mine is None or theirs is None:
        return 0.4
    return 1.0 if " ".join(mine.split()).casefold() == " ".join(theirs.split()).casefold() else 0.25


def _pooled(voices: list[tuple[float, float, float]], between: float, within: float) -> tuple[float, float]:
    """(centre, standard deviation for the next vessel) of a normal mean with a normal prior around zero."""
    precision, total = 1.0 / between**2, 0.0
    for voice, value, sd in voices:
        trust = voice / (within**2 + sd**2)
        precision += trust
        total += trust * value
    return total / precision, math.sqrt(1.0 / precision + within**2)
