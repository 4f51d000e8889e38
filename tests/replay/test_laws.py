"""Laws of the replay, on any entries at all: order and repetition do not matter, mass is kept, nothing breaks it."""

from __future__ import annotations

import json
import math
import random
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fermtui.cellar.json_records import from_json, to_json
from fermtui.daybook.entry import Entry
from fermtui.daybook.head import Head, head_from
from fermtui.daybook.kinds import KINDS, entry_from, in_order
from fermtui.daybook.lines import line_of, read_lines
from fermtui.daybook.strikes import live
from fermtui.must.composition import EXTRACT_PER_ETHANOL
from fermtui.replay.facts import Facts, Rest
from fermtui.replay.present import present
from fermtui.replay.replay import Moment, can_go_on, go_on, replay, replayed
from fermtui.replay.stability import stable_now, stable_since
from fermtui.replay.stage import STAGES, nothing_left, stage

pytestmark = pytest.mark.slow

START = datetime(2026, 1, 1, tzinfo=UTC)
SAID = st.sampled_from(["water", "mead", "honey", "plum", "Blackcurrant", "moonberry", "frozen", "malolactic", "", "x"])
MOMENTS = st.sampled_from([0.0, 1.0, 2.0, 2.25, 9.0, 30.0, 31.0]) | st.floats(0, 400)
HEADS = st.sampled_from(
    [
        head_from({"name": "T"}),
        head_from({"name": "T", "capacity_l": 5.0, "plan": {"volume_l": 4.2, "gravity": 1.095}}),
        head_from({"name": "T", "plan": {"abv_percent": 12.0, "end": 1.010}}),
        head_from({"name": "T", "plan": {"gravity": 0.96, "volume_l": 2000.0}}),
    ]
)


def value(spec: Any) -> st.SearchStrategy[Any]:
    kind = spec.reads
    if kind == "number":
        low, high = spec.low, spec.high
        likely = st.floats(0.99, 1.12) if low == 0.95 else st.floats(max(low, 0.0), min(high, 50.0))
        return st.floats(low, high) | likely
    if kind == "whole":
        return st.integers(spec.low, spec.high)
    if kind == "one_of":
        return st.sampled_from(spec.choices)
    if kind == "moment":
        return st.just(date(2026, 5, 1)) | st.just(START)
    return {"words": SAID, "key": st.sampled_from(["k1", "dose-1"]), "vessel": st.just("other-26")}[kind]


@st.composite
def entry(draw: Any, kinds: tuple[str, ...] = tuple(KINDS)) -> dict[str, Any]:
    """The fields of any entry of these kinds, each within its range."""
    did = draw(st.sampled_from(kinds))
    kind = KINDS[did]
    written: dict[str, Any] = {"at": START + timedelta(days=draw(MOMENTS)), "did": did}
    known = {name: spec for name, spec in kind.fields.items() if name not in ("text", "task", "override")}
    needed = set(kind.struct.required)
    if kind.any_of and not needed:
        needed = {draw(st.sampled_from([name for name in kind.any_of if name in known] or [""]))} - {""}
    for name, spec in known.items():
        if name in needed or draw(st.booleans()):
            written[name] = draw(value(spec))
    if did in ("note", "skip", "postpone", "chore"):
        written["text"] = written["task"] = "rack-1"
    return written


def numbered(pages: list[dict[str, Any]]) -> list[Entry]:
    return [entry_from(f"k{n}", written) for n, written in enumerate(pages)]


def plausible(pages: list[dict[str, Any]]) -> list[Entry]:
    """The same behind a mix and a pitch, so that most of them have something to act on."""
    begun: list[dict[str, Any]] = [
        {"at": START, "did": "mix", "honey_g": 1500.0, "volume_l": 4.5},
        {"at": START + timedelta(days=1), "did": "pitch"},
    ]
    return numbered(begun + pages)


def line(one: Entry) -> str:
    """The line of an entry, its time to the second."""
    written: dict[str, Any] = {name: value for name, value in one.written.items() if name not in ("at", "did")}
    return line_of(one.key, one.did, one.at.replace(microsecond=0), written)


PAGES = st.lists(entry(), max_size=12)


def numbers(value: object) -> list[float]:
    if isinstance(value, float):
        return [value]
    return [n for part in value for n in numbers(part)] if isinstance(value, tuple) else []


