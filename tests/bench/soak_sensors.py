"""Logs of floating sensors that drift, and hand readings between: what is found, forecast and shown to be calm?

    python tests/bench/soak_sensors.py --vessels 3 --rows 10000 --seed 1

Each vessel ferments by a course of Gompertz's form, which the forecast does not use. Its sensor logs every quarter of
an hour with scatter, gross errors and hours on its side, and drifts by three points from the first row to the last. Its
maker reads by hand seldom; another maker of the same mead reads by hand ten times before the forecast is looked at, and
every other day after that. The log is taken in twice. Asked: how far the offset that is found is off the true one, how
far the likely finish is off the true one for each maker, and on which day seven calm days are shown.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import math
import os
import random
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import NamedTuple

from fermtui.cellar.store import CellarStore
from fermtui.cli.main import run as command
from fermtui.daybook.lines import line_of
from fermtui.daybook.places import Cellar
from fermtui.forecast.forecast import Forecast
from fermtui.replay.stability import stable_since

START = datetime(2026, 3, 1, 18, 0, tzinfo=UTC)
QUARTER = timedelta(minutes=15)
DRIFT_SG = 0.003
LOOKED_DAY = 14.0
HAND_SD_SG = 0.0005
STABLE_DAYS = 7.0


class Figures(NamedTuple):
    """Of one vessel. Offsets and finishes are found less true; days after pitching, None where it was not shown."""

    seed: int
    rows: int
    seconds: float
    seconds_again: float
    written: int
    written_again: int
    offset_off_sg: float
    offset_sd_sg: float
    finish_off_days: float
    finish_off_days_by_hand: float
    stable_day: float | None
    stable_day_by_hand: float | None
    calm_truly_day: float


def course_of(rng: random.Random) -> tuple[float, float, Callable[[float], float]]:
    """(original gravity, its end, the gravity on a day)"""
    og, end = rng.uniform(1.080, 1.110), rng.uniform(0.992, 1.002)
    begin, pace = rng.uniform(1.0, 2.0), rng.uniform(0.14, 0.24)

    def gravity(day: float) -> float:
        share = math.exp(-begin * math.exp(-pace * day))
        first = math.exp(-begin)
        return og - (og - end) * (share - first) / (1.0 - first)

    return og, end, gravity


def day_of(gravity: Callable[[float], float], sg: float) -> float:
    """The day on which the course comes down to this gravity."""
    return next(day / 24.0 for day in range(24 * 200) if gravity(day / 24.0) <= sg)


def log_of(rng: random.Random, gravity: Callable[[float], float], rows: int) -> tuple[str, Callable[[float], float]]:
    """The table that the sensor writes, and what it shows too much on a day."""
    first, whole = rng.uniform(-0.003, 0.003), rows * QUARTER / timedelta(days=1)
    way = rng.choice((-1.0, 1.0))

    def offset(day: float) -> float:
        return first + way * DRIFT_SG * day / whole

    lines, astray = ["created_at,gravity,temperature"], 0
    for number in range(rows):
        day = number * QUARTER / timedelta(days=1)
        sg = gravity(day) + offset(day) + rng.gauss(0.0, 0.0012)
        if astray == 0 and rng.random() < 0.0005:
            astray = rng.randrange(4, 24)
        if astray:
            astray, sg = astray - 1, sg + 0.04
        elif rng.random() < 0.01:
            sg += rng.uniform(-0.06, 0.06)
        lines.append(f"{(START + number * QUARTER).isoformat()},{sg:.4f},{rng.gauss(20.0, 0.3):.1f}")
    return "\n".join(lines) + "\n", offset


def by_hand(rng: random.Random, gravity: Callable[[float], float], days: list[float]) -> str:
    """Lines of a daybook: readings to a point on these days."""
    return "".join(
        line_of(f"h{number}", "read", START + timedelta(days=day),
                {"sg": round(gravity(day) + rng.gauss(0.0, HAND_SD_SG), 3), "temp_c": 20.0})
        for number, day in enumerate(days)
    )  # fmt: skip


def vessel(folder: Path, name: str, og: float, end: float, hand: str) -> None:
    """A cellar with one vessel, pitched on day 0."""
    home = folder / "vessels" / name
    home.mkdir(parents=True)
    (folder / "cellar.toml").write_text('timezone = "UTC"\n')
    (home / "vessel.toml").write_text(f'name = "{name}"\n[plan]\nvolume_l = 4.0\ngravity = {og:.3f}\nend = {end:.3f}\n')
    before = START - timedelta(hours=1)
    pages = line_of("a1", "read", before, {"sg": round(og, 3)}) + line_of("a2", "pitch", START, {})
    (home / "daybook.toml").write_text(pages + hand)


def imported(folder: Path, table: Path, day: float) -> tuple[float, int]:
    """Take the log in at the clock of that day: seconds of processor time, and how many readings were written."""
    words = ["--cellar", str(folder), "--on", (START + timedelta(days=day)).isoformat(), "--json", "import", "mead"]
    told = io.StringIO()
    before = time.process_time()
    with contextlib.redirect_stdout(told):
        status = command([*words, str(table), "--by", "float"])
    seconds = time.process_time() - before
    assert status == 0, told.getvalue()
    import json

    return seconds, json.loads(told.getvalue())["written"]


def store_at(folder: Path, day: float) -> CellarStore:
    """The cellar as it stood at the end of that day."""
    clock = START + timedelta(days=day)
    store = CellarStore(Cellar(folder), lambda: clock, upto=clock)
    store.load()
    return store


def finish_day(folder: Path, day: float) -> float:
    """The likely finish, looked at on that day."""
    store = store_at(folder, day)
    store.make_forecasts()
    loaded = store.vessels["mead"]
    assert loaded.answers is not None
    finish = Forecast(loaded.answers, START, START + timedelta(days=day), loaded.facts.g0).finish
    assert finish is not None
    return (finish.likely - START) / timedelta(days=1)


def stable_day(folder: Path, last: float) -> float | None:
    """The first day on which seven calm days are shown by what was read up to then."""
    store = store_at(folder, last)
    facts = store.vessels["mead"].facts
    day = 8.0
    while day <= last:
        if stable_since(facts, STABLE_DAYS, START + timedelta(days=day)) is not None:
            return day
        day += 0.5
    return None


def one(seed: int, rows: int, folder: Path) -> Figures:
    """One mead in two cellars: with a sensor and seldom read by hand, and read by hand only."""
    rng = random.Random(seed)
    og, end, gravity = course_of(rng)
    text, offset = log_of(rng, gravity, rows)
    table = folder / "float.csv"
    table.write_text(text)
    last = rows * QUARTER / timedelta(days=1)
    seldom = [4.0, 9.0, 13.5, *(day for day in (20.0, 27.0, 34.0, 41.0, 55.0, 69.0, 83.0, 97.0) if day < last)]
    often = [1.4 * number for number in range(1, 11)] + [16.0 + 2.0 * n for n in range(60) if 16.0 + 2.0 * n < last]
    sensed, handed = folder / "sensed", folder / "handed"
    vessel(sensed, "mead", og, end, by_hand(rng, gravity, seldom))
    vessel(handed, "mead", og, end, by_hand(rng, gravity, often))
    seconds, written = imported(sensed, table, last + 1)
    seconds_again, again = imported(sensed, table, last + 1)
    true_finish = day_of(gravity, end + 0.002)
    finish_off = finish_day(sensed, LOOKED_DAY) - true_finish
    by_hand_off = finish_day(handed, LOOKED_DAY) - true_finish
    (found,) = store_at(sensed, last + 1).vessels["mead"].facts.sensors
    at = (found.at - START) / timedelta(days=1)
    return Figures(
        seed, rows, seconds, seconds_again, written, again, found.offset_sg - offset(at), found.sd_sg, finish_off,
        by_hand_off, stable_day(sensed, last), stable_day(handed, last), day_of(gravity, end + 0.0005),
    )  # fmt: skip


def run(vessels: int, rows: int, seed: int) -> list[Figures]:
    """The figures of so many vessels."""
    found = []
    for number in range(vessels):
        with tempfile.TemporaryDirectory() as made:
            os.environ["FERMTUI_CACHE"] = f"{made}/cache"
            found.append(one(seed + number, rows, Path(made)))
    return found


def table_of(figures: list[Figures]) -> str:
    """A row a vessel, and the means of what is compared."""
    first = "seed  rows  cpu  again  written  again  offset off (points)  sd   finish off: sensor  hand"
    lines = [f"{first}  stable: sensor  hand  calm"]
    for f in figures:
        shown = ["never" if day is None else f"{day:.1f}" for day in (f.stable_day, f.stable_day_by_hand)]
        lines.append(
            f"{f.seed:4d} {f.rows:5d} {f.seconds:4.2f}  {f.seconds_again:5.2f} {f.written:8d} {f.written_again:6d}"
            f" {1000 * f.offset_off_sg:20.2f} {1000 * f.offset_sd_sg:4.2f} {f.finish_off_days:19.1f}"
            f" {f.finish_off_days_by_hand:5.1f} {shown[0]:>15} {shown[1]:>5} {f.calm_truly_day:5.1f}"
        )
    mean = [sum(abs(off) for off in offs) / len(figures) for offs in zip(
        *((f.finish_off_days, f.finish_off_days_by_hand) for f in figures), strict=True)]  # fmt: skip
    lines.append(f"mean finish off: {mean[0]:.2f} days with the sensor, {mean[1]:.2f} by ten hand readings")
    return "\n".join(lines)


if __name__ == "__main__":
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--vessels", type=int, default=3)
    words.add_argument("--rows", type=int, default=10_000)
    words.add_argument("--seed", type=int, default=1)
    given = words.parse_args()
    sys.stdout.write(table_of(run(given.vessels, given.rows, given.seed)) + "\n")
