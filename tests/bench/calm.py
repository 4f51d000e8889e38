"""Ferments of another kind than the program's own, read by a hydrometer: is any let into the bottle too soon?

    python tests/bench/calm.py --lives 2000 --seed 7

The sugar follows a formula of time and no yeast: it decays by a fixed share a day, or creeps down by so many grams a
day, or stands and starts again. Its gravity comes from Balling's attenuation (real extract = 0.1808 original + 0.8192
apparent, in Plato) and the usual formulas between Plato and SG, not from the program's ledger. Bottling is asked for
after every reading and done the first time that it passes.
"""

from __future__ import annotations

import argparse
import math
import random
import sys
from collections.abc import Callable
from pathlib import Path
from statistics import median, quantiles
from typing import NamedTuple

HERE = Path(__file__).resolve()
sys.path.insert(0, str(HERE.parents[1] / "lib"))

from fermtui.daybook.entry import Entry  # noqa: E402
from fermtui.replay.replay import replay  # noqa: E402
from fermtui.replay.state import Measures  # noqa: E402
from gravities import begun, bottling, head, reading  # noqa: E402 - tests/lib

KINDS = ("decay", "creep", "arrest")
UNSAFE_G_PER_L = 4.0
SEEN_G_PER_L_PER_WEEK = 1.25
"""What thirty days of readings can tell from nothing: 0.0005 SG a week at 2.5 g/L a point."""
CALM_G_PER_L = 1.0
"""From here on a ferment counts as over: half of what one step of the scale shows."""
LAST_DAY = 240.0
PROVEN_DAYS = 30.0


class Course(NamedTuple):
    """Sugar that the yeast will still take, in g/L, on a day after pitching; what it is called; what it never takes."""

    kind: str
    name: str
    og: float
    rest_g_per_l: float
    left_g_per_l: Callable[[float], float]
    loss_g_per_l_per_week: float  # how fast it creeps, or would after an arrest; 0 where it decays
    still_days: float  # how long it stands before it starts again; 0 where it never does


class Bottled(NamedTuple):
    """What became of one ferment: the day of true calm and of bottling, None where it never passed."""

    seed: int
    course: Course
    resolution_sg: float
    noise_sg: float
    every_days: float
    calm_day: float
    day: float | None
    left_g_per_l: float
    sg: float
    warned: bool = False
    """Whether the bottling was let pass with a word on what would be left to ferment."""

    @property
    def unsafe(self) -> bool:
        return self.day is not None and self.left_g_per_l > UNSAFE_G_PER_L

    @property
    def could_be_seen(self) -> bool:
        """Whether thirty days of readings could have told it: it creeps fast enough, or stands less long."""
        if self.course.kind == "creep":
            return self.course.loss_g_per_l_per_week > SEEN_G_PER_L_PER_WEEK
        return self.course.kind == "decay" or self.course.still_days < PROVEN_DAYS

    def __str__(self) -> str:
        what = f"never, {self.left_g_per_l:.1f} g/L left" if self.day is None else (
            f"bottled day {self.day:.0f} at {self.sg:.4f} with {self.left_g_per_l:.1f} g/L left"
        )  # fmt: skip
        return (
            f"seed {self.seed}: {self.course.name}, OG {self.course.og:.3f}, scale {self.resolution_sg}, "
            f"sd {self.noise_sg:.4f}, every {self.every_days:.0f} d: {what}"
        )


def plato(sg: float) -> float:
    """Degrees Plato of an SG 20/20: the polynomial of the ASBC tables (brewing handbooks)."""
    return -616.868 + 1111.14 * sg - 630.272 * sg**2 + 135.997 * sg**3


def gravity(plato_degrees: float) -> float:
    """SG 20/20 of degrees Plato, negative ones too: the common inverse (brewing handbooks)."""
    return 1.0 + plato_degrees / (258.6 - 227.1 * plato_degrees / 258.2)


def seen_gravity(og: float, extract_g_per_l: float) -> float:
    """What a hydrometer shows with so much real extract left, by Balling's attenuation."""
    original = plato(og)
    sg = 1.0
    for _ in range(3):  # grams a litre to grams in 100 g want the gravity that is sought
        apparent = (extract_g_per_l / (10.0 * sg) - 0.1808 * original) / 0.8192
        sg = gravity(apparent)
    return sg


