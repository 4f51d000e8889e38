"""Replay of recorded series, where they are at hand. They have no licence: read, never copied."""

from __future__ import annotations

import random
import re
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

from fermtui.forecast.evidence import Evidence
from fermtui.forecast.posterior import posterior
from fermtui.forecast.readoff import DayWindow, band, crossing, next_reading_distribution

from .measure import HEAD, Cell, median, merged, straight_line


def _read(path: Path) -> tuple[dict[str, str], list[str], list[list[str]]]:
    head: dict[str, str] = {}
    names: list[str] = []
    rows: list[list[str]] = []
    for text in path.read_text(encoding="utf-8").splitlines():
        if text.startswith("#"):
            key, _, value = text[1:].partition(":")
            head[key.strip()] = value.strip()
        elif not names:
            names = text.split(",")
        elif text.strip():
            rows.append(text.split(","))
    return head, names, rows


def _temp(text: str) -> float | None:
    found = re.search(r"(\d+)(?:-(\d+))? C", text)
    if not found:
        return None
    return (float(found[1]) + float(found[2] or found[1])) / 2.0


def mead(folder: Path) -> None:
    """The next reading from those before it, per batch."""
    if not folder.is_dir():
        print(f"\nmead series: none at {folder}")
        return
    batches: dict[str, list[tuple[float, float]]] = {}
    points = folder / "mead_points.csv"
    if points.is_file():
        for line in points.read_text(encoding="utf-8").splitlines()[1:]:
            name, _, day, sg, _, _ = line.split(",")
            batches.setdefault(name, []).append((float(day), float(sg)))
    temps: dict[str, float | None] = {}
    for path in sorted(folder.glob("mead_[0-9]*.csv")):
        head, _, rows = _read(path)
        temps[path.stem] = _temp(head.get("temperature", ""))
        kept: list[tuple[float, float]] = []
        for day, sg, _, event in rows:
            kept.append((float(day), float(sg)))
            if event == "feed":
                break
        batches[path.stem] = kept
    for kind in ("temperature as stated", "nothing known"):
        cells: dict[int, list[_Step]] = {}
        for name, series in sorted(batches.items()):
            temp = temps.get(name) if kind == "temperature as stated" else None
            for i, step in enumerate(_steps(series, temp)):
                cells.setdefault(min(i, 4), []).append(step)
        print(f"\nreal mead, next reading, {kind}")
        print("|   count |    n | cover | below |  error |  width |   line |  band |")
        for count in sorted(cells):
            print(_row("4+" if count == 4 else str(count), cells[count]))
        print(_row("1 on", [step for count, steps in cells.items() if count for step in steps]))
        print(_row("all", [step for steps in cells.values() for step in steps]))


class _Step(NamedTuple):
    inside: bool
    below: bool
    error: float
    width: float
    line: float
    in_band: bool


def _steps(series: list[tuple[float, float]], temp: float | None) -> list[_Step]:
    og = series[0][1]
    rows = [(d, g, 0.001) for d, g in series[1:]]
    found: list[_Step] = []
    for i, (day, sg, _) in enumerate(rows):
        known = posterior(Evidence(og=og, readings=tuple(rows[:i]), plan_temp_c=temp))
        low, likely, high = next_reading_distribution(known, day)
        _, bottom, _, top = band(known, day, day)[0]
        line = abs(_line(og, rows[:i], day) - sg)
        found.append(_Step(low <= sg <= high, sg < low, abs(likely - sg), high - low, line, bottom <= sg <= top))
    return found


def _row(label: str, steps: list[_Step]) -> str:
    n = len(steps)
    return (
        f"| {label:>7} | {n:4d} | {sum(s.inside for s in steps) / n:5.2f} | {sum(s.below for s in steps) / n:5.2f} "
        f"| {median([s.error for s in steps]):.4f} | {median([s.width for s in steps]):.4f} "
        f"| {median([s.line for s in steps]):.4f} | {sum(s.in_band for s in steps) / n:5.2f} |"
    )


def _line(og: float, rows: list[tuple[float, float, float]], day: float) -> float:
    """Gravity on `day` on the line through the last two gravities, not below 0.990."""
    points = [(0.0, og), *((d, g) for d, g, _ in rows)]
    if len(points) < 2:
        return og
    (a, sg_a), (b, sg_b) = points[-2], points[-1]
    return max(sg_b + (sg_b - sg_a) / (b - a) * (day - b), 0.990)


AGAIN = 6
SHARES = (0.33, 0.50, 0.75, 0.90)


def passing(folder: Path, seed: int) -> None:
    """When 33, 50, 75 and 90 % of the drop is passed; series thinned to 3 to 8 readings with 0.001 noise added."""
    if not folder.is_dir():
        print(f"\nfermentation series: none at {folder}")
        return
    for kind in ("temperature and nitrogen", "temperature only", "nothing known"):
        by_count: dict[int, Cell] = {}
        by_group: dict[str, Cell] = {}
        for path in sorted(folder.glob("real_*.csv")):
            group = path.stem.split("_")[1]
            told_yan = re.search(r"initial YAN ([\d.]+)", path.read_text(encoding="utf-8"))
            yan = float(told_yan[1]) if told_yan else None
            _, names, rows = _read(path)
            column = next((c for c in ("sg", "sg_derived") if c in names), None)
            if column is None:
                continue
            series = sorted((float(r[0]), float(r[names.index(column)])) for r in rows)
            if len(series) < 4:
                continue
            temp = 25.0 if group == "pinot" else 21.5
            for again in range(AGAIN):
                rng = random.Random(f"{seed}-{path.stem}-{again}")
                told = sorted(rng.sample(series[1:], min(len(series) - 1, rng.randint(3, 8))))
                noisy = [(d, round(g + rng.gauss(0.0, 0.001), 4), 0.001) for d, g in told]
                facts = (None if kind == "nothing known" else temp, yan if kind == "temperature and nitrogen" else None)
                _passing_one(series, noisy, facts, group, by_count, by_group)
        print(f"\nreal series, passing, {kind}\n{HEAD}")
        for count in sorted(by_count):
            print(by_count[count].row("4+" if count == 4 else str(count)))
        print(merged(c for k, c in by_count.items() if k >= 2).row("2 or more"))
        for name in sorted(by_group):
            print(by_group[name].row(name))


def _passing_one(
    series: list[tuple[float, float]],
    told: list[tuple[float, float, float]],
    facts: tuple[float | None, float | None],
    group: str,
    by_count: dict[int, Cell],
    by_group: dict[str, Cell],
) -> None:
    og, lowest = series[0][1], min(g for _, g in series)
    for count in range(len(told) + 1):
        now = told[count - 1][0] if count else 0.0
        temp, yan = facts
        known = posterior(Evidence(og=round(og, 3), readings=tuple(told[:count]), plan_temp_c=temp, yan_mg_per_l=yan))
        for share in SHARES:
            wanted = og - share * (og - lowest)
            truth = _passes(series, wanted)
            if truth is None or truth <= now:
                continue
            window = crossing(known, wanted, now) or DayWindow(now, now, now)
            line = straight_line(og, told[:count], wanted)
            for cell in (by_count.setdefault(min(count, 4), Cell()), by_group.setdefault(group, Cell())):
                cell.add(window, truth, now)
                if line is not None:
                    cell.line.append(abs(line - truth))


def _passes(series: list[tuple[float, float]], wanted: float) -> float | None:
    for (a, sg_a), (b, sg_b) in pairwise(series):
        if sg_a > wanted >= sg_b:
            return a + (b - a) * (sg_a - wanted) / (sg_a - sg_b)
    return None
