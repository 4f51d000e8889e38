"""What a guard may look at: the entry that is about to be written, and the vessel that it is written for."""

import math
from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from types import MappingProxyType
from typing import NamedTuple

from fermtui.daybook.head import Plan
from fermtui.daybook.settings import Nutrients
from fermtui.replay.facts import Facts


class Case(NamedTuple):
    """One entry before it is written. `at` is when it happens.

    `containers`: capacity in litres by name. `others`: the containers that other vessels stand in. `vessel`: the
    folder's name. `nutrients`: what the labels say. `tolerance_abv` of the yeast in % vol, where it is known.
    `unread`: how many lines of its files could not be read, and so are in no sum.
    """

    did: str
    fields: Mapping[str, object]
    facts: Facts
    plan: Plan
    at: datetime
    containers: Mapping[str, float] = MappingProxyType({})
    others: frozenset[str] = frozenset()
    vessel: str | None = None
    nutrients: Nutrients = Nutrients()
    tolerance_abv: float | None = None
    unread: int = 0

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