def sound(facts: Facts) -> None:
    """Nothing negative, nothing that is no number."""
    for name, value in facts._asdict().items():
        assert all(math.isfinite(number) for number in numbers(value)), name
    assert facts.water_g >= 0.0
    assert 0.0 <= facts.fermented_g <= facts.extract_g + 1e-6
    assert facts.abv_plus_minus >= 0.0
    assert facts.level_l is None or facts.level_l >= 0.0
    assert all(part.water_g >= 0.0 and part.sugar_g >= 0.0 for part in facts.pending)
    assert all(0 <= lot.burst <= lot.opened <= lot.bottles for lot in facts.lots)
    assert facts.spent_frozen_percent is None or 0.0 <= facts.spent_frozen_percent <= 100.0


@settings(max_examples=300, deadline=None)
@given(PAGES, HEADS, st.booleans(), MOMENTS)
def test_no_entries_break_the_replay_or_make_less_than_nothing(
    pages: list[dict[str, Any]], head: Head, begun: bool, days: float
) -> None:
    trace: list[Moment] = []
    facts = replay(head, plausible(pages) if begun else numbered(pages), trace=trace)
    sound(facts)
    for moment in trace:
        assert moment.level_l is None or moment.level_l >= 0.0
        assert moment.abv_percent is None or 0.0 <= moment.abv_percent <= 100.1
    now = START + timedelta(days=days)
    seen = present(facts, now, UTC)
    assert all(math.isfinite(number) for number in seen if isinstance(number, float))
    assert seen.sugar_spent_percent is None or 0.0 <= seen.sugar_spent_percent <= 100.0
    assert seen.refermentable_g_per_l is None or seen.refermentable_g_per_l >= 0.0
    assert stage(facts, now) in STAGES
    assert (stage(facts, now) == "bottled") is nothing_left(facts)
    if stable_now(facts, 3, now):
        assert stable_since(facts, 3, now) is not None


@settings(deadline=None)
@given(PAGES, HEADS, st.randoms(use_true_random=False))
def test_the_order_of_the_entries_does_not_matter(
    pages: list[dict[str, Any]], head: Head, shuffler: random.Random
) -> None:
    ordered = plausible(pages)
    mixed = list(ordered)
    shuffler.shuffle(mixed)
    assert replay(head, mixed) == replay(head, ordered)


@settings(deadline=None)
@given(st.lists(entry(("read", "feed", "rack", "level", "fruit", "dose", "bottle")), min_size=1, max_size=8),
       st.randoms(use_true_random=False))  # fmt: skip
def test_the_order_and_repetition_of_lines_do_not_matter_and_a_struck_strike_restores(
    pages: list[dict[str, Any]], shuffler: random.Random
) -> None:
    lines = [line(one) for one in plausible(pages)]

    def told(of: list[str]) -> Facts:
        found, problems = read_lines("".join(of).encode(), "daybook.toml")
        assert not problems
        return replay(Head("T"), live(found)[0])

    first = told(lines)
    again = lines + [twice for twice in lines if shuffler.random() < 0.3]
    shuffler.shuffle(again)
    assert told(again) == first
    at = START + timedelta(days=500)
    struck = line_of("s1", "strike", at, {"entry": "k2"})
    restored = told([*lines, struck, line_of("s2", "strike", at, {"entry": "s1"})])
    assert restored._replace(last_at=first.last_at) == first
    assert told([*lines, struck]).acts != first.acts


@settings(deadline=None)
@given(PAGES, HEADS)
def test_facts_come_back_from_json_exactly(pages: list[dict[str, Any]], head: Head) -> None:
    facts = replay(head, plausible(pages))
    stored = json.dumps(to_json(facts))
    values = json.loads(stored)
    assert from_json(Facts, values) == facts
    assert from_json(Facts, values) == facts  # what was read is left as it was
    assert json.dumps(to_json(from_json(Facts, values))) == stored


@pytest.mark.parametrize("broken", [[], [None] * 48, ["x"], [1] * 60])
def test_what_is_not_facts_is_refused(broken: list[Any]) -> None:
    with pytest.raises((TypeError, ValueError, IndexError)):
        from_json(Facts, broken)


STEPS = st.one_of(
    st.tuples(st.just("read"), st.floats(0.996, 1.08)),
    st.tuples(st.sampled_from(["feed", "sweeten"]), st.floats(1.0, 400.0)),
    st.tuples(st.just("rack"), st.floats(0.5, 1.0)),
    st.tuples(st.just("split"), st.floats(0.05, 0.6)),
    st.tuples(st.just("top_up"), st.floats(0.05, 0.5)),
    st.tuples(st.sampled_from(["dose", "punch"]), st.just(1.0)),
)


