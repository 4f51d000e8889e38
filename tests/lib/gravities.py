"""A mead by its gravities: readings on days after pitching, as facts, and what the guard of bottling says of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from fermtui.daybook.entry import Entry
from fermtui.daybook.head import Head, head_from
from fermtui.daybook.kinds import entry_from
from fermtui.daybook.settings import Settings
from fermtui.replay.facts import Facts
from fermtui.replay.replay import replay
from fermtui.replay.state import Measures
from fermtui.schedule.guards import Finding, check

PITCHED = datetime(2026, 3, 1, 12, tzinfo=UTC)
SETTINGS = Settings(zone=UTC, timezone="UTC")
HOUR = timedelta(hours=1)

Gravity = tuple[float, float] | tuple[float, float, float]
"""Day after pitching and SG 20/20, the temperature of the sample in °C behind them where it matters."""
Act = tuple[float, Mapping[str, Any]]
"""Day after pitching and the fields of the entry."""


def day(days: float) -> datetime:
    return PITCHED + timedelta(days=days)


def head(end: float = 1.000, tolerance_abv: float | None = 18.0, volume_l: float = 4.0, og: float = 1.095) -> Head:
    yeast = {} if tolerance_abv is None else {"yeast": {"demand": "medium", "tolerance_abv": tolerance_abv}}
    return head_from({"name": "T", "plan": {"volume_l": volume_l, "gravity": og, "end": end, **yeast}})


def begun(og: float = 1.095) -> list[Entry]:
    """The reading before pitching, and the pitch."""
    return [
        entry_from("b0", {"at": PITCHED - HOUR, "did": "read", "sg": og, "temp_c": 20.0}),
        entry_from("b1", {"at": PITCHED, "did": "pitch"}),
    ]


def reading(number: int, gravity: Gravity) -> Entry:
    warmth = {"temp_c": gravity[2]} if len(gravity) > 2 else {}
    return entry_from(f"r{number:03d}", {"at": day(gravity[0]), "did": "read", "sg": gravity[1], **warmth})


def entries(gravities: Iterable[Gravity], acts: Sequence[Act] = (), og: float = 1.095) -> list[Entry]:
    done = [entry_from(f"x{n:03d}", {"at": day(days), **fields}) for n, (days, fields) in enumerate(acts)]
    return [*begun(og), *(reading(n, gravity) for n, gravity in enumerate(gravities)), *done]


def mead(
    *gravities: Gravity,
    acts: Sequence[Act] = (),
    og: float = 1.095,
    end: float = 1.000,
    tolerance_abv: float | None = 18.0,
    resolution_sg: float = 0.001,
) -> Facts:
    """The facts of 4 L of a must of that original gravity with these readings."""
    measures = Measures(resolution_sg=resolution_sg)
    return replay(head(end, tolerance_abv, og=og), entries(gravities, acts, og), measures)


def bottling(facts: Facts, days: float, plan: Head | None = None, **fields: Any) -> tuple[Finding, ...]:
    """What speaks against bottling on that day, in still glass under a screw cap unless said otherwise."""
    entry = {"did": "bottle", "count": 4, "size_ml": 750, "glass": "still", "closure": "screw cap", **fields}
    return check("bottle", entry, facts, (plan or head()).plan, SETTINGS, day(days))
