"""Windows against what came: coverage, error, and two rules of thumb beside them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from fermtui.forecast.evidence import Evidence
from fermtui.forecast.posterior import Posterior, posterior
from fermtui.forecast.readoff import DayWindow, crossing, finish_days, read_off

from .truths import Truth

Readings = Sequence[tuple[float, float, float]]


def evidence_of(truth: Truth, readings: Readings, now: float) -> Evidence:
    """What the maker knows on day `now`."""
    return Evidence(
        og=round(truth.og, 3),
        readings=tuple(readings),
        temps=tuple(t for t in truth.temps if t[0] <= now),
        plan_temp_c=truth.plan_temp_c,
        tolerance_abv=truth.tolerance,
        yan_mg_per_l=truth.yan,
        doses_planned=len(truth.doses),
        doses_given=sum(1 for day in truth.doses if day <= now),
        feeds=tuple(f for f in truth.feeds if f[0] <= now),
    )


def median(values: Sequence[float]) -> float:
    """Middle value; nan when there is none."""
    if not values:
        return math.nan
    ordered = sorted(values)
    return 0.5 * (ordered[(len(ordered) - 1) // 2] + ordered[len(ordered) // 2])


def straight_line(og: float, readings: Readings, wanted: float) -> float | None:
    """Day on which the line through the last two gravities (the original one counts) comes to `wanted`."""
    points = [(0.0, og), *((d, g) for d, g, _ in readings)]
    if len(points) < 2:
        return None
    (a, sg_a), (b, sg_b) = points[-2], points[-1]
    slope = (sg_a - sg_b) / max(b - a, 0.05)
    if slope <= 1e-5:
        return b + 60.0
    return b + min(max((sg_b - wanted) / slope, 0.0), 120.0)


LONGEST_DAYS = 400.0  # a finish that never comes counts as this


def crps_ln(days: Sequence[tuple[float, int]], truth: float, now: float) -> float:
    """Continuous ranked probability score of ln days (Gneiting and Raftery 2007, J Am Stat Assoc 102:359): 0.10 is
    about 10 % of the days from pitching. Nothing that is foretold lies before `now`."""
    wanted = math.log(truth)
    rows = sorted((math.log(min(max(day, now, 0.1), LONGEST_DAYS)), count) for day, count in days)
    total = sum(count for _, count in rows)
    off = sum(count * abs(value - wanted) for value, count in rows) / total
    reach = 0
    apart = 0.0
    for value, count in rows:
        apart += value * count * (2 * reach + count - total)
        reach += count
    return off - apart / (total * total)


def rule_crps(errors: Sequence[float]) -> float:
    """CRPS of a rule of thumb that is told its own bias and spread: each answer with the errors (ln) of all its answers
    around it. Half the mean difference of two errors."""
    ordered = sorted(errors)
    n = len(ordered)
    if n < 2:
        return math.nan
    return sum(value * (2 * i + 1 - n) for i, value in enumerate(ordered)) / (n * n)


@dataclass
class Cell:
    """One line of a table."""

    n: int = 0
    inside: int = 0
    below: int = 0
    errors: list[float] = field(default_factory=list)
    widths: list[float] = field(default_factory=list)
    line: list[float] = field(default_factory=list)
    fortnight: list[float] = field(default_factory=list)
    crps: list[float] = field(default_factory=list)
    line_ln: list[float] = field(default_factory=list)
    fortnight_ln: list[float] = field(default_factory=list)

    def add(self, window: DayWindow | None, truth: float, now: float) -> None:
        """Score one window; no window counts as missed and far off."""
        self.n += 1
        if window is None:
            self.errors.append(99.0)
            return
        self.inside += window.earliest_day <= truth <= window.latest_day
        self.below += truth < window.earliest_day
        self.errors.append(abs(max(window.likely_day, now) - truth))
        self.widths.append(min(window.latest_day, 999.0) - window.earliest_day)

    def row(self, label: str) -> str:
        """As printed."""
        return (
            f"| {label:>9} | {self.n:5d} | {self.inside / max(self.n, 1):5.2f} | {self.below / max(self.n, 1):5.2f} "
            f"| {median(self.errors):6.2f} | {median(self.widths):6.1f} | {median(self.line):6.2f} "
            f"| {median(self.fortnight):6.2f} | {self.score():5.3f} | {self.best_rule():5.3f} |"
        )

    def score(self) -> float:
        """Mean CRPS of ln days."""
        return sum(self.crps) / len(self.crps) if self.crps else math.nan

    def best_rule(self) -> float:
        """The same of the better of the two rules."""
        known = [rule for rule in (self.line_ln, self.fortnight_ln) if len(rule) > 1]
        return min(map(rule_crps, known), default=math.nan)


HEAD = "| readings  |     n | cover | early |  error |  width |   line | 14-day |  crps |  rule |"


def merged(cells: Iterable[Cell]) -> Cell:
    """All cells as one."""
    total = Cell()
    for cell in cells:
        total.n += cell.n
        total.inside += cell.inside
        total.below += cell.below
        total.errors += cell.errors
        total.widths += cell.widths
        total.line += cell.line
        total.fortnight += cell.fortnight
        total.crps += cell.crps
        total.line_ln += cell.line_ln
        total.fortnight_ln += cell.fortnight_ln
    return total


def finish_table(cases: Sequence[tuple[Truth, Readings]], title: str) -> tuple[dict[int, Cell], list[Cell]]:
    """Finish windows at every reading count, while unfinished; and the third break at 1 to 3 readings."""
    cells: dict[int, Cell] = {}
    thirds = [Cell() for _ in range(4)]
    for truth, readings in cases:
        after = truth.feeds[-1][0] if truth.feeds else -1.0
        for count in range(len(readings) + 1):
            now = readings[count - 1][0] if count else 0.0
            if now >= truth.finish:
                break
            if now < after:
                continue
            known = posterior(evidence_of(truth, readings[:count], now))
            shown = count - sum(1 for r in readings if r[0] <= after)
            cell = cells.setdefault(shown, Cell())
            cell.add(read_off(known, now).finish, truth.finish, now)
            cell.crps.append(crps_ln(finish_days(known), truth.finish, now))
            line = straight_line(truth.og, readings[:count], truth.end + 0.002)
            if line is not None and (shown > 0 or after < 0):
                cell.line.append(abs(line - truth.finish))
                cell.line_ln.append(math.log(max(line, now, 0.1) / truth.finish))
            fortnight = max(max(after, 0.0) + 14.0, now)
            cell.fortnight.append(abs(fortnight - truth.finish))
            cell.fortnight_ln.append(math.log(fortnight / truth.finish))
            if count <= 3 and not truth.feeds:
                _third(known, truth, now, readings[:count], thirds[count])
    print(f"\n{title}\n{HEAD}")
    for count in sorted(cells):
        if cells[count].n >= 5:
            print(cells[count].row(str(count)))
    print(merged(c for k, c in cells.items() if k >= 2).row("2 or more"))
    if any(cell.n for cell in thirds):
        print(merged(thirds[1:]).row("third 1-3"))
    return cells, thirds


def _third(known: Posterior, truth: Truth, now: float, readings: Readings, cell: Cell) -> None:
    wanted = 1.0 + 2.0 / 3.0 * (truth.og - 1.0)
    if truth.gravity(now) <= wanted or truth.end >= wanted:
        return
    low, high = now, truth.finish
    for _ in range(30):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if truth.gravity(middle) > wanted else (low, middle)
    window = crossing(known, wanted, now)
    if window is None:  # held to have passed: that is a statement about today
        window = DayWindow(now, now, now)
    cell.add(window, high, now)
    line = straight_line(truth.og, readings, wanted)
    if line is not None:
        cell.line.append(abs(line - high))
