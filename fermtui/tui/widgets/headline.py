"""The first line: the day, and how much is late, due and coming."""

from __future__ import annotations

from datetime import date

from fermtui.reports.runs import Run
from fermtui.tui.widgets.lines import Line
from fermtui.wording.dates import day_text


def headline(
    today: date,
    late: int,
    due: int,
    coming: int,
    problems: int,
    width: int,
    place: str,
    *,
    check: int = 0,
    known: bool = True,
    forecasting: bool = False,
) -> Line:
    """The day to the left, the counts to the right; only what is not zero is said, late ones loudest.

    Nothing is said to the right while it is not `known` yet what is due; `forecasting` stands there until all are made.
    """
    left: list[Run] = [("  " + day_text(today, year=True), "strong"), (f"   {place}", "quiet")]
    counts: list[Run] = []
    for count, words, role in (
        (problems, "problem" if problems == 1 else "problems", "warn"), (check, "to check", "warn"),
        (late, "late", "late"), (due, "due", "due"), (coming, "this week", "quiet"),
    ):  # fmt: skip
        if count:
            counts += [(f"{count} {words}", role), ("   ", "quiet")]
    counts = counts[:-1] or [("nothing due" if known else "", "quiet")]
    if forecasting:
        counts = [("forecasting ..   ", "quiet"), *counts]
    day_cells = len(left[0][0]) + 3
    while len(counts) > 2 and day_cells + sum(len(text) for text, _ in counts) > width:
        counts = counts[:-2]  # what is least pressing stands last
    used = sum(len(text) for text, _ in counts)
    room = width - used - 2
    if sum(len(text) for text, _ in left) > room:
        left = left[:1]
    gap = room - sum(len(text) for text, _ in left)
    return [*left, (" " * max(1, gap), "quiet"), *counts]
