"""The rows of a sensor's log -> one reading for each half day (or other span): the median, without what is astray.

Pure. A floating sensor writes every few minutes; foam, a knock or a sample taken puts it off for an hour. Of each span
the median counts, after the fall within the span is taken out and what lies far off the others is left out. A span
whose rows never settled gives none.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime, timedelta, tzinfo
from statistics import median
from typing import NamedTuple

TO_SD = 1.4826
"""A median absolute deviation times this is a standard deviation of normal scatter (P. J. Rousseeuw, C. Croux 1993)."""
FAR_SDS = 4.0
LEAST_FAR_SG = 0.002
UNSETTLED_SG = 0.004
"""Rows that scatter by more about their own line have not settled: a guess, no source."""
STEP_SG = 0.008
"""A span that stands so far above, or below, those before and after it is astray as a whole: a guess, no source."""
FOR_A_LINE = 8
_FIRST = datetime(1970, 1, 1, tzinfo=UTC).replace(tzinfo=None)


class LogRow(NamedTuple):
    """One row of a log: SG as shown, °C or None."""

    at: datetime
    sg: float
    temp_c: float | None


class Median(NamedTuple):
    """One reading: the medians of `rows` rows of the span that begins at `begins`; `at` is when the middle one was."""

    begins: datetime
    at: datetime
    sg: float
    temp_c: float | None
    rows: int
    spread_sg: float


class Thinned(NamedTuple):
    """The readings, and how many rows were left out: far off the others, never settled, of a span that still runs."""

    medians: tuple[Median, ...]
    outliers: int
    unsettled: int
    running: int


class _Span(NamedTuple):
    median: Median
    rows: int


def thinned(rows: Iterable[LogRow], every_h: float, zone: tzinfo, now: datetime) -> Thinned:
    """The readings of a log in any order; spans of `every_h` hours are counted from midnight of `zone`."""
    spans: dict[int, list[LogRow]] = {}
    for row in rows:
        spans.setdefault(span_of(row.at, every_h, zone), []).append(row)
    outliers = unsettled = running = 0
    found: list[_Span] = []
    for place in sorted(spans):
        inside = sorted(spans[place])
        if begin_of(place + 1, every_h, zone) > now:
            running += len(inside)
            continue
        kept, spread_sg = _without_outliers(inside)
        if spread_sg > UNSETTLED_SG or 2 * len(kept) < len(inside):
            unsettled += len(inside)
            continue
        outliers += len(inside) - len(kept)
        found.append(_Span(_median_of(kept, spread_sg, begin_of(place, every_h, zone)), len(kept)))
    stand, astray = _without_astray(found)
    return Thinned(stand, outliers + astray, unsettled, running)


def span_of(at: datetime, every_h: float, zone: tzinfo) -> int:
    """The number of the span that holds this instant."""
    local = at.astimezone(zone).replace(tzinfo=None)
    return int((local - _FIRST) // timedelta(hours=every_h))


def begin_of(span: int, every_h: float, zone: tzinfo) -> datetime:
    """The instant at which a span begins."""
    return (_FIRST + span * timedelta(hours=every_h)).replace(tzinfo=zone)


def _median_of(kept: Sequence[LogRow], spread_sg: float, begins: datetime) -> Median:
    temps = [row.temp_c for row in kept if row.temp_c is not None]
    middle = kept[len(kept) // 2]
    sg = median(row.sg for row in kept)
    temp_c = median(temps) if temps else None
    return Median(begins, middle.at.astimezone(begins.tzinfo), sg, temp_c, len(kept), spread_sg)


def _without_outliers(rows: Sequence[LogRow]) -> tuple[list[LogRow], float]:
    """The rows that lie near their line, and how far these scatter about it, one sd. `rows` in order of time."""
    rests = _rests(rows)
    spread = TO_SD * median(map(abs, rests))
    far = max(FAR_SDS * spread, LEAST_FAR_SG)
    kept = [row for row, rest in zip(rows, rests, strict=True) if abs(rest) <= far]
    return kept, TO_SD * median(map(abs, _rests(kept))) if kept else spread


def _rests(rows: Sequence[LogRow]) -> list[float]:
    """What each row lies above the line through the medians of the first and the second half; of few rows above their
    median."""
    level = median(row.sg for row in rows)
    half = len(rows) // 2
    if len(rows) < FOR_A_LINE:
        return [row.sg - level for row in rows]
    middle = rows[half].at
    hours = [(row.at - middle) / timedelta(hours=1) for row in rows]
    apart = median(hours[half:]) - median(hours[:half])
    fall = median(row.sg for row in rows[half:]) - median(row.sg for row in rows[:half])
    slope = fall / apart if apart > 0.0 else 0.0
    rests = [row.sg - level - slope * hour for row, hour in zip(rows, hours, strict=True)]
    centre = median(rests)
    return [rest - centre for rest in rests]


def _without_astray(spans: Sequence[_Span]) -> tuple[tuple[Median, ...], int]:
    """The readings without those, one or two together, that jump away and back, and how many rows these had.

    What jumps and stays is honey or water that went in.
    """
    stand, astray = [], 0
    for place, span in enumerate(spans):
        before, after = spans[max(0, place - 2) : place], spans[place + 1 : place + 3]
        full = len(before) == 2 and len(after) == 2
        if full and any(_jumps_back(span, before, after, sign) for sign in (1.0, -1.0)):
            astray += span.rows
        else:
            stand.append(span.median)
    return tuple(stand), astray


def _jumps_back(span: _Span, before: Sequence[_Span], after: Sequence[_Span], sign: float) -> bool:
    """Whether it stands far above (below) both of its neighbours on one side and one at least on the other."""
    # What stands two spans off may have moved twice as far by itself.
    far = [
        [sign * (span.median.sg - one.median.sg) > steps * STEP_SG for steps, one in zip(apart, side, strict=True)]
        for apart, side in (((2, 1), before), ((1, 2), after))
    ]
    return (all(far[0]) and any(far[1])) or (any(far[0]) and all(far[1]))
