"""The common-practice run with `fruit-to-bottle`: one gallon vessel, a pound of fruit, four bottles. Common practice,
no source: doses on days 2 and 5, fruit after about two weeks when dry, three weeks on the fruit, thirty calm days,
four full 750 mL bottles, tastings at three and six months. The gravities are those of an ordinary well-fed mead.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

GALLON_L = "3.785 L"
VESSEL = {
    "name": "Damson", "volume_l": "3.2 L", "strength": "1.095", "container": GALLON_L, "schedule": "fruit-to-bottle",
    "fruit": "plum", "fruit_g": "1lb", "treatment": "frozen",
}  # fmt: skip


class Act(NamedTuple):
    """What is done at a moment (RFC 3339): `read` with its text, or `tick` of a step with what is typed."""

    at: str
    how: str
    what: str
    typed: Mapping[str, str] = MappingProxyType({})


LIFE = (
    Act("2026-03-01T18:00:00+01:00", "tick", "mix"),
    Act("2026-03-01T18:20:00+01:00", "read", "1.095 20"),
    Act("2026-03-01T18:30:00+01:00", "tick", "pitch", {"yeast_g": "2"}),
    Act("2026-03-02T19:00:00+01:00", "tick", "aerate"),
    Act("2026-03-03T19:00:00+01:00", "tick", "dose-1"),
    Act("2026-03-04T19:00:00+01:00", "read", "1.074 20 pH 3.5"),
    Act("2026-03-06T19:00:00+01:00", "tick", "dose-2"),
    Act("2026-03-09T19:00:00+01:00", "read", "1.034 20"),
    Act("2026-03-13T19:00:00+01:00", "read", "1.003 20"),
    Act("2026-03-16T19:00:00+01:00", "read", "1.002 20"),
    Act("2026-03-16T19:30:00+01:00", "tick", "fruit"),
    Act("2026-03-18T19:00:00+01:00", "tick", "punch"),
    Act("2026-03-30T20:00:00+02:00", "read", "0.998 20"),
    Act("2026-04-03T20:00:00+02:00", "read", "0.998 20"),
    Act("2026-04-07T20:00:00+02:00", "read", "0.998 20"),
    Act("2026-04-07T20:10:00+02:00", "tick", "pull", {"loss_l": "0.15"}),
    Act("2026-04-20T20:00:00+02:00", "read", "0.998 20"),
    Act("2026-05-02T20:00:00+02:00", "read", "0.998 20"),
    Act("2026-05-02T20:40:00+02:00", "tick", "bottle", {"count": "4", "closure": "hand cork"}),
    Act("2026-08-10T20:00:00+02:00", "tick", "taste-3", {"taste": "plum, young", "score": "13"}),
    Act("2026-11-10T20:00:00+01:00", "tick", "taste-6", {"taste": "round", "score": "15.5"}),
)


def told(daybook: Path) -> list[dict[str, object]]:
    """The entries without their keys, in their order of writing."""
    return list(tomllib.loads(daybook.read_text("utf-8")).values())


def lines(daybook: Path) -> int:
    """How many entries there are."""
    return len(daybook.read_text("utf-8").splitlines()) if daybook.exists() else 0
