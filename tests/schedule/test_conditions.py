"""What each condition means, on pages of a daybook and a clock."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from fermtui.forecast.window import BestReading, Window
from fermtui.schedule.task import Task
from fermtui.wording.why import why_text

Story = Callable[..., Mapping[str, Task]]
Day = Callable[..., str]
PITCHED = """
{ at = 2026-03-01T17:00:00+01:00, did = "mix", volume_l = 4.2 }
{ at = 2026-03-01T18:00:00+01:00, did = "read", sg = 1.099 }
{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }
"""


def own(*steps: str) -> str:
    """A schedule of steps written as `KEY do | due | more`."""
    text = 'title = "Own"\n'
    for step in steps:
        name, due, *more = (part.strip() for part in step.split("|"))
        key, do = name.split()
        text += f'[[step]]\nkey = "{key}"\ndo = "{do}"\ndue = {due}\n' + "\n".join(more) + "\n"
    return text


def read(day: int, sg: float, month: int = 3, temp_c: float = 20) -> str:
    return f'{{ at = 2026-{month:02d}-{day:02d}T19:00:00+01:00, did = "read", sg = {sg}, temp_c = {temp_c} }}\n'


class Outlook:
    """A forecast that always says the same."""

    def __init__(self, crossing: Window | None = None, calm: Window | None = None, sg: float = 1.050) -> None:
        self._crossing, self._calm, self._sg = crossing, calm, sg

    def crossing(self, sg: float) -> Window | None:
        return self._crossing if sg < self._sg else None

    def calm(self, _days: float) -> Window | None:
        return self._calm

    def best_reading(self) -> BestReading | None:
        return None

    def expected(self, _at: datetime) -> tuple[float, float, float]:
        return self._sg - 0.002, self._sg, self._sg + 0.002


def window(first: str, likely: str, last: str | None) -> Window:
    a, b = (datetime.fromisoformat(f"{text}T12:00:00+00:00") for text in (first, likely))
    return Window(a, b, None if last is None else datetime.fromisoformat(f"{last}T12:00:00+00:00"))


def test_two_and_five_days_after_pitching_in_the_evening_are_the_third_and_the_sixth(story: Story, day: Day) -> None:
    found = story(PITCHED, "2026-03-02T12:00")
    assert day(found["dose-1"].earliest) == day(found["dose-1"].latest) == "2026-03-03"
    assert day(found["dose-2"].likely) == "2026-03-06"
    assert found["dose-1"].state == "coming"
    assert found["dose-1"].is_date
    assert not found["dose-1"].forecast


@pytest.mark.parametrize(
    ("on", "state"),
    [
        ("2026-03-02T23:59", "coming"),
        ("2026-03-03T00:00", "due"),
        ("2026-03-03T12:00", "due"),
        ("2026-03-03T23:59", "due"),
        ("2026-03-04T00:01", "late"),
        ("2026-03-04T12:00", "late"),
    ],
)
def test_a_day_is_due_from_its_start_and_late_when_it_is_over(story: Story, on: str, state: str) -> None:
    assert story(PITCHED, on)["dose-1"].state == state


def test_hours_are_exact(story: Story, day: Day) -> None:
    schedule = own('a dose | { after = "pitch", hours = 24 } | grace_days = 0.5')
    found = story(PITCHED, "2026-03-02T18:29", schedule)["a"]
    assert (found.state, day(found.likely, hours=True)) == ("coming", "2026-03-02 18:30")
    assert story(PITCHED, "2026-03-02T18:30", schedule)["a"].state == "due"
    assert story(PITCHED, "2026-03-03T06:31", schedule)["a"].state == "late"


def test_the_night_on_which_clocks_go_forward_shortens_no_count_of_hours(story: Story, day: Day) -> None:
    page = '{ at = 2026-03-28T18:30:00+01:00, did = "pitch" }\n'
    schedule = own('h dose | { after = "pitch", hours = 24 }', 'd dose | { after = "pitch", days = 1 }')
    found = story(page, "2026-03-28T20:00", schedule)
    assert day(found["h"].likely, hours=True) == "2026-03-29 19:30"
    assert day(found["d"].likely, hours=True) == "2026-03-29 00:00"


def test_the_night_on_which_clocks_go_back_neither_loses_nor_doubles_a_day(story: Story, day: Day) -> None:
    page = '{ at = 2026-10-24T18:30:00+02:00, did = "pitch" }\n'
    every = '{ every = 1, from = { after = "pitch", days = 1 }, until = { after = "pitch", days = 4 } }'
    schedule = own('h dose | { after = "pitch", hours = 24 }', f"stir aerate | {every}")
    assert day(story(page, "2026-10-24T20:00", schedule)["h"].likely, hours=True) == "2026-10-25 17:30"
    stirred = page + '{ at = 2026-10-25T02:30:00+02:00, did = "aerate" }\n'
    between = story(stirred, "2026-10-25T02:15:00+01:00", schedule)["stir"]
    assert (between.state, day(between.likely)) == ("coming", "2026-10-26")
    again = stirred + '{ at = 2026-10-25T02:30:00+01:00, did = "aerate" }\n'
    assert day(story(again, "2026-10-25T12:00", schedule)["stir"].likely) == "2026-10-26"


def test_months_end_on_the_last_of_a_shorter_one(story: Story, day: Day) -> None:
    schedule = own(
        'a taste | { after = "pitch", months = 1 }',
        'b taste | { after = "pitch", months = 3 }',
        'c taste | { after = "pitch", months = 25 }',
    )
    from_31st = story('{ at = 2026-01-31T18:30:00+01:00, did = "pitch" }', "2026-02-01T12:00", schedule)
    assert [day(from_31st[key].likely) for key in "abc"] == ["2026-02-28", "2026-04-30", "2028-02-29"]
    leap = own('a taste | { after = "pitch", months = 12 }', 'b taste | { after = "pitch", months = 48 }')
    from_29th = story('{ at = 2028-02-29T18:30:00+01:00, did = "pitch" }', "2028-03-01T12:00", leap)
    assert [day(from_29th[key].likely) for key in "ab"] == ["2029-02-28", "2032-02-29"]


def test_the_day_is_that_of_the_cellar_not_of_the_entry(story: Story, day: Day) -> None:
    # 23:30 UTC on the 1st is the 2nd in Vienna already.
    found = story('{ at = 2026-03-01T23:30:00Z, did = "pitch" }', "2026-03-02T12:00")
    assert day(found["dose-1"].likely) == "2026-03-04"


def test_pitching_again_restarts_nothing(story: Story, day: Day) -> None:
    again = PITCHED + '{ at = 2026-03-02T18:30:00+01:00, did = "pitch" }\n'
    assert day(story(again, "2026-03-02T20:00")["dose-1"].likely) == "2026-03-03"


def test_the_one_third_break_of_1_099_is_1_066(story: Story) -> None:
    schedule = own('a dose | { sugar_spent = "1/3" }')
    assert story(PITCHED + read(4, 1.067), "2026-03-04T20:00", schedule)["a"].state == "waiting"
    waiting = story(PITCHED + read(4, 1.067), "2026-03-04T20:00", schedule)["a"].why
    assert waiting.values["sg"] == pytest.approx(1.066, abs=0.0003)
    assert story(PITCHED + read(4, 1.066), "2026-03-04T20:00", schedule)["a"].state == "due"


def test_a_gravity_is_due_from_the_reading_that_showed_it(story: Story, day: Day) -> None:
    found = story(
        PITCHED + read(4, 1.067) + read(6, 1.060) + read(8, 1.050),
        "2026-03-06T20:00",
        own("a rack | { gravity_at_most = 1.060 }"),
    )["a"]
    assert (found.state, day(found.likely, hours=True)) == ("due", "2026-03-06 19:00")


def test_a_gravity_not_yet_met_is_waiting_without_a_forecast_and_no_date_is_invented(story: Story) -> None:
    found = story(PITCHED + read(8, 1.012), "2026-03-08T20:00", own("a fruit | { gravity_at_most = 1.005 }"))["a"]
    assert (found.state, found.window) == ("waiting", None)
    assert found.why.values["last_sg"] == pytest.approx(1.012, abs=0.0005)


def test_a_forecast_gives_it_dates_and_the_steps_behind_it_move_along(story: Story, day: Day) -> None:
    schedule = own("a fruit | { gravity_at_most = 1.005 }", 'b pull | { after = "step:a", days = 21 }')
    outlook = Outlook(crossing=window("2026-03-12", "2026-03-14", "2026-03-19"))
    found = story(PITCHED + read(8, 1.012), "2026-03-08T20:00", schedule, outlook=outlook)
    dates = [(day(task.earliest), day(task.likely), day(task.latest)) for task in found.values() if task.step]
    assert dates == [("2026-03-12", "2026-03-14", "2026-03-19"), ("2026-04-02", "2026-04-04", "2026-04-09")]
    assert [task.state for task in found.values() if task.step] == ["coming", "coming"]
    assert found["a"].forecast


def test_a_forecast_never_makes_a_step_due(story: Story, day: Day) -> None:
    outlook = Outlook(crossing=window("2026-03-04", "2026-03-05", "2026-03-06"))
    schedule = own("a fruit | { gravity_at_most = 1.005 }")
    found = story(PITCHED + read(8, 1.012), "2026-03-08T20:00", schedule, outlook=outlook)["a"]
    assert (found.state, day(found.earliest), day(found.latest)) == ("coming", "2026-03-08", "2026-03-08")


def test_where_the_forecast_thinks_it_passed_only_a_reading_is_missing(story: Story, day: Day) -> None:
    schedule = own("a fruit | { gravity_at_most = 1.005 }")
    found = story(PITCHED + read(8, 1.012), "2026-03-14T20:00", schedule, outlook=Outlook(sg=1.001))["a"]
    assert (found.state, day(found.likely)) == ("coming", "2026-03-14")
    assert found.why.values["passed"] is True
    never = story(PITCHED + read(8, 1.012), "2026-03-14T20:00", schedule, outlook=Outlook(sg=1.010))["a"]
    assert (never.state, never.why.values["unlikely"]) == ("waiting", True)


def test_once_met_a_gravity_stays_met_until_sugar_goes_in(story: Story) -> None:
    schedule = own("a rack | { gravity_at_most = 1.010 }")
    met = PITCHED + read(10, 1.009) + read(11, 1.011)
    assert story(met, "2026-03-11T20:00", schedule)["a"].state == "due"
    fed = met + '{ at = 2026-03-12T19:00:00+01:00, did = "feed", honey_g = 300 }\n'
    assert story(fed, "2026-03-12T20:00", schedule)["a"].state == "waiting"
    assert story(fed + read(20, 1.010), "2026-03-20T20:00", schedule)["a"].state == "due"


def test_sweetening_undoes_no_break_that_was_passed(story: Story) -> None:
    schedule = own("a rack | { sugar_spent = 0.5 }")
    page = PITCHED + read(20, 1.002) + '{ at = 2026-03-22T19:00:00+01:00, did = "sweeten", honey_g = 500 }\n'
    assert story(page, "2026-03-23T20:00", schedule)["a"].state in ("due", "late")


def test_strength_counts_by_the_ledger(story: Story) -> None:
    schedule = own("a chore | { abv_at_least = 10 }", "b chore | { abv_at_least = 13, below_tolerance = 4 }")
    # 1.099 down to 1.030 is some 9.3 % vol, down to 1.020 some 10.6.
    assert [t.state for t in story(PITCHED + read(9, 1.030), "2026-03-09T20:00", schedule).values()][:2] == [
        "waiting",
        "waiting",
    ]
    found = story(PITCHED + read(9, 1.030) + read(11, 1.020), "2026-03-11T20:00", schedule)
    assert [found[key].state for key in "ab"] == ["due", "due"]


def test_stable_wants_three_readings_over_seven_days_and_two_over_three(story: Story, day: Day) -> None:
    schedule = own("w rack | { stable_days = 7 }", "t fruit | { stable_days = 3 }")
    two = PITCHED + read(15, 1.002) + read(22, 1.002)
    assert story(two, "2026-03-22T20:00", schedule)["w"].state == "waiting"
    assert story(two, "2026-03-22T20:00", schedule)["t"].state == "due"
    three = PITCHED + read(15, 1.002) + read(18, 1.001) + read(22, 1.002)
    assert day(story(three, "2026-03-22T20:00", schedule)["w"].likely) == "2026-03-22"
    # For a step it stays shown until a reading contradicts it; for a guard it must be fresh.
    assert story(three, "2026-04-20T20:00", schedule)["w"].state == "late"
    assert story(three + read(28, 0.998), "2026-03-28T20:00", schedule)["w"].state == "waiting"


def test_a_stalled_must_is_stable_and_not_at_end(story: Story) -> None:
    schedule = own("s chore | { stable_days = 7 }", "e rack | { all = [ { at_end = true }, { stable_days = 7 } ] }")
    stalled = PITCHED + read(15, 1.031) + read(19, 1.031) + read(22, 1.031)
    found = story(stalled, "2026-03-22T20:00", schedule)
    assert (found["s"].state, found["e"].state) == ("due", "waiting")


@pytest.mark.parametrize(
    ("page", "state", "likely"),
    [
        (read(4, 1.080), "coming", "2026-03-08"),
        (read(4, 1.066), "due", "2026-03-04"),
        (read(4, 1.080) + read(9, 1.050), "late", "2026-03-08"),
    ],
)
def test_any_takes_the_first_that_happens(story: Story, day: Day, page: str, state: str, likely: str) -> None:
    schedule = own('a dose | { any = [ { sugar_spent = "1/3" }, { after = "pitch", days = 7 } ] }')
    on = "2026-03-09T20:00" if state == "late" else "2026-03-04T20:00"
    found = story(PITCHED + page, on, schedule)["a"]
    assert (found.state, day(found.likely)) == (state, likely)


def test_any_with_a_forecast_is_no_later_than_its_date(story: Story, day: Day) -> None:
    schedule = own('a dose | { any = [ { sugar_spent = "1/3" }, { after = "pitch", days = 7 } ] }')
    outlook = Outlook(crossing=window("2026-03-05", "2026-03-06", "2026-03-10"), sg=1.080)
    found = story(PITCHED + read(4, 1.080), "2026-03-04T20:00", schedule, outlook=outlook)["a"]
    assert [day(at) for at in (found.earliest, found.likely, found.latest)] == [
        "2026-03-05",
        "2026-03-06",
        "2026-03-08",
    ]
    assert found.forecast


def test_all_takes_the_last_of_its_parts(story: Story, day: Day) -> None:
    schedule = own(
        'f fruit | { all = [ { after = "pitch", days = 14 }, { gravity_at_most = 1.005 }, { stable_days = 3 } ] }'
    )
    early = PITCHED + read(9, 1.004) + read(12, 1.004)
    found = story(early, "2026-03-12T20:00", schedule)["f"]
    assert (found.state, day(found.likely)) == ("coming", "2026-03-15")
    late = PITCHED + read(17, 1.004) + read(20, 1.004)
    found = story(late, "2026-03-20T20:00", schedule)["f"]
    assert (found.state, day(found.likely)) == ("due", "2026-03-20")


def test_all_with_a_forecast_takes_the_latest_of_each_quantile(story: Story, day: Day) -> None:
    schedule = own(
        'f fruit | { all = [ { after = "pitch", days = 14 }, { gravity_at_most = 1.005 }, { stable_days = 3 } ] }'
    )
    outlook = Outlook(window("2026-03-11", "2026-03-14", None), window("2026-03-13", "2026-03-18", "2026-03-25"))
    found = story(PITCHED + read(8, 1.012), "2026-03-08T20:00", schedule, outlook=outlook)["f"]
    assert [day(at) for at in (found.earliest, found.likely, found.latest)] == ["2026-03-15", "2026-03-18", "never"]


def test_before_counts_back_from_the_step_and_vanishes_with_it(story: Story, day: Day) -> None:
    schedule = own(
        'thaw chore | { before = "step:fruit", days = 1 }',
        'fruit fruit | { all = [ { after = "pitch", days = 14 }, { gravity_at_most = 1.005 } ] }',
    )
    waiting = story(PITCHED, "2026-03-02T12:00", schedule)["thaw"]
    assert waiting.state == "waiting"
    page = PITCHED + read(12, 1.004)
    assert day(story(page, "2026-03-12T20:00", schedule)["thaw"].likely) == "2026-03-14"
    assert story(page, "2026-03-14T08:00", schedule)["thaw"].state == "due"
    gone = page + '{ at = 2026-03-15T19:00:00+01:00, did = "fruit", kind = "plum", mass_g = 500 }\n'
    assert story(gone, "2026-03-15T20:00", schedule)["thaw"].state == "dropped"


def test_hours_before_a_step_are_exact(story: Story, day: Day) -> None:
    schedule = own('thaw chore | { before = "step:fruit", hours = 6 }', 'fruit fruit | { after = "pitch", hours = 48 }')
    assert day(story(PITCHED, "2026-03-02T12:00", schedule)["thaw"].likely, hours=True) == "2026-03-03 12:30"


def test_sugar_spent_before_sweetening_stays_spent(story: Story) -> None:
    """Honey for taste raises the gravity; the share of the sugar that fermented before it is not undone."""
    page = PITCHED + read(20, 1.000) + '{ at = 2026-03-21T19:00:00+01:00, did = "sweeten", honey_g = 300 }\n'
    found = story(page + read(22, 1.022), "2026-03-23T12:00", own("a taste | { sugar_spent = 0.9 }"))["a"]
    assert found.state == "due"


def test_on_a_date(story: Story, day: Day) -> None:
    found = story(PITCHED, "2026-03-02T12:00", own("a taste | { on = 2026-12-24 }"))["a"]
    assert (found.state, day(found.likely)) == ("coming", "2026-12-24")


def test_where_done_counts_only_where_it_was_done(story: Story, day: Day) -> None:
    schedule = own(
        'og read | { all = [ { after = "mix" } ] }',
        'pitch pitch | { all = [ { after = "step:og" }, { after = "sulfite", hours = 24, where_done = true } ] }',
    )
    mixed = "\n".join(PITCHED.strip().splitlines()[:2]) + "\n"
    assert story(mixed, "2026-03-01T19:00", schedule)["pitch"].state == "due"
    sulfited = mixed + '{ at = 2026-03-01T20:00:00+01:00, did = "sulfite", metabisulfite_g = 0.4 }\n'
    found = story(sulfited, "2026-03-01T21:00", schedule)["pitch"]
    assert (found.state, day(found.likely, hours=True)) == ("coming", "2026-03-02 20:00")


def test_before_pitching_the_head_comes_due_in_order_and_the_rest_has_dates(story: Story, day: Day) -> None:
    empty = story("", "2026-03-01T12:00")
    assert (empty["mix"].state, empty["og"].state, empty["pitch"].state) == ("due", "coming", "coming")
    assert day(empty["dose-1"].likely) == "2026-03-03"
    assert empty["dose-1"].forecast
    mixed = story("\n".join(PITCHED.strip().splitlines()[:1]), "2026-03-01T17:30")
    assert (mixed["mix"].state, mixed["og"].state) == ("done", "due")
    read_too = story("\n".join(PITCHED.strip().splitlines()[:2]), "2026-03-01T18:10")
    assert (read_too["og"].state, read_too["pitch"].state) == ("done", "due")


def test_an_unread_must_may_be_pitched_all_the_same(story: Story) -> None:
    found = story('{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }', "2026-03-01T20:00")
    assert [found[key].state for key in ("mix", "og", "pitch")] == ["dropped", "dropped", "done"]


def test_windows_are_in_order(story: Story) -> None:
    outlook: Any = Outlook(window("2026-03-11", "2026-03-14", "2026-03-20"), window("2026-03-13", "2026-03-18", None))
    for task in story(PITCHED + read(8, 1.012), "2026-03-08T20:00", outlook=outlook).values():
        if task.window is not None:
            last = task.window.latest or datetime.max.replace(tzinfo=UTC) - timedelta(days=2)
            assert task.window.earliest <= task.window.likely <= last


def test_a_dose_that_is_likely_too_late_asks_for_a_gravity(story: Story) -> None:
    found = story(PITCHED, "2026-03-20T12:00", outlook=Outlook(sg=1.030))["dose-1"]
    said = why_text(found.why, ZoneInfo("Europe/Berlin"))
    assert said.startswith("take a gravity first: half of the sugar spent, at 1.05")
    assert said.endswith("has probably passed; two days after pitching, 3 Mar; for two doses")
    for outlook in (None, Outlook(sg=1.090), Outlook(crossing=window("2026-03-21", "2026-03-22", "2026-03-24"))):
        found = story(PITCHED, "2026-03-20T12:00", outlook=outlook)["dose-1"]
        assert found.state == "late"
        assert "take a gravity" not in why_text(found.why, ZoneInfo("Europe/Berlin"))


def test_a_calm_that_only_wants_a_reading_says_so(story: Story) -> None:
    schedule = own("a rack | { stable_days = 7 }")
    found = story(PITCHED + read(8, 1.001), "2026-03-20T12:00", schedule, outlook=Outlook(sg=1.001))["a"]
    said = why_text(found.why, ZoneInfo("Europe/Berlin"))
    assert said == "stable for seven days: likely there by now, a reading will tell"
