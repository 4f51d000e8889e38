"""An own schedule that is like one of the library holds only what differs."""

from __future__ import annotations

import pytest

from fermtui.schedule.library import load
from fermtui.schedule.parser import schedule_from
from fermtui.schedule.steps import Schedule
from fermtui.wording.problems import problem_text

OWN = """
title = "Two doses, the second later, with oak"
like = "two-doses"
leave_out = ["look", "rack-2"]

[[step]]
key = "dose-2"
due = { after = "pitch", days = 7 }

[[step]]
key = "bottle"
due = { all = [ { after = "step:rack-1", days = 90 }, { stable_days = 7 } ] }

[[step]]
key = "oak"
do = "add"
what = "oak"
due = { after = "step:rack-1", days = 1 }
"""


def read(text: str) -> tuple[Schedule | None, list[str]]:
    schedule, problems = schedule_from(text.encode(), "schedules/mine.toml")
    return schedule, [problem_text(problem) for problem in problems]


@pytest.mark.parametrize("key", ["{}", "[]", "1", "nan", "2026-03-01", '"x"'])
def test_a_key_that_is_none_is_refused_or_a_step_of_its_own(key: str) -> None:
    schedule, problems = read(OWN + f"[[step]]\nkey = {key}\n")
    assert schedule is None
    assert problems
    assert "schedules/mine.toml" in problems[0]


def test_only_what_differs_is_written() -> None:
    schedule, problems = read(OWN)
    assert problems == []
    assert schedule is not None
    base, _ = load("two-doses", None)
    assert base is not None
    keys = [step.key for step in base.steps if step.key not in ("look", "rack-2")]
    assert [step.key for step in schedule.steps] == [*keys, "oak"]
    changed, as_before = schedule.by_key["dose-2"], base.by_key["dose-2"]
    assert (changed.share, changed.say, changed.drop) == (as_before.share, as_before.say, as_before.drop)
    assert changed.due != as_before.due
    assert schedule.by_key["dose-1"] == base.by_key["dose-1"]._replace(line=None)


@pytest.mark.parametrize(("text", "says"), [
    (OWN.replace("two-doses", "no-such"), "like names a schedule of the library, one of braggot, cyser"),
    (OWN.replace('like = "two-doses"', "like = 3"), "like names a schedule of the library"),
    (OWN.replace('"rack-2"]', '"rack-9"]'), "leave_out is a list of steps of two-doses"),
    (OWN.replace('like = "two-doses"', ""), "leave_out belongs beside like"),
    (OWN.replace('["look", "rack-2"]', '["rack-2"]').replace('"look", ', ""), ""),
    (OWN.replace('do = "add"', 'do = "dance"'), "line 14: step 'oak': do is one of"),
    (OWN.replace('["look", "rack-2"]', '["rack-1"]'), "rack-1"),
])  # fmt: skip
def test_what_is_wrong_is_told_by_file_line_and_reason(text: str, says: str) -> None:
    schedule, problems = read(text)
    if not says:
        assert schedule is not None
        return
    assert schedule is None
    assert any(says in problem for problem in problems), problems
    assert all(problem.startswith("schedules/mine.toml") for problem in problems)


def test_one_that_is_like_another_may_be_what_a_third_is_like() -> None:
    schedule, problems = read('title = "Mine"\nlike = "sparkling-own-sugar"\nleave_out = ["chill"]\n')
    assert problems == []
    assert schedule is not None
    base, _ = load("sparkling-own-sugar", None)
    assert base is not None
    assert [step.key for step in schedule.steps] == [step.key for step in base.steps if step.key != "chill"]
    assert {"mix", "dose-2", "open-one", "forced-test"} <= schedule.by_key.keys()  # of three files
    assert not {"rack-1", "sulfite"} & schedule.by_key.keys()


def test_a_new_step_stands_before_the_changed_one_that_follows_it() -> None:
    schedule, problems = read(
        'title = "Mine"\nlike = "two-doses"\n'
        '[[step]]\nkey = "malt"\ndo = "add"\nwhat = "malt"\ndue = { after = "step:mix" }\n'
        '[[step]]\nkey = "og"\ndue = { after = "step:malt" }\n'
        '[[step]]\nkey = "last"\ndo = "taste"\ndue = { after = "step:bottle", months = 12 }\n'
    )
    assert problems == []
    assert schedule is not None
    keys = [step.key for step in schedule.steps]
    assert keys[:4] == ["mix", "malt", "og", "pitch"]
    assert keys[-1] == "last"
