"""Laws: a check never raises and always has words, whatever fields and facts it is given."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import fermtui.schedule.guards as guards
from fermtui.daybook.entry import Entry
from fermtui.daybook.head import Head, Plan, Yeast
from fermtui.daybook.kinds import KINDS, entry_from
from fermtui.daybook.settings import Container, Settings
from fermtui.must.cautions import MOMENTS
from fermtui.replay.replay import replay
from fermtui.replay.state import Measures
from fermtui.units import METRIC, Units
from fermtui.wording.findings import SENTENCES, finding_text

pytestmark = pytest.mark.slow

BEGIN = datetime(2026, 3, 1, tzinfo=UTC)
WORDS = st.sampled_from(
    ["fruit", "seal", "plum", "mango", "simmered", "Jug", "Vat", "water", "{x}", "a\x1b[31m b", "%s"]
)
CELLAR = Settings(zone=UTC, timezone="UTC", containers=(Container("Jug", 4.2), Container("Vat", 30.0)))


def value(spec: Any) -> st.SearchStrategy[object]:
    kind = spec.reads
    if kind == "number":
        low, high = spec.low, spec.high
        near = st.floats(low, min(high, max(low, 5.0)), allow_nan=False)
        return st.one_of(near, st.floats(low, high, allow_nan=False), st.sampled_from([low, high]))
    if kind == "whole":
        return st.integers(spec.low, spec.high)
    if kind == "one_of":
        return st.sampled_from(spec.choices)
    if kind == "moment":
        return st.just(BEGIN)
    if kind in ("key", "vessel"):
        return st.sampled_from(["rowan", "heather"])
    return WORDS


def fields_of(did: str) -> st.SearchStrategy[dict[str, object]]:
    kind = KINDS[did]
    must = {name: value(kind.fields[name]) for name in kind.struct.required}
    may = {name: value(spec) for name, spec in kind.fields.items() if name not in must}
    return st.fixed_dictionaries(must, optional=may)


@st.composite
def written(draw: st.DrawFn, at: int) -> Entry | None:
    did = draw(st.sampled_from(["mix", "pitch", "read", "read", "sulfite", "sorbate", "bottle", *KINDS]))
    fields = draw(fields_of(did))
    when = BEGIN + timedelta(hours=draw(st.integers(0, 2400)))
    try:
        return entry_from(f"e{at}", {"at": when, "did": did, **fields})
    except ValueError:
        return None


PAGES = st.integers(0, 8).flatmap(lambda many: st.tuples(*(written(at) for at in range(many))))
PLANS = st.builds(
    Plan,
    volume_l=st.none() | st.floats(0.001, 2000),
    gravity=st.none() | st.floats(0.95, 1.3),
    end=st.floats(0.99, 1.05),
    yeast=st.builds(Yeast, tolerance_abv=st.none() | st.floats(1, 25)),
    sweet_to=st.none() | st.floats(0.95, 1.3),
    sparkling=st.booleans(),
    age_months=st.none() | st.floats(0, 600),
)


@settings(max_examples=400, deadline=None)
@given(page=PAGES, plan=PLANS, data=st.data(), capacity_l=st.none() | st.floats(0.001, 2000))
def test_a_check_never_raises_and_has_words(
    page: tuple[Entry | None, ...], plan: Plan, data: st.DataObject, capacity_l: float | None
) -> None:
    head = Head(name="Rowan", container="Jug", capacity_l=capacity_l, plan=plan)
    facts = replay(head, [entry for entry in page if entry is not None], Measures(containers=CELLAR.capacities_l))
    did = data.draw(st.sampled_from(list(KINDS)))
    fields = data.draw(fields_of(did))
    now = BEGIN + timedelta(hours=data.draw(st.integers(0, 3000)))
    found = guards.check(did, fields, facts, plan, CELLAR, now, occupied={"Vat"}, vessel="rowan")
    for finding in found:
        for units in (METRIC, Units("gal", "lb", "F", "sg", decimal_comma=True)):
            text = finding_text(finding, units)
            assert text.isprintable()
            assert "None" not in text
            assert 1 <= text.count(". ") + 1 <= 4
    assert {finding.kind for finding in found} in (
        {"impossible"},
        {"refusal"},
        {"advice"},
        {"refusal", "advice"},
        set(),
    )
    assert set(guards.cautions_for(did, fields, facts, plan, now)) <= set(MOMENTS)


def test_every_point_has_a_sentence_and_every_sentence_a_point() -> None:
    folder = Path(guards.__file__).parent
    files = [*folder.glob("*.py"), folder.parent / "standing.py"]
    source = "\n".join(file.read_text(encoding="utf-8") for file in files)
    made = set(re.findall(r'Point\(\s*"([a-z_0-9]+)"', source))
    made |= set(re.findall(r'"([a-z_0-9]+)" if [^\n]*? else "[a-z_0-9]+"\)', source))
    made |= set(re.findall(r'Point\("[a-z_0-9]+" if [^\n]*? else "([a-z_0-9]+)"\)', source))
    assert made == set(SENTENCES)


def test_every_kind_of_entry_that_has_guards_is_known() -> None:
    from fermtui.schedule.guards.table import GUARDS

    assert set(GUARDS) <= set(KINDS)