@settings(max_examples=200, deadline=None)
@given(st.lists(STEPS, max_size=10))
def test_water_and_extract_are_kept_through_any_life(steps: list[tuple[str, float]]) -> None:
    """What goes in is there, less the share that left; fermenting turns extract into ethanol, 2.0665 g into 1 g."""
    head = head_from({"name": "T"})
    page: list[dict[str, Any]] = [
        {"at": START, "did": "mix", "honey_g": 1500.0, "volume_l": 4.5},
        {"at": START + timedelta(days=1), "did": "pitch"},
    ]
    before = replay(head, numbered(page))
    water_g, extract_g = before.water_g, before.extract_g
    for day, (did, much) in enumerate(steps, start=2):
        at = START + timedelta(days=day)
        litres = present(before, at, UTC).must
        assert litres is not None
        written: dict[str, Any] = {"at": at, "did": did}
        share, brings_water_g, brings_extract_g = 1.0, 0.0, 0.0
        if did == "read":
            written["sg"] = much
        elif did in ("feed", "sweeten"):
            written["honey_g"] = much
            brings_water_g, brings_extract_g = much * 0.171, much * 0.829
        elif did == "rack":
            written["volume_l"], share = litres.volume_l * much, much
        elif did == "split":
            written |= {"into": "other-26", "volume_l": litres.volume_l * much}
            share = 1.0 - much
        elif did == "top_up":
            written |= {"with": "water", "volume_l": much}
            brings_water_g = much * 998.20123
        elif did == "dose":
            written["dap_g"] = much
        page.append(written)
        water_g = water_g * share + brings_water_g
        extract_g = extract_g * share + brings_extract_g
        before = replay(head, numbered(page))
        assert before.water_g == pytest.approx(water_g, rel=1e-9)
        assert before.extract_g == pytest.approx(extract_g, rel=1e-9)
        must = present(before, at, UTC).must
        assert must is not None
        assert must.water_g == pytest.approx(water_g, rel=1e-9)
        assert must.sugar_g + EXTRACT_PER_ETHANOL * must.ethanol_g == pytest.approx(extract_g, rel=1e-9)


@settings(deadline=None)
@given(st.floats(0.998, 1.07), st.floats(0.05, 0.95))
def test_a_split_poured_back_restores(sg: float, share: float) -> None:
    head = head_from({"name": "T"})
    page: list[dict[str, Any]] = [
        {"at": START, "did": "mix", "honey_g": 1500.0, "volume_l": 4.5},
        {"at": START + timedelta(days=1), "did": "pitch"},
        {"at": START + timedelta(days=9), "did": "read", "sg": sg},
    ]
    whole = replay(head, numbered(page))
    now = present(whole, START + timedelta(days=10), UTC).must
    assert now is not None
    split = {"at": START + timedelta(days=10), "did": "split", "into": "other-26", "volume_l": share * now.volume_l}
    back = {
        "at": START + timedelta(days=11), "did": "receive", "from": "other-26", "water_g": share * now.water_g,
        "sugar_g": share * now.sugar_g, "ethanol_g": share * now.ethanol_g,
    }  # fmt: skip
    again = replay(head, numbered([*page, split, back]))
    assert (again.water_g, again.extract_g, again.fermented_g) == pytest.approx(
        (whole.water_g, whole.extract_g, whole.fermented_g)
    )
    assert again.g0 == pytest.approx(whole.g0, abs=1e-9)
    assert again.sg == pytest.approx(whole.sg, abs=1e-7)
    child = replay(head, numbered([back]))
    assert present(child, START + timedelta(days=11), UTC).abv_percent == pytest.approx(now.abv_percent)


@settings(max_examples=300, deadline=None)
@given(PAGES, HEADS, st.integers(2, 14))
def test_going_on_gives_what_a_replay_of_all_gives(pages: list[dict[str, Any]], head: Head, cut: int) -> None:
    # Each in a moment of its own: what was written at one moment is ordered among itself.
    ordered: list[Entry] = []
    for place, one in enumerate(in_order(plausible(pages))):
        ordered.append(one)
        object.__setattr__(one, "at", one.at + timedelta(seconds=place))
    first, more = ordered[:cut], ordered[cut:]
    facts, rest = replayed(head, first)
    if not all(can_go_on(facts, one) for one in more):
        return
    stored = from_json(Facts, to_json(facts)), from_json(Rest, to_json(rest))
    assert go_on(head, *stored, more) == replayed(head, ordered)
    assert go_on(head, *stored, more)[0] == replay(head, ordered)
