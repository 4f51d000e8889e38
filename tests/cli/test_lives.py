"""A few lives through the commands, by another ferment than the forecast's; tests/bench/lives.py lives hundreds."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest


@pytest.mark.slow
@pytest.mark.parametrize(
    ("seed", "schedule"),
    [(128, "two-doses"), (105, "fruit-to-bottle"), (110, "fruit-when-dry"), (304, "light-session"), (131, None)],
)
def test_what_is_due_can_be_done_and_does_no_harm(
    soak: Callable[[str], Any], monkeypatch: pytest.MonkeyPatch, seed: int, schedule: str | None
) -> None:
    monkeypatch.setenv("FERMTUI_CACHE", "unset by the life itself")
    life = soak("lives").lived(seed, 180, schedule)
    assert life.acts > 8, life.log
    assert [broken for broken in life.broken if broken[0] != "bottled live, with its pressure said"] == [], life.log[
        -20:
    ]
