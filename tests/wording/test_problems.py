"""Every kind of problem has its sentence."""

from __future__ import annotations

from typing import get_args

import pytest

from fermtui.daybook.problem import Kind, Problem
from fermtui.wording.problems import problem_text


@pytest.mark.parametrize("kind", get_args(Kind))
def test_every_kind_has_a_sentence(kind: Kind) -> None:
    text = problem_text(Problem(kind, "vessels/damson/daybook.toml", 3, ("one", "two", "three", "four")))
    assert text.startswith("vessels/damson/daybook.toml, line 3: ")
    assert len(text) > len("vessels/damson/daybook.toml, line 3: ")
    assert "{" not in text
