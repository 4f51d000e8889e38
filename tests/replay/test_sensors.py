"""A sensor beside the hydrometer: how far it is off, what it may move, and that it makes no mead less stable."""

from __future__ import annotations

import random
from collections.abc import Iterable
from datetime import datetime, timedelta

import pytest

from fermtui.daybook.head import head_from
from fermtui.daybook.lines import read_lines
from fermtui.daybook.settings import Sensor
from fermtui.replay.facts import Facts
from fermtui.replay.refermentable import finished, refermentable
from fermtui.replay.replay import replay
from fermtui.replay.stability import calm_level, calm_run, stable_now, stable_since
from fermtui.replay.state import Measures

PITCH = datetime.fromisoformat("2026-03-01T19:00:00+01:00")
HEAD = head_from({"name": "T", "plan": {"volume_l": 4.0, "gravity": 1.095, "end": 1.0}})
START = (
    'a0 = { at = 2026-03-01T18:30:00+01:00, did = "read", sg = 1.095 }\n'
    'a1 = { at = 2026-03-01T19:00:00+01:00, did = "pitch" }\n'
)
Seen = Iterable[tuple[float, float]]  # (day, SG)


def line(key: str, day: float, sg: float, by: str = "") -> str:
    at = (PITCH + timedelta(days=day)).isoformat(timespec="seconds")
    more = f', by = "{by}", count = 48, spread_sg = 0.001' if by else ""
    return f'{key} = {{ at = {at}, did = "read", sg = {sg:.4f}{more} }}\n'


def facts(hand: Seen, sensor: Seen = (), *, follow: bool = False, offset_sg: float = 0.0, more: str = "") -> Facts:
    """The facts of readings by hand and by a sensor `f`."""
    text = START + more
    text += "".join(line(f"h{at}", day, sg) for at, (day, sg) in enumerate(hand))
    text += "".join(line(f"s{at}", day, sg, "f") for at, (day, sg) in enumerate(sensor))
    entries, problems = read_lines(text.encode(), "daybook.toml")
    assert not problems
    own = Sensor("f", "x.csv", "t", follow_hand=follow, offset_sg=offset_sg)
    return replay(HEAD, entries, Measures(sensors={"f": own}))


def day(number: float) -> datetime:
    return PITCH + timedelta(days=number)


def course(number: float) -> float:
    """A ferment that is down by day 14: 6.5 points a day."""
    return max(1.003, 1.095 - 0.0065 * number)


HALF_DAYS = [0.25 + at / 2 for at in range(2 * 28)]


def test_the_offset_is_what_it_shows_more_than_the_hand_readings_near_it() -> None:
    sensor = [(at, course(at) + 0.003) for at in HALF_DAYS]
    (found,) = facts([(at, course(at)) for at in (4.0, 9.0, 15.0, 22.0)], sensor).sensors
    assert (found.name, found.pairs, found.applied) == ("f", 5, False)  # the original gravity was read beside it too
    assert found.offset_sg == pytest.approx(0.003, abs=0.0003)
    assert 0.0002 < found.sd_sg < 0.001


def test_a_drift_is_followed_within_a_point() -> None:
    sensor = [(at, course(at) + 0.003 * at / 28) for at in HALF_DAYS]
    (found,) = facts([(at, course(at)) for at in (4.0, 8.0, 12.0, 16.0, 20.0, 24.0, 27.0)], sensor).sensors
    assert found.offset_sg == pytest.approx(0.003 * 27 / 28, abs=0.001)


def test_a_hand_reading_more_than_twelve_hours_away_tells_nothing() -> None:
    assert facts([(10.0, 1.030)], [(8.0, 1.046), (11.0, 1.026)]).sensors == ()


def test_no_pair_across_honey_that_went_in() -> None:
    fed = 'a2 = { at = 2026-03-09T07:00:00+01:00, did = "feed", honey_g = 300 }\n'
    sensor = [(7.25, 1.050), (7.75, 1.070)]
    assert facts([(7.3, 1.047)], sensor).sensors[0].offset_sg == pytest.approx(0.0037, abs=0.0015)
    assert facts([(7.3, 1.047)], [(7.75, 1.070)], more=fed).sensors == ()


def test_its_readings_are_corrected_where_the_maker_says_so() -> None:
    sensor = [(at, course(at) + 0.003) for at in HALF_DAYS]
    hand = [(at, course(at)) for at in (4.0, 9.0, 15.0, 22.0)]
    raw, followed = facts(hand, sensor), facts(hand, sensor, follow=True)
    assert raw.readings[-1].sg == pytest.approx(1.006, abs=0.0002)
    assert followed.readings[-1].sg == pytest.approx(1.003, abs=0.0004)
    assert followed.readings[2].sg == pytest.approx(course(0.75), abs=0.0006)  # those before the first hand reading too
    assert followed.sensors[0].applied
    assert followed.readings[-1].plus_minus < raw.readings[-1].plus_minus


def test_an_offset_that_was_written_down_is_taken_off() -> None:
    known = facts([], [(5.0, course(5.0) + 0.003)], offset_sg=0.003)
    assert known.sg == pytest.approx(course(5.0), abs=0.0001)


