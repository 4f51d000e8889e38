"""A sum of the bench as people say it."""

from __future__ import annotations

from fermtui.bench.result import Sum
from fermtui.bench.table import solve


def do(words: str) -> Sum:
    """`sweeten volume=4L from=0.998`: a sum as people say it."""
    what, *given_ = words.split()
    return solve(what, dict(word.split("=", 1) for word in given_))


def number(words: str, name: str) -> float:
    value = do(words).values[name]
    assert isinstance(value, float | int)
    return float(value)
