"""Each kind of trouble, with a case just inside and one just outside."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest

from fermtui.daybook.head import head_from
from fermtui.daybook.lines import read_lines
from fermtui.forecast.trouble import trouble_of
from fermtui.replay.replay import replay

BEGUN = """
a0 = { at = 2026-03-01T18:30:00+01:00, did = "read", sg = 1.094, temp_c = 20 }
a1 = { at = 2026-03-01T19:00:00+01:00, did = "pitch" }
"""
CALM = (("10", 1.050), ("16", 1.0300), ("19", 1.0300), ("23", 1.0300))


def read(*rows: tuple[str, float], temp_c: float = 20.0, at: str = "19:00") -> str:
    return BEGUN + "".join(
        f'r{day} = {{ at = 2026-03-{day}T{at}:00+01:00, did = "read", sg = {sg:.4f}, temp_c = {temp_c} }}\n'
        for day, sg in rows
    )


def kind(page: str, now: str, **plan: Any) -> str | None:
    head = head_from({"name": "T", "plan": {"volume_l": 4.0, "gravity": 1.094, **plan}})
    entries, problems = read_lines(page.encode(), "daybook.toml")
    assert not problems
    found = trouble_of(replay(head, entries), head.plan, None, datetime.fromisoformat(f"2026-{now}:00+01:00"))
    return None if found is None else found.kind


def test_stalled_is_stable_seven_days_and_not_at_the_end() -> None:
    assert kind(read(*CALM), "03-24T12:00") == "stalled"
    assert kind(read(*CALM[:3], ("22", 1.0300)), "03-23T12:00") is None  # six days
    assert kind(read(*CALM[:3], ("23", 1.0289)), "03-24T12:00") is None  # it still moves
    assert kind(read(*CALM[:3], ("23", 1.0290)), "03-24T12:00") == "stalled"  # a spread of 0.001 is noise
    assert kind(read(CALM[0], CALM[1], CALM[3]), "03-24T12:00") is None  # two readings prove no seven days
    assert kind(read(*CALM, temp_c=14.0), "03-24T12:00") is None  # too cold to prove anything


@pytest.mark.parametrize(("end", "expected"), [(1.028, None), (1.0279, "stalled"), (1.000, "stalled")])
def test_within_two_points_of_the_planned_end_it_is_no_stall(end: float, expected: str | None) -> None:
    assert kind(read(*CALM), "03-24T12:00", end=end) == expected


@pytest.mark.parametrize(
    "more",
    ['did = "sorbate", sorbate_g = 0.8', 'did = "sweeten", honey_g = 100', 'did = "bottle", count = 2, size_ml = 750',
     'did = "empty"'],
)  # fmt: skip
def test_what_was_stopped_on_purpose_is_not_stalled(more: str) -> None:
    assert kind(read(*CALM) + f"z = {{ at = 2026-03-23T20:00:00+01:00, {more} }}", "03-24T12:00") is None


def test_not_started_after_72_hours() -> None:
    assert kind(read(("04", 1.0930), at="19:00"), "03-04T19:00") == "not started"
    assert kind(read(("04", 1.0930), at="18:30"), "03-04T18:59") is None  # a minute before
    assert kind(read(("04", 1.0930), at="06:30"), "03-04T19:30") is None  # that reading came too early to tell
    assert kind(read(("04", 1.0919), at="19:00"), "03-04T19:00") is None  # two points down: it has begun
    assert kind(BEGUN, "03-06T12:00") is None  # nobody looked
    assert kind(read(("02", 1.0900), ("04", 1.0935)), "03-04T19:30") != "not started"


def test_rising_by_more_than_the_noise() -> None:
    assert kind(read(("05", 1.0700), ("07", 1.0731)), "03-07T20:00") == "rising"
    assert kind(read(("05", 1.0700), ("07", 1.0730)), "03-07T20:00") is None
    fed = read(("05", 1.0700), ("07", 1.0900)) + 'f = { at = 2026-03-06T12:00:00+01:00, did = "feed", honey_g = 300 }'
    assert kind(fed, "03-07T20:00") is None


@pytest.mark.parametrize(
    ("temp_c", "plan", "now", "expected"),
    [
        (30.1, {}, "03-05T20:00", "too warm"), (30.0, {}, "03-05T20:00", None),
        (24.1, {"temp_c": 19}, "03-05T20:00", "too warm"), (24.0, {"temp_c": 19}, "03-05T20:00", None),
        (30.5, {"temp_c": 28}, "03-05T20:00", "too warm"),  # the plan does not lift what hurts the yeast
        (31.0, {}, "03-08T19:00", "too warm"), (31.0, {}, "03-08T19:01", None),  # three days ago is not now
    ],
)  # fmt: skip
def test_too_warm(temp_c: float, plan: dict[str, Any], now: str, expected: str | None) -> None:
    assert kind(read(("05", 1.0600), temp_c=temp_c), now, **plan) == expected


def test_a_mead_at_its_end_may_be_warm() -> None:
    assert kind(read(("28", 0.9940), temp_c=31.0), "03-28T20:00") is None


def test_a_vessel_without_yeast_or_gravity_is_in_no_trouble() -> None:
    assert kind('a0 = { at = 2026-03-01T18:30:00+01:00, did = "read", sg = 1.094, temp_c = 35 }', "03-05T12:00") is None
    assert kind("", "03-05T12:00") is None
