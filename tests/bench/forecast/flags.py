"""Stalled, slow, finished: how often rightly, how often not. And the time that a forecast takes."""

from __future__ import annotations

import random
import time
from collections.abc import Sequence

from fermtui.forecast.posterior import posterior
from fermtui.forecast.readoff import band, calm, crossing, read_off

from .measure import Readings, evidence_of, median
from .truths import HORIZON_DAYS, Truth, kinetics, look


def tables(n: int, seed: int) -> None:
    """Rates over fresh series, some in trouble by construction."""
    healthy = healthy_false = 0
    quick: list[tuple[bool, bool]] = []
    stalled_readings = stalled_found = 0
    slow_series = slow_found = stalled_series = stalled_series_found = 0
    done: list[tuple[float, bool]] = []
    repeat: list[bool] = []
    for number in range(n):
        rng = random.Random(f"flags-{seed}-{number}")
        truth = kinetics(rng, "fed", trouble=number % 3 == 0)
        readings = look(rng, truth, every=3.5)
        stands = truth.end > truth.healthy_end + 0.012
        ever_stalled = ever_slow = saw_stall = False
        first = read_off(posterior(evidence_of(truth, [], 0.0)), 0.0).finish
        late = first.latest_day if first is not None else HORIZON_DAYS
        for count in range(1, len(readings) + 1):
            now = readings[count - 1][0]
            known = posterior(evidence_of(truth, readings[:count], now))
            outlook = read_off(known, now)
            done.append((outlook.finished, now >= truth.finish))
            here = truth.gravity(now)
            still = here - truth.gravity(now + 4.0) < 0.003
            if stands and still and 1.006 < here < truth.og - 0.006 and count >= 2:
                saw_stall = True
                stalled_readings += 1
                stalled_found += outlook.is_stalled
            ever_stalled |= outlook.is_stalled
            if count >= 2 and now < truth.finish:
                ever_slow |= outlook.is_slow
            if count >= 2 and now - readings[count - 2][0] >= 3.0 and readings[count - 1][1] == readings[count - 2][1]:
                repeat.append(now >= truth.finish)
        stalled_series += saw_stall
        stalled_series_found += saw_stall and ever_stalled
        if truth.end < truth.healthy_end + 0.006:
            healthy += 1
            healthy_false += ever_stalled
        if truth.finish < HORIZON_DAYS - 20:
            if truth.finish > late and readings[-1][0] > 8.0:
                slow_series += 1
                slow_found += ever_slow
            elif truth.finish < 0.75 * late:
                quick.append((truth.end < truth.healthy_end + 0.006, ever_slow))
    print("\nflags")
    print(f"stalled: {stalled_found}/{stalled_readings} readings found; {stalled_series_found}/{stalled_series} series")
    print(f"stalled, false: {healthy_false}/{healthy} healthy series ever")
    well = [called for healthy_end, called in quick if healthy_end]
    print(
        f"slow (later than the latest day of the first forecast): {slow_found}/{slow_series} series; "
        f"false {sum(called for _, called in quick)}/{len(quick)} (done before 0.75 of that day), "
        f"of those that end where expected {sum(well)}/{len(well)}"
    )
    for low, high in ((0.0, 0.2), (0.2, 0.4), (0.4, 0.6), (0.6, 0.8), (0.8, 0.9), (0.9, 1.01)):
        part = [true for chance, true in done if low <= chance < high]
        print(f"finished {low:.1f} to {high:.1f}: {sum(part) / max(len(part), 1):.2f} of {len(part)}")
    every = sum(true for _, true in done)
    print(f"finished >= .9: recall {sum(t for c, t in done if c >= 0.9) / max(every, 1):.2f}; "
          f"same reading 3 days apart: precision {sum(repeat) / max(len(repeat), 1):.2f} of {len(repeat)}")  # fmt: skip


def timing(cases: Sequence[tuple[Truth, Readings]]) -> None:
    """Everything that a screen asks of one vessel, in milliseconds of the processor."""
    spent: list[float] = []
    for truth, readings in cases:
        for count in (0, 2, len(readings)):
            now = readings[count - 1][0] if count else 0.0
            told = evidence_of(truth, readings[:count], now)
            start = time.process_time()
            known = posterior(told)
            read_off(known, now)
            for share in (2 / 3, 1 / 2, 1 / 3, 0.1, 0.02):
                crossing(known, 1.0 + share * (truth.og - 1.0), now)
            calm(known, now_day=now)
            band(known, 0.0, 120.0)
            spent.append(1000.0 * (time.process_time() - start))
    spent.sort()
    late = spent[int(0.95 * len(spent))]
    print(f"\ntime: median {median(spent):.1f} ms, 95 % {late:.1f} ms, most {spent[-1]:.1f} ms")
