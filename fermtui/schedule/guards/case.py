"""What a guard may look at: the entry that is about to be written, and the vessel that it is written for."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Protocol

from fermtui.daybook.head import Plan
from fermtui.story.facts import Facts


class SettingsLike(Protocol):
    """The part of the cellar's settings that guards ask for."""

    @property
    def containers(self) -> Mapping[str, float]:
        """Capacity in litres by the container's name."""
        ...


@dataclass(frozen=True, slots=True)
class Case:
    """One entry before it is written. `at` is when it happens; `others` are containers that other vessels stand in."""

    did: str
    fields: Mapping[str, object]
    facts: Facts
    plan: Plan
    containers: Mapping[str, float]
    others: frozenset[str]
    vessel: str | None
    at: datetime

    def number(self, name: str) -> float | None:
        """A number of the entry, or None when it is not given, not a number or not finite."""
        value = self.fields.get(name)
        if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
            return None
        given = float(value)
        return given if math.isfinite(given) else None

    def text(self, name: str) -> str | None:
        """Words of the entry, or None when they are not given or empty."""
        value = self.fields.get(name)
        return value if isinstance(value, str) and value.strip() else None
