"""Facts in, dates out; the dates themselves are measured by the forecast's own benchmark."""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fermtui.daybook.head import Head, head_from
from fermtui.daybook.lines import read_lines
from fermtui.forecast.answers import ForecastAnswers
from fermtui.forecast.forecast import Forecast, doses_in, why_none
from fermtui.forecast.from_facts import evidence_of, foretell
from fermtui.replay.facts import Facts
from fermtui.replay.replay import replay
from fermtui.schedule.steps import Step

HEAD: dict[str, Any] = {
    "name": "T",
    "plan": {"volume_l": 4.2, "gravity": 1.095, "end": 0.998, "temp_c": 19, "doses": {"dap_g": 2.2},
             "yeast": {"name": "white wine yeast", "tolerance_abv": 14}},
}  # fmt: skip
BEGUN = """
a0 = { at = 2026-03-01T18:30:00+01:00, did = "read", sg = 1.094 }
a1 = { at = 2026-03-01T19:00:00+01:00, did = "pitch", temp_c = 21 }
"""
RUNNING = (
    BEGUN
    + """
a2 = { at = 2026-03-03T19:00:00+01:00, did = "dose", dap_g = 1.1 }
a3 = { at = 2026-03-04T19:00:00+01:00, did = "read", sg = 1.078, temp_c = 20 }
a4 = { at = 2026-03-07T19:00:00+01:00, did = "read", sg = 1.055, temp_c = 20 }
a5 = { at = 2026-03-10T19:00:00+01:00, did = "read", sg = 1.036, temp_c = 19 }
"""
)
PITCHED = datetime.fromisoformat("2026-03-01T19:00:00+01:00")
NOW = datetime.fromisoformat("2026-03-11T01:00:00+01:00")


def story(page: str, head: dict[str, Any] | None = None) -> tuple[Facts, Head]:
    entries, problems = read_lines(page.encode(), "daybook.toml")
    assert not problems
    read = head_from(HEAD if head is None else head)
    return replay(read, entries), read


def outlook(page: str, now: datetime = NOW) -> Forecast:
    facts, head = story(page)
    made = foretell(facts, head.plan, 2)
    assert facts.pitched_at is not None
    return Forecast(ForecastAnswers(dict, lambda: made), facts.pitched_at, now, facts.g0)


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ('a9 = { at = 2026-03-20T19:00:00+01:00, did = "bottle", count = 4, size_ml = 750 }', "bottled"),
        ('a9 = { at = 2026-03-20T19:00:00+01:00, did = "empty" }', "emptied"),
        ('a9 = { at = 2026-03-20T19:00:00+01:00, did = "sorbate", sorbate_g = 1 }', "stabilised"),
        ('a9 = { at = 2026-03-20T19:00:00+01:00, did = "sweeten", honey_g = 100 }', "sweetened"),
    ],
)
def test_where_there_is_nothing_to_foretell_it_says_why(more: str, says: str) -> None:
    facts, _ = story(RUNNING + more)
    assert says in (why_none(facts) or "")


def test_nothing_before_pitching_nor_of_an_unknown_must() -> None:
    assert why_none(story("")[0]) == "nothing has been pitched yet"
    bare = story('a1 = { at = 2026-03-01T19:00:00+01:00, did = "pitch" }', {"name": "T"})[0]
    assert "no original gravity" in (why_none(bare) or "")


def test_what_it_is_told() -> None:
    facts, head = story(RUNNING + 'a6 = { at = 2026-03-11T07:00:00+01:00, did = "feed", honey_g = 200 }')
    answers = evidence_of(facts, head.plan, 2)
    assert answers.og == pytest.approx(1.094)
    assert answers.og_sd == 0.001
    assert [day for day, _, _ in answers.readings] == [3.0, 6.0, 9.0]
    assert answers.readings[0][1] == pytest.approx(1.078)
    assert answers.temps == ((0.0, 21.0), (3.0, 20.0), (6.0, 20.0), (9.0, 19.0))
    assert (answers.plan_temp_c, answers.tolerance_abv, answers.end_sg, answers.yeast) == (
        19.0,
        14.0,
        0.998,
        "white wine yeast",
    )
    assert (answers.doses_planned, answers.doses_given) == (2, 1)
    assert answers.yan_mg_per_l == pytest.approx(2200 * 0.212 / 4.2, rel=0.05)  # DAP is 21.2 % nitrogen by mass (IUPAC)
    ((day, added, sd),) = answers.feeds
    assert day == 9.5
    assert 0.010 < added < 0.020
    assert 0 < sd < 0.003


def test_an_original_gravity_that_nobody_read_is_less_sure() -> None:
    facts, head = story(RUNNING.split("\n", 2)[2])
    assert evidence_of(facts, head.plan, 2).og_sd > 0.001


