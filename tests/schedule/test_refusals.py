"""Schedules that are refused, with file, line and a sentence that says what would be right."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fermtui.daybook.problem import Problem
from fermtui.schedule.library import library_names
from fermtui.schedule.parser import LIBRARY, schedule_from
from fermtui.wording.problems import reason as reason_of

SOUND = """title = "Own"

[[step]]
key = "pitch"
do = "pitch"

[[step]]
key = "one"
do = "dose"
share = 0.5
due = { after = "step:pitch", days = 2 }

[[step]]
key = "two"
do = "dose"
share = 0.5
due = { after = "step:one", hours = 12 }
"""
LAST = 13  # the line of the third [[step]]


def refused(text: str) -> tuple[Problem, ...]:
    schedule, problems = schedule_from(text.encode("utf-8", "surrogateescape"), "schedules/own.toml")
    assert schedule is None
    assert problems
    assert all(problem.path == "schedules/own.toml" for problem in problems)
    return problems


def last_due(condition: str) -> str:
    return SOUND.replace('due = { after = "step:one", hours = 12 }', f"due = {condition}")


def test_the_sound_one_is_taken() -> None:
    schedule, problems = schedule_from(SOUND.encode(), "schedules/own.toml")
    assert problems == ()
    assert schedule is not None
    assert (schedule.name, schedule.title) == ("own", "Own")
    assert [(step.key, step.line) for step in schedule.steps] == [("pitch", 3), ("one", 7), ("two", 13)]


@pytest.mark.parametrize(
    ("condition", "reason"),
    [
        ('{ after = "step:three" }', "'three', which is not there; the steps are pitch, one, two"),
        ('{ before = "step:three", days = 1 }', "which is not there"),
        ('{ after = "step:two", days = 1 }', "loop: two waits for two"),
        ('{ after = "dawn" }', '"step:KEY", "add:NAME" or one of add, aerate'),
        ('{ after = "pitch", days = -1 }', "days is a number from 0 to 3650, not -1"),
        ('{ after = "pitch", days = 0.5 }', "days is a whole number; for parts of a day use hours"),
        ('{ after = "pitch", days = 1, hours = 2 }', "takes one of days, hours, weeks, months, not days and hours"),
        ('{ after = "pitch", hours = -1 }', "hours is a number from 0"),
        ('{ after = "pitch", years = 1 }', "not take years; it takes days, hours, weeks, months, where_done"),
        ('{ after = "pitch", weeks = 1.5 }', "weeks is a whole number; for parts of a day use hours"),
        ('{ after = "pitch", weeks = 521 }', "weeks is a number from 0 to 520, not 521"),
        ('{ after = "pitch", weeks = 1, days = 2 }', "takes one of days, hours, weeks, months, not days and weeks"),
        ('{ before = "step:one", weeks = 1, days = 2 }', "before takes one of days, hours, weeks, not two of them"),
        ('{ after = "add:" }', 'an addition by up to 40 characters, as in after = "add:oak"'),
        (f'{{ after = "add:{"x" * 41}" }}', "an addition by up to 40 characters"),
        ('{ after = "add oak" }', '"step:KEY", "add:NAME" or one of'),
        ("{ gravity_at_least = 105 }", "gravity_at_least is a number from 0.95 to 1.3, not 105"),
        ("{ ph_at_most = 34 }", "ph_at_most is a number from 2 to 7, not 34"),
        ('{ ph_at_most = "3.4" }', "ph_at_most is a number without quotes"),
        ("{ ph_at_least = 3.4 }", "no condition in a table that holds ph_at_least"),
        ("{ temp_c_at_least = 180 }", "temp_c_at_least is a number from -10 to 100, not 180"),
        ("{ temp_c_at_most = -40 }", "temp_c_at_most is a number from -10 to 100, not -40"),
        ("{ temp_at_most = 5 }", "no condition in a table that holds temp_at_most"),
        ("{ sugar_left_at_most = 0 }", "sugar_left_at_most is a number from 1 to 300, not 0"),
        ('{ every_hours = 0.5, from = { after = "pitch" }, until = { at_end = true } }', "every_hours is a number"),
        ('{ every_weeks = 1.5, from = { after = "pitch" }, until = { at_end = true } }', "every_weeks is a whole"),
        ('{ every_hours = 12, from = { after = "pitch" } }', "every needs until"),
        (
            '{ every = 1, every_hours = 12, from = { after = "pitch" }, until = { at_end = true } }',
            "one table holds every and every_hours",
        ),
        ('{ after = "pitch", days = "2" }', "days is a number without quotes"),
        ('{ after = "pitch", days = true }', "days is a number without quotes"),
        ("{ after = 2 }", "after is text in quotes"),
        ('{ before = "pitch", days = 1 }', "before names a step"),
        *(
            (f'{{ after = "{did}" }}', '"step:KEY", "add:NAME" or one of')
            for did in ("note", "level", "split", "chore", "strike")
        ),
        ("{ gravity_at_most = 1005 }", "gravity_at_most is a number from 0.95 to 1.3, not 1005"),
        ("{ gravity_at_most = nan }", "gravity_at_most is a number"),
        ("{ sugar_spent = 1.5 }", "sugar_spent is a number from 0 to 1, not 1.5"),
        ("{ sugar_spent = -0.1 }", "sugar_spent is a number from 0 to 1"),
        ("{ sugar_spent = 0 }", "ends left out"),
        ('{ sugar_spent = "a third" }', '"1/3"'),
        ('{ sugar_spent = "1/0" }', '"1/3"'),
        ("{ abv_at_least = 40 }", "abv_at_least is a number from 0.5 to 25"),
        ("{ stable_days = 0 }", "stable_days is a number from 1 to 365"),
        ("{ at_end = false }", "at_end = true"),
        ('{ on = "2026-05-01" }', "on is a date without quotes"),
        ("{ on = 1850-05-01 }", "between the years 1970 and 2200"),
        ('{ every = 2, from = { after = "pitch" } }', "every needs until"),
        ('{ every = 2, until = { after = "pitch" } }', "every needs from"),
        ('{ every = 0, from = { after = "pitch" }, until = { at_end = true } }', "every is a number from 1"),
        ("{ every = 1, from = { at_end = true }, until = { at_end = true } }", "can never come due"),
        (
            '{ all = [ { every = 1, from = { at_end = true }, until = { after = "bottled" } } ] }',
            "every cannot be inside any or all",
        ),
        ("{ all = [] }", "all is a list of 1 to 12 conditions"),
        ('{ any = { after = "pitch" } }', "any is a list"),
        ('{ after = "pitch", at_end = true }', "one table holds after and at_end"),
        ("{ full_moon = true }", "no condition in a table that holds full_moon; the conditions are after, before"),
        ("{}", "no condition in a table that holds nothing"),
        ('"soon"', "a condition is a table"),
        ('{ any = [ { after = "sulfite", hours = 24, where_done = true } ] }', "where_done belongs inside all"),
        ('{ after = "step:one", where_done = true }', "where_done needs an event"),
    ],
)
def test_a_condition_at_fault_is_named_with_its_step_and_line(condition: str, reason: str) -> None:
    problem = refused(last_due(condition))[0]
    assert problem.line == LAST
    assert "'two'" in reason_of(problem)
    assert reason in reason_of(problem), reason_of(problem)


@pytest.mark.parametrize(
    ("old", "new", "line", "reason"),
    [
        ('key = "two"', 'key = "one"', LAST, "an earlier step has the same key"),
        ('key = "two"', "", LAST, "key is missing"),
        ('key = "two"', 'key = "a b"', LAST, "letters, digits and hyphens"),
        ('key = "two"', 'key = "ask-gravity"', LAST, "are kept for the program's own tasks"),
        ('key = "two"\ndo = "dose"', 'key = "two"\ndo = "brew"', LAST, "do is one of add, aerate"),
        ('key = "two"\ndo = "dose"', 'key = "two"\ndo = "strike"', LAST, "do is one of"),
        ('key = "two"', 'key = "two"\nshares = 1', LAST, "shares does not belong here; a step holds key, do, what"),
        (
            'key = "two"\ndo = "dose"\nshare = 0.5',
            'key = "two"\ndo = "dose"\nshare = 1.5',
            LAST,
            "share is a number from 0 to 1",
        ),
        (
            'key = "two"\ndo = "dose"\nshare = 0.5',
            'key = "two"\ndo = "dose"\nshare = 0.6',
            LAST,
            "the shares come to 1.1",
        ),
        ('do = "pitch"', 'do = "pitch"\nshare = 0.5', 3, "share belongs to a step that does a dose"),
        ('do = "pitch"', 'do = "pitch"\nwhen = "plan.red"', 3, "when is one of plan.sweet, plan.sparkling, plan.fruit"),
        ('do = "pitch"', 'do = "pitch"\ngrace_days = -1', 3, "grace_days is a number from 0"),
        ('do = "pitch"', 'do = "pitch"\nsay = 4', 3, "say is missing or no text in quotes"),
        ('do = "pitch"', f'do = "pitch"\nsay = "{"x" * 501}"', 3, "500 is the most"),
        ('title = "Own"', "", None, "title is missing"),
        ('title = "Own"', 'title = "Own"\nauthor = "me"', 2, "author does not belong here"),
        ('title = "Own"', "title = Own", 1, "this is no valid TOML"),
        ('title = "Own"', 'title = "Own', 1, "this is no valid TOML"),
    ],
)
def test_a_field_at_fault_is_named_with_its_line(old: str, new: str, line: int | None, reason: str) -> None:
    problem = refused(SOUND.replace(old, new, 1))[0]
    assert reason in reason_of(problem), reason_of(problem)
    assert problem.line == line


def test_a_loop_through_several_steps_names_them_all() -> None:
    text = SOUND.replace('due = { after = "step:pitch", days = 2 }', 'due = { after = "step:two" }')
    assert "one waits for two waits for one" in reason_of(refused(text)[0])


def test_a_loop_through_an_event_is_one_too() -> None:
    text = SOUND.replace('do = "pitch"\n', 'do = "pitch"\ndue = { after = "dose" }\n')
    assert "loop" in reason_of(refused(text)[0])


def test_a_loop_through_an_addition_or_the_first_sign_is_one_too() -> None:
    oak = SOUND.replace('do = "dose"\nshare = 0.5\ndue = { after = "step:pitch", days = 2 }',
                        'do = "add"\nwhat = "oak"\ndue = { after = "add:oak" }')  # fmt: skip
    assert "loop: one waits for one" in reason_of(refused(oak)[0])
    sign = oak.replace('"add"', '"chore"').replace('"oak"', '"first sign"').replace('"add:oak"', '"first_sign"')
    assert "loop: one waits for one" in reason_of(refused(sign)[0])


def test_a_loop_of_before_is_one_too() -> None:
    text = last_due('{ before = "step:one", hours = 1 }').replace('"step:pitch", days = 2', '"step:two", days = 2')
    assert "loop" in reason_of(refused(text)[0])


def test_a_loop_of_drops_is_one_too() -> None:
    text = SOUND.replace('key = "one"', 'key = "one"\ndrop = { after = "step:two" }')
    text = text.replace('key = "two"', 'key = "two"\ndrop = { after = "step:one" }')
    assert "drop goes round in a loop" in reason_of(refused(text)[0])


@pytest.mark.parametrize(
    ("due", "drop"),
    [
        ("{ sugar_spent = 0.6 }", "{ sugar_spent = 0.5 }"),
        ("{ gravity_at_most = 1.010 }", "{ gravity_at_most = 1.020 }"),
        ("{ at_end = true }", "{ at_end = true }"),
        ("{ ph_at_most = 3.3 }", "{ ph_at_most = 3.5 }"),
        ("{ temp_c_at_least = 20 }", "{ temp_c_at_least = 18 }"),
        ("{ sugar_left_at_most = 10 }", "{ sugar_left_at_most = 20 }"),
        ("{ all = [ { at_end = true }, { stable_days = 7 } ] }", "{ at_end = true }"),
    ],
)
def test_a_step_that_is_dropped_before_it_comes_due_is_refused(due: str, drop: str) -> None:
    problem = refused(last_due(due) + f"drop = {drop}\n")[0]
    assert "can never come due: by then its drop condition is met" in reason_of(problem)
    assert problem.line == LAST


def test_a_step_that_hangs_on_one_of_the_opposite_plan_is_refused() -> None:
    text = SOUND.replace('key = "one"', 'key = "one"\nwhen = "plan.sweet"')
    text = text.replace('key = "two"', 'key = "two"\nwhen = "not plan.sweet"')
    assert "never in the same plan" in reason_of(refused(text)[0])


def test_every_fault_of_a_file_is_told_at_once() -> None:
    text = SOUND.replace('do = "pitch"', 'do = "brew"').replace("hours = 12", "hours = -12")
    assert [problem.line for problem in refused(text)] == [3, LAST]


@pytest.mark.parametrize(
    "text",
    [
        "",
        'title = "Own"\n',
        'title = "Own"\nstep = 4\n',
        'title = "Own"\nstep = []\n',
        'title = "Own"\nstep = [ 1 ]\n',
        'title = "Own"\n[step]\nkey = "a"\n',
        "a" * 20_000 + " = 1",
        ".".join("a" * 4000) + " = 1",
        "x = " + "[" * 3000 + "]" * 3000,
        'title = "Own"\n' + "#\n" * 200_000,
        "\udcff\udcfe",
        'title = "Own"\n' + '[[step]]\nkey = "a"\ndo = "dose"\n' * 61,
    ],
)
def test_what_is_no_schedule_is_refused_and_raises_nothing(text: str) -> None:
    refused(text)


def test_conditions_nested_beyond_sense_are_refused() -> None:
    deep = "{ at_end = true }"
    for _ in range(8):
        deep = f"{{ any = [ {deep} ] }}"
    assert "nested deeper" in reason_of(refused(last_due(deep))[0])


@given(st.data())
def test_a_library_file_with_a_hole_in_it_raises_nothing(data: st.DataObject) -> None:
    whole = (LIBRARY / f"{data.draw(st.sampled_from(library_names()))}.toml").read_bytes()
    start = data.draw(st.integers(0, len(whole)))
    end = data.draw(st.integers(start, min(len(whole), start + 200)))
    schedule, problems = schedule_from(
        whole[:start] + data.draw(st.binary(max_size=8)) + whole[end:], "schedules/x.toml"
    )
    assert (schedule is None) == bool(problems)
