"""The same courses, told badly: outlier, triplicates, readings before pitching, a rising reading, unknown gravity or
temperature. Six readings each."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import replace

from fermtui.forecast.evidence import Evidence
from fermtui.forecast.posterior import posterior
from fermtui.forecast.readoff import read_off

from .measure import HEAD, Cell, Readings, evidence_of
from .truths import Truth


def _outlier(e: Evidence) -> Evidence:
    rows = list(e.readings)
    day, sg, sd = rows[3]
    rows[3] = (day, sg + 0.010, sd)
    return replace(e, readings=tuple(rows))


def _triplicates(e: Evidence) -> Evidence:
    rows = [(d + 0.01 * i, g + 0.001 * (i - 1), s) for d, g, s in e.readings for i in range(3)]
    return replace(e, readings=tuple(rows))


def _before(e: Evidence) -> Evidence:
    og = e.og or 1.1
    return replace(e, readings=((-2.0, og + 0.001, 0.001), (-0.1, og - 0.002, 0.001), *e.readings))


def _rising(e: Evidence) -> Evidence:
    rows = list(e.readings)
    rows[-1] = (rows[-1][0], rows[-2][1] + 0.004, 0.001)
    return replace(e, readings=tuple(rows))


WAYS: dict[str, Callable[[Evidence], Evidence]] = {
    "as it is": lambda e: e,
    "outlier": _outlier,
    "triplicat": _triplicates,
    "before": _before,
    "rising": _rising,
    "no OG": lambda e: replace(e, og=None),
    "no temp": lambda e: replace(e, temps=(), plan_temp_c=None, yan_mg_per_l=None),
}


def tables(cases: Sequence[tuple[Truth, Readings]]) -> None:
    """Six readings within the first 0.75 of the course, then the finish."""
    print(f"\nawkward input, six readings\n{HEAD}")
    for name, spoil in WAYS.items():
        cell = Cell()
        for number, (truth, _) in enumerate(cases):
            rng = random.Random(number)
            days = sorted(rng.uniform(0.5, 0.75 * truth.finish) for _ in range(6))
            rows = [(d, round(truth.gravity(d) + rng.gauss(0.0, truth.noise), 3), 0.001) for d in days]
            told = spoil(evidence_of(truth, rows, days[-1]))
            cell.add(read_off(posterior(told), days[-1]).finish, truth.finish, days[-1])
            cell.fortnight.append(abs(max(14.0, days[-1]) - truth.finish))
        print(cell.row(name))