def test_dates_come_in_order_and_crossings_one_after_the_other() -> None:
    seen = outlook(RUNNING)
    finish = seen.finish
    assert finish is not None
    assert finish.latest is not None
    assert PITCHED < finish.earliest <= finish.likely <= finish.latest
    crossings = seen.crossings()
    assert crossings["third_break"] is not None  # 1.063: it was read at 1.055, so it has passed
    assert crossings["half"] is not None  # 1.047
    assert PITCHED < crossings["third_break"].likely < crossings["half"].likely < NOW
    gone_by = seen.crossing(1.047)
    assert gone_by is not None, "gone by is not never"
    assert gone_by.likely < NOW
    assert crossings["two_thirds"] is not None  # 1.031
    assert NOW - timedelta(days=1) < crossings["two_thirds"].likely < finish.likely
    lower = seen.crossing(1.020)
    assert lower is not None
    assert crossings["two_thirds"].likely < lower.likely
    calm = seen.calm(7)
    assert calm is not None
    assert calm.likely >= finish.likely


def test_the_band_has_a_row_a_day_and_covers_today() -> None:
    band = outlook(RUNNING).band()
    assert band[0].at == PITCHED
    assert all(b.at - a.at == timedelta(days=1) for a, b in pairwise(band))
    assert all(row.low <= row.likely <= row.high for row in band)
    late = outlook(RUNNING, NOW + timedelta(days=400)).band()
    assert late[-1].at >= NOW + timedelta(days=400)


def test_the_same_entries_give_the_same_answer_to_the_last_digit() -> None:
    facts, head = story(RUNNING)
    first, second = foretell(facts, head.plan, 2), foretell(facts, head.plan, 2)
    assert first is not None
    assert second is not None
    assert first.to_json() == second.to_json()
    assert outlook(RUNNING).band() == outlook(RUNNING).band()


def test_more_readings_make_it_surer() -> None:
    def width(page: str) -> timedelta:
        window = outlook(page, PITCHED + timedelta(days=2)).crossing(1.020)
        assert window is not None
        assert window.latest is not None
        return window.latest - window.earliest

    assert width(RUNNING) < width(BEGUN)


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.tuples(st.integers(1, 2000), st.floats(0.95, 1.3), st.floats(-4, 39)), max_size=6),
    st.sampled_from(["", 'b0 = { at = 2026-03-09T07:00:00+01:00, did = "feed", honey_g = 2000 }',
                     'b0 = { at = 2026-03-09T07:00:00+01:00, did = "add", what = "water", volume_l = 9 }']),
    st.integers(-3, 4000),
)  # fmt: skip
def test_any_readings_give_numbers(readings: list[tuple[int, float, float]], more: str, days: int) -> None:
    lines = [
        f'c{n} = {{ at = {(PITCHED + timedelta(hours=hours)).isoformat()}, did = "read", sg = {sg:.4f}, '
        f"temp_c = {temp:.1f} }}"
        for n, (hours, sg, temp) in enumerate(readings)
    ]
    seen = outlook(BEGUN + "\n".join(lines) + "\n" + more, PITCHED + timedelta(days=days))
    chances = seen.chances
    for chance in (chances.finished, chances.stalled, chances.slow):
        assert 0.0 <= chance <= 1.0
    assert all(math.isfinite(number) for row in seen.band() for number in row[1:])
    for window in (seen.finish, seen.calm(7), *seen.crossings().values()):
        assert window is None or window.earliest <= window.likely
    low, middle, high = seen.expected(seen.now)
    assert low <= middle <= high


def test_doses_of_a_schedule() -> None:
    assert doses_in([Step("dose-1", "dose"), Step("og", "read"), Step("dose-2", "dose")]) == 2


def test_breaks_of_an_unknown_original_gravity_are_named_and_none() -> None:
    seen = outlook(RUNNING)
    unknown = Forecast(seen.answers, PITCHED, NOW, None)
    assert unknown.crossings() == {"third_break": None, "half": None, "two_thirds": None}


def test_fresh_yeast_and_what_was_poured_off_are_told() -> None:
    facts, head = story(RUNNING + 'a6 = { at = 2026-03-11T07:00:00+01:00, did = "pitch" }')
    assert evidence_of(facts, head.plan, 2).repitched == (9.5,)
    facts, head = story(
        'a0 = { at = 2026-03-08T19:00:00+01:00, did = "receive", from = "b", volume_l = 2.0, water_g = 1700, '
        "sugar_g = 355, ethanol_g = 69, pitched = 2026-03-01T19:00:00+01:00 }"
    )
    ((day, sg, sd),) = evidence_of(facts, head.plan, 2).readings
    assert day == 7.0
    assert sg == pytest.approx(facts.sg)
    assert sd > 0.001
