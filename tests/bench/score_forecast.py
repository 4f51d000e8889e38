"""Score the forecast by hand, in the project's virtual environment:

    PYTHONPATH=. .venv/bin/python -m tests.bench.score_forecast [--n 400] [--seed 101] [what ...]

what: fed home logistic gompertz fruit awkward flags alarms mead real time (default: all). Simulated truths come from
models that the forecaster does not use; real series are read from --reference where present (they are no part of the
project).
`line` is the straight line through the last two gravities, told where the truth ends; `14-day` says fourteen days.
`crps` scores the whole distribution of ln days (lower is better), `rule` is the better rule of thumb, told its own bias
and spread."""

from __future__ import annotations

import argparse
import random
from collections.abc import Callable
from pathlib import Path

from .forecast import alarm_rates, awkward, flags, measure, real, truths

HERE = Path(__file__).resolve()


def cases(
    make: Callable[[random.Random], truths.Truth], n: int, seed: int
) -> list[tuple[truths.Truth, measure.Readings]]:
    """n courses with readings, each from its own generator."""
    found: list[tuple[truths.Truth, measure.Readings]] = []
    number = 0
    while len(found) < n:
        rng = random.Random(f"{seed}-{number}")
        number += 1
        truth = make(rng)
        if truth.end <= truth.healthy_end + 0.03 and 2.0 < truth.finish < truths.HORIZON_DAYS - 20:
            found.append((truth, truths.look(rng, truth)))
    return found


def spread(found: list[tuple[truths.Truth, measure.Readings]]) -> str:
    """True finish, 10 50 90 %."""
    days = sorted(truth.finish for truth, _ in found)
    return " ".join(f"{days[int(q * (len(days) - 1))]:.1f}" for q in (0.1, 0.5, 0.9))


MAKERS: dict[str, Callable[[random.Random], truths.Truth]] = {
    "fed": lambda rng: truths.kinetics(rng, "fed"),
    "home": lambda rng: truths.kinetics(rng, "home"),
    "logistic": truths.logistic,
    "gompertz": truths.gompertz,
    "fruit": lambda rng: truths.kinetics(rng, "fed", fruit=True),
}


def main() -> None:
    """Print the tables that are asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("what", nargs="*")
    parser.add_argument("--n", type=int, default=400)
    parser.add_argument("--seed", type=int, default=101)
    parser.add_argument("--reference", type=Path, default=HERE.parents[3] / "shared" / "reference")
    asked = parser.parse_args()
    what = asked.what or [*MAKERS, "awkward", "flags", "alarms", "mead", "real", "time"]
    print(f"seed {asked.seed}, {asked.n} series")
    for name, make in MAKERS.items():
        if name in what:
            found = cases(make, asked.n if name in ("fed", "home") else min(asked.n, 150), asked.seed)
            measure.finish_table(found, f"{name}: true finish 10 50 90 %: {spread(found)} days")
    if "awkward" in what:
        awkward.tables(cases(MAKERS["fed"], min(asked.n, 115), asked.seed + 1))
    if "flags" in what:
        flags.tables(asked.n, asked.seed)
    if "alarms" in what:
        alarm_rates.tables(asked.n, asked.seed)
    if "mead" in what:
        real.mead(asked.reference / "mead_series")
    if "real" in what:
        real.passing(asked.reference / "fermentation_series", asked.seed)
    if "time" in what:
        flags.timing(cases(MAKERS["fed"], 40, asked.seed + 2))


if __name__ == "__main__":
    main()
