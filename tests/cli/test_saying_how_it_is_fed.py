"""The maker says how a must is fed, in the plan or by a chore, and the forecast leans on it. No source: judgement."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

Cellar = Callable[[Mapping[str, str]], Path]
HEAD = """
    name = "Rowan"
    capacity_l = 5.0
    schedule = "two-doses"
    [plan]
    volume_l = 4.0
    gravity = 1.095
"""
PAGE = """
    { at = 2026-01-01T10:00:00+01:00, did = "read", sg = 1.095, temp_c = 20 }
    { at = 2026-01-01T12:00:00+01:00, did = "pitch" }
    { at = 2026-01-04T12:00:00+01:00, did = "read", sg = 1.082, temp_c = 20 }
"""
CLOCK = ("--on", "2026-01-05T12:00:00+01:00")


@pytest.fixture
def rowan(cellar: Cellar) -> Callable[[str], None]:
    """(more of the plan) -> the vessel."""

    def made(plan: str = "") -> None:
        cellar({"vessels/rowan/vessel.toml": HEAD + plan, "vessels/rowan/daybook.toml": PAGE})

    return made


def fed_share(fermtui: Any) -> float:
    like = fermtui("show", "rowan", "--json", *CLOCK).json["forecast"]["behaves_like"]
    return float(sum(share for name, share in like.items() if not name.startswith("neglected")))


def test_a_chore_says_it_and_a_strike_takes_it_back(rowan: Callable[[str], None], fermtui: Any) -> None:
    rowan("")
    before = fed_share(fermtui)
    assert "if you know better: fermtui write rowan chore 'what=well fed'" in fermtui("show", "rowan", *CLOCK).out
    assert fermtui("write", "rowan", "chore", "what=Well  Fed", *CLOCK).status == 0
    said = fed_share(fermtui)
    assert said > before + 0.02
    assert "if you know better" not in fermtui("show", "rowan", *CLOCK).out
    assert fermtui("write", "rowan", "chore", "what=left to itself", *CLOCK).status == 0
    assert fed_share(fermtui) < before - 0.02, "what was said last holds"
    assert fermtui("strike", "rowan", *CLOCK).status == 0
    assert fed_share(fermtui) == said


def test_the_plan_says_it_until_an_entry_does(rowan: Callable[[str], None], fermtui: Any) -> None:
    rowan("")
    plain = fed_share(fermtui)
    rowan('fed = "left to itself"\n')
    said = fed_share(fermtui)
    assert said < plain - 0.02
    assert fermtui("write", "rowan", "chore", "what=well fed", *CLOCK).status == 0
    assert fed_share(fermtui) > plain


def test_another_word_in_the_plan_is_refused_with_what_would_be_right(
    rowan: Callable[[str], None], fermtui: Any
) -> None:
    rowan('fed = "a bit"\n')
    ran = fermtui("check")
    assert ran.status == 1
    assert "plan.fed is one of well fed, left to itself" in ran.out + ran.err


def test_show_says_what_it_leans_on_and_which_reading_helps(rowan: Callable[[str], None], fermtui: Any) -> None:
    rowan("")
    text, json = fermtui("show", "rowan", *CLOCK).out, fermtui("show", "rowan", "--json", *CLOCK).json["forecast"]
    assert "behaves like a " in text
    best = json["best_reading"]
    assert f"narrows the finish to {best['finish_days_wide_after']:.0f} days" in text
    assert best["of_use_from"] <= best["at"]
    assert json["finish_days_wide_without_own"] is None