def draw(rng: random.Random, kind: str) -> Course:
    """A course of that kind."""
    og = round(rng.uniform(1.070, 1.120), 3)
    solids = 10.0 * plato(og) * og
    rest = rng.uniform(0.018, 0.059) * solids  # US honeys of 1980: higher sugars, ash, and undetermined or not
    start, lag = solids - rest, rng.uniform(0.5, 3.0)
    k = math.exp(rng.uniform(math.log(0.06), math.log(0.5)))

    def decay(days: float) -> float:
        return start * math.exp(-k * max(0.0, days - lag))

    if kind == "decay":
        return Course(kind, f"decay {k:.2f} a day", og, rest, decay, 0.0, 0.0)
    turn = rng.uniform(5.0, 45.0)  # g/L where it slows or stands
    turned = lag + math.log(start / turn) / k
    daily = math.exp(rng.uniform(math.log(0.05), math.log(1.0)))
    if kind == "creep":

        def creep(days: float) -> float:
            return decay(days) if days < turned else max(0.0, turn - daily * (days - turned))

        name = f"creep of {7 * daily:.2f} g/L a week from {turn:.0f} g/L"
        return Course(kind, name, og, rest, creep, 7.0 * daily, 0.0)
    still = rng.uniform(6.0, 60.0)

    def arrest(days: float) -> float:
        if days < turned + still:
            return max(turn, decay(days))
        return turn * math.exp(-k * (days - turned - still))

    return Course(kind, f"stands {still:.0f} d at {turn:.0f} g/L", og, rest, arrest, 0.0, still)


def calm_day(course: Course) -> float:
    """The first day on which less than 1 g/L is left to come."""
    days = 0.0
    while course.left_g_per_l(days) > CALM_G_PER_L and days < 4 * LAST_DAY:
        days += 0.25
    return days


def live(seed: int, kind: str, end: float | None = None) -> Bottled:
    """One ferment, read every few days from day 7 on and bottled the first time that nothing refuses it."""
    rng = random.Random(f"{kind} {seed}")
    course = draw(rng, kind)
    resolution = rng.choice((0.001, 0.001, 0.002))
    noise, every = rng.uniform(0.0005, 0.001), rng.uniform(2.0, 10.0)
    plan = head(rng.choice((0.995, 1.000, 1.000, 1.005)) if end is None else end, 20.0, og=course.og)
    calm, days, number = calm_day(course), 7.0, 0
    made: list[Entry] = begun(course.og)
    while days < max(LAST_DAY, calm + 120.0):
        true = seen_gravity(course.og, course.rest_g_per_l + course.left_g_per_l(days))
        shown = round(round((true + rng.gauss(0.0, noise)) / resolution) * resolution, 4)
        made.append(reading(number, (days, shown, 20.0)))
        facts = replay(plan, made, Measures(resolution_sg=resolution))
        found = bottling(facts, days + 0.05, plan)
        if not any(finding.kind == "refusal" for finding in found):
            left = course.left_g_per_l(days)
            return Bottled(seed, course, resolution, noise, every, calm, days, left, shown, warned=bool(found))
        days += max(1.0, every + rng.uniform(-1.0, 1.0))
        number += 1
    return Bottled(seed, course, resolution, noise, every, calm, None, course.left_g_per_l(days), shown)


def many(lives: int, seed: int, kinds: tuple[str, ...] = KINDS) -> list[Bottled]:
    """So many ferments, the kinds in turn."""
    return [live(seed + at, kinds[at % len(kinds)]) for at in range(lives)]


def waited_days(lives: list[Bottled]) -> list[float]:
    """Days from true calm to bottling, for those that were bottled after it."""
    return sorted(one.day - one.calm_day for one in lives if one.day is not None and one.day >= one.calm_day)


def report(lives: list[Bottled]) -> None:
    for kind in KINDS:
        for resolution in (0.001, 0.002):
            some = [one for one in lives if one.course.kind == kind and one.resolution_sg == resolution]
            unsafe = [one for one in some if one.unsafe]
            seen = sum(one.could_be_seen for one in unsafe)
            waits = waited_days(some)
            never = sum(one.day is None for one in some)
            mute = sum(not one.warned for one in unsafe)
            print(f"{kind}, scale {resolution}: {len(some)} lives, {len(unsafe)} unsafe", end="")
            print(f" ({seen} could be seen, {mute} without a word)", end="")
            if len(waits) > 1:
                last = quantiles(waits, n=10)[-1]
                print(f", calm to bottle: median {median(waits):.0f} d, nine in ten {last:.0f} d", end="")
            print(f", {never} never")
    for one in lives:
        if one.unsafe:
            print(("SEEN " if one.could_be_seen else "unseen ") + str(one))


def main() -> int:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--lives", type=int, default=600)
    asked.add_argument("--seed", type=int, default=7)
    given = asked.parse_args()
    lives = many(given.lives, given.seed)
    report(lives)
    return 1 if any(one.unsafe and one.could_be_seen and not one.warned for one in lives) else 0


if __name__ == "__main__":
    sys.exit(main())
