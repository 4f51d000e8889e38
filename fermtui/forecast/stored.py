"""Checks of the shape in which a cache kept a forecast: its files may have been edited by anyone."""

from __future__ import annotations

from typing import Any


def stored_answers(value: Any) -> dict[str, Any]:
    """The answers of a `ForecastAnswers` as they were stored, by question. Raises ValueError for anything else."""
    if not isinstance(value, dict) or not all(_answers(question, answer) for question, answer in value.items()):
        raise ValueError("no answers of a forecast")
    return value


def _answers(question: str, answer: Any) -> bool:
    if question == "feeds":
        return _numbers(answer)
    if question == "readings":
        return _is_list(answer) and all(_numbers(pair, 2) for pair in answer)
    if question == "best reading":
        return answer is None or _numbers(answer, 4)
    if question.startswith("expected "):
        return _numbers(answer, 3)
    return (
        answer is None or _numbers(answer, 3) or (_is_list(answer) and _numbers(answer[:2], 2) and answer[2:] == [None])
    )


def check_posterior(stored: Any) -> None:
    """Raise ValueError unless this has the shape that `Posterior.to_json` writes."""
    rows, starts, clock, readings, feeds, og_known, end, healthy, worlds, weights, noise, learned = stored
    days, taus, pace = clock
    fits = (
        all(_numbers(row, 3 + 8 * len(starts)) and type(row[0]) is type(row[1]) is int for row in rows)
        and all(_numbers(one) for one in (starts, feeds, weights, [pace, end, learned]))
        and _numbers(healthy, 9)
        and _numbers(days, len(taus))
        and _numbers(taus)
        and all(_numbers(pair, 2) for pair in (*readings, *noise))
        and type(og_known) is bool
        and all(type(world) is str for world in worlds)
        and len(worlds) == len(weights) == len(noise)
        and all(0 <= row[1] < len(worlds) for row in rows)
    )
    if not fits:
        raise ValueError("not a stored forecast")


def _numbers(value: Any, count: int | None = None) -> bool:
    """Whether this is a list of numbers, of so many where that is given."""
    return _is_list(value) and {float, int}.issuperset(map(type, value)) and count in (None, len(value))


def _is_list(value: Any) -> bool:
    return type(value) is list
