"""The records of guards: what one is given (an entry and its vessel), and what it returns (a finding).

The sentences stand in wording/findings.py.
"""

import math
from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from types import MappingProxyType
from typing import Literal, NamedTuple

from fermtui.daybook.containers import NamedContainer, named_container
from fermtui.daybook.head import Plan
from fermtui.daybook.settings import Nutrients
from fermtui.replay.facts import Facts

Kind = Literal["impossible", "refusal", "advice"]
Value = float | int | str | bool | datetime | tuple[str, ...] | None
_NONE: Mapping[str, Value] = MappingProxyType({})


class Case(NamedTuple):
    """One entry before it is written. `at` is when it happens.

    `containers`: capacity in litres by name. `others`: the containers that other vessels stand in. `vessel`: the
    folder's name. `nutrients`: what the labels say. `tolerance_abv` of the yeast in % vol, where it is known.
    `unread`: how many lines of its files could not be read, and so are not counted.
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
        """Return a number of the entry, or None when it is missing, not a number or not finite."""
        value = self.fields.get(name)
        if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
            return None
        given = float(value)
        return given if math.isfinite(given) else None

    def text(self, name: str) -> str | None:
        """Return a text of the entry, or None when it is missing or empty."""
        value = self.fields.get(name)
        return value if isinstance(value, str) and value.strip() else None

    @property
    def racked_into(self) -> NamedContainer | None:
        """The container that the entry names, or None where it names none."""
        into = self.text("into")
        return None if into is None else named_container(into, self.containers)


class Point(NamedTuple):
    """One part of a finding: its kind, which has a sentence, and its values, whose names end in their units."""

    kind: str
    values: Mapping[str, Value] = _NONE


class Finding(NamedTuple):
    """One objection of a guard to an entry.

    `impossible` cannot be (exit 1, no override); `refusal` can hurt (exit 3, an override needs a typed reason);
    `advice` is one key and asks no reason. `key` is a stable name. `observed` what was seen, `reason` why (None
    where it is plain), `remedy` what would lift it.
    """

    kind: Kind
    key: str
    observed: Point
    reason: Point | None
    remedy: Point


def against_later(finding: Finding, later: str, later_at: datetime) -> Finding:
    """Re-label a finding on a later entry (its kind and time) as caused by this back-dated or restored one."""
    values = {**finding.observed.values, "then": finding.observed.kind, "later": later, "later_at": later_at}
    return Finding(finding.kind, finding.key, Point("in_hindsight", values), finding.reason, Point("mind_what_stands"))


def volume_unknown(mass_g: float) -> Finding:
    """Warn that an addition cannot be checked against its limit, because the volume is not known."""
    observed = Point("volume_unknown", {"mass_g": mass_g})
    return Finding("advice", "volume_unknown", observed, Point("ceiling_unchecked"), Point("write_level"))


def as_things_stand(finding: Finding, did: str, at: datetime) -> Finding:
    """Re-label a finding on an entry that stands in the daybook, though its guard refuses it by what else stands."""
    values = {**finding.observed.values, "then": finding.observed.kind, "later": did, "later_at": at}
    remedy = Point("strike_wrong" if finding.kind == "impossible" else "settle_it")
    return Finding("refusal", finding.key, Point("as_things_stand", values), finding.reason, remedy)