def test_a_sensor_counts_for_less_than_a_hand_reading() -> None:
    both = facts([(5.0, 1.060)], [(8.0, 1.045)])
    hand, sensor = both.after_pitch
    assert sensor.plus_minus > hand.plus_minus


def test_the_gravity_stays_with_the_hand_reading_for_twelve_hours() -> None:
    assert facts([(5.0, 1.0600)], [(5.4, 1.0650)]).sg == pytest.approx(1.060, abs=1e-6)
    assert facts([(5.0, 1.0600)], [(5.4, 1.0650), (5.6, 1.0630)]).sg == pytest.approx(1.063, abs=1e-6)


def test_the_original_gravity_is_the_one_by_hand() -> None:
    before = line("s9", -0.01, 1.120, "f")
    assert facts([], more=before).og == pytest.approx(1.095)


def test_a_strength_by_a_sensor_alone_is_less_sure() -> None:
    by_hand, by_sensor = facts([(14.0, 1.003)]), facts([], [(14.0, 1.003)])
    assert by_sensor.abv_plus_minus > by_hand.abv_plus_minus


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize("noise", [0.0003, 0.001])
def test_daily_readings_never_make_a_mead_less_stable(seed: int, noise: float) -> None:
    rng = random.Random(seed)
    hand = [(14.0, 1.003), (17.0, 1.003), (21.0, 1.003)]
    off = rng.uniform(-0.004, 0.004)
    sensor = [(at, course(at) + off + rng.gauss(0.0, noise)) for at in HALF_DAYS if at < 21.4]
    alone, both = facts(hand), facts(hand, sensor)
    assert stable_since(alone, 7) == day(21.0)
    at = stable_since(both, 7)
    assert at is not None
    assert at <= day(21.4)
    for days in (3.0, 7.0):
        for clock in (21.0, 23.0, 25.0):
            assert stable_now(both, days, day(clock)) or not stable_now(alone, days, day(clock))


@pytest.mark.parametrize("seed", range(40))
@pytest.mark.parametrize("follow", [False, True])
def test_what_is_finished_by_hand_stays_so_whatever_a_sensor_shows(seed: int, *, follow: bool) -> None:
    rng = random.Random(seed)
    end = rng.choice((0.9840, 0.9845, 0.9850))
    off, noise = rng.uniform(-0.004, 0.004), rng.choice((0.0003, 0.0008))

    def down(number: float) -> float:
        return max(end, 1.095 - 0.008 * number)

    hand = [(at, round(down(at) + rng.gauss(0.0, 0.0003), 4)) for at in (15.0, 18.0, 22.0, 26.0, 30.0, 35.0)]
    sensor = [(0.25 + at / 2, down(0.25 + at / 2) + off + rng.gauss(0.0, noise)) for at in range(76)]
    for clock in (30.0, 35.3, 37.0, 38.5):
        by_hand = [one for one in hand if one[0] <= clock]
        alone = finished(facts(by_hand), day(clock))
        both = facts(by_hand, [one for one in sensor if one[0] <= clock], follow=follow)
        assert alone is None or finished(both, day(clock)) is not None


def test_some_of_those_are_finished_by_hand() -> None:
    """Or the test above would hold for any guard that never says so."""
    hand = [(at, 0.984) for at in (15.0, 18.0, 22.0, 26.0, 30.0, 35.0)]
    assert finished(facts(hand), day(37.0)) == "near its end"


def test_half_day_medians_alone_show_calm_and_a_fall_in_them_is_none() -> None:
    rng = random.Random(5)
    still = [(at, 1.003 + rng.gauss(0.0, 0.0003)) for at in HALF_DAYS if at > 14]
    falling = [(at, 1.010 - 0.0004 * (at - 14) + rng.gauss(0.0, 0.0003)) for at in HALF_DAYS if at > 14]
    assert stable_now(facts([], still), 7, day(28.0))
    assert not stable_now(facts([], falling), 7, day(28.0))


def test_a_clear_fall_by_the_sensor_ends_a_calm_by_hand() -> None:
    hand = [(7.0, 1.030), (10.0, 1.030), (14.0, 1.030)]
    falls = [(at, 1.031 - 0.004 * max(0.0, at - 14)) for at in HALF_DAYS if 6 < at < 17]
    assert stable_since(facts(hand), 7) is not None
    assert stable_since(facts(hand, falls), 7) is None


def test_by_a_sensor_alone_nothing_is_finished_and_one_reading_by_hand_tells_where_it_stands() -> None:
    sensor = [(at, 0.984 if at > 14 else course(at)) for at in HALF_DAYS]
    alone = facts([], sensor)
    assert stable_now(alone, 7, day(28.0))
    assert calm_level(alone, day(28.0)) is None
    assert finished(alone, day(28.0)) is None
    higher = facts([(26.0, 0.990)], sensor)  # the sensor shows six points too little
    low, high = refermentable(alone, day(28.0)), refermentable(higher, day(28.0))
    assert low is not None
    assert high is not None
    assert calm_run(higher)[0].by == "f"
    assert high.g_per_l - low.g_per_l > 8.0  # six points are about 15 g/L
    right = facts([(26.0, 0.984)], sensor)
    assert finished(right, day(28.0)) == "near its end"
