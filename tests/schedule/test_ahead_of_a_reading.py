"""What comes before a step is asked when that step may come, not when it does; and a date that only a reading can show
is no day: it reads `once read`."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from fermtui.forecast.window import Window
from fermtui.schedule.task import Task
from fermtui.wording.tasks import span_text, when_text
from fermtui.wording.why import why_text

Story = Callable[..., Mapping[str, Task]]
ZONE = ZoneInfo("Europe/Vienna")
FRUIT = 'fruit = { kind = "plum", mass_g = 500, treatment = "frozen" }\n'
PLAN = 'volume_l = 4.2\ngravity = 1.099\nyeast = { demand = "medium", tolerance_abv = 14 }\n' + FRUIT
PITCHED = """
{ at = 2026-03-01T17:00:00+01:00, did = "mix", volume_l = 4.2 }
{ at = 2026-03-01T18:00:00+01:00, did = "read", sg = 1.099 }
{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }
"""


def read(day: int, sg: float) -> str:
    return f'{{ at = 2026-03-{day:02d}T19:00:00+01:00, did = "read", sg = {sg}, temp_c = 20 }}\n'


class Outlook:
    """A forecast that has all of it behind it."""

    def crossing(self, _sg: float) -> Window | None:
        return None

    def calm(self, _days: float) -> Window | None:
        return None

    def expected(self, _at: datetime) -> tuple[float, float, float]:
        return 1.001, 1.001, 1.001

    def best_reading(self) -> None:
        return None


OUTLOOK: Any = Outlook()


def on(story: Story, page: str, day: int, hour: int = 20, schedule: str = "fruit-when-dry") -> Mapping[str, Task]:
    return story(page, f"2026-03-{day:02d}T{hour:02d}:00", schedule, PLAN, OUTLOOK)


def test_thawing_is_asked_a_day_before_the_calm_can_be_shown(story: Story) -> None:
    page = PITCHED + read(20, 1.003)  # calm for three days at the earliest on the 23rd
    before = on(story, page, 21)
    assert (before["thaw"].state, before["fruit"].state) == ("coming", "coming")
    opened = on(story, page, 22)
    assert (opened["thaw"].state, opened["fruit"].state) == ("due", "coming")
    assert why_text(opened["thaw"].why, ZONE) == "one day before the fruit, which may come any day now"
    door = on(story, page + read(23, 1.003), 23)
    assert (door["thaw"].state, door["fruit"].state) == ("due", "due")


def test_what_still_falls_opens_nothing(story: Story) -> None:
    falling = PITCHED + read(18, 1.008) + read(20, 1.004)  # two points a day
    assert on(story, falling, 23)["thaw"].state == "coming"
    slow = PITCHED + read(16, 1.006) + read(20, 1.004)  # half a point a day
    assert on(story, slow, 22)["thaw"].state == "due"
    calm = falling + read(22, 1.003)
    assert on(story, calm, 22)["thaw"].state == "due", "a second reading stands by it"


def test_it_waits_for_the_calendar_as_well(story: Story) -> None:
    early = PITCHED + read(9, 1.003)  # calm on the 12th, but the fruit not before the 15th
    assert on(story, early, 13)["thaw"].state == "coming"
    assert on(story, early, 14)["thaw"].state == "due"


def test_it_is_not_asked_on_the_word_of_a_forecast_alone(story: Story) -> None:
    for page in (PITCHED, PITCHED + read(20, 1.030)):
        assert on(story, page, 28)["thaw"].state == "coming"


def test_once_asked_it_stays_so_without_an_entry_and_is_not_late_before_the_fruit_is_due(story: Story) -> None:
    page = PITCHED + read(20, 1.003)
    for day in range(22, 31):
        for hour in (1, 12, 23):
            assert on(story, page, day, hour)["thaw"].state == "due"


def test_what_a_reading_is_missing_for_has_no_day(story: Story) -> None:
    page = PITCHED + read(8, 1.012)
    for ahead in range(20):
        now = datetime(2026, 3, 10, 20, tzinfo=ZONE) + timedelta(days=ahead)
        found = story(page, f"{now:%Y-%m-%dT%H:%M}", "fruit-when-dry", PLAN, OUTLOOK)
        fruit, pull = found["fruit"], found["pull"]
        if now.day < 15:
            continue  # the fourteenth day after pitching is a day
        assert fruit.floats
        assert when_text(fruit, now, ZONE) == span_text(fruit) == "once read"
        assert when_text(pull, now, ZONE) == "once read", "what hangs on it has none either"
    shown = on(story, page + read(27, 1.003) + read(30, 1.003), 30)
    assert shown["fruit"].state == "due"
    assert when_text(shown["pull"], datetime(2026, 3, 30, 20, tzinfo=ZONE), ZONE) != "once read"


def test_a_date_of_the_forecast_is_one(story: Story) -> None:
    class Ahead(Outlook):
        def crossing(self, _sg: float) -> Window | None:
            at = datetime(2026, 3, 20, 12, tzinfo=ZONE)
            return Window(at, at, at)

        def calm(self, _days: float) -> Window | None:
            at = datetime(2026, 3, 25, 12, tzinfo=ZONE)
            return Window(at, at, at)

        def expected(self, _at: datetime) -> tuple[float, float, float]:
            return 1.020, 1.020, 1.020

    ahead: Any = Ahead()
    found = story(PITCHED + read(8, 1.022), "2026-03-09T20:00", "fruit-when-dry", PLAN, ahead)
    assert not found["fruit"].floats
    assert when_text(found["fruit"], datetime(2026, 3, 9, 20, tzinfo=ZONE), ZONE) == "25 Mar"
