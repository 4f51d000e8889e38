"""A plan as lines beside the form of a new vessel: what is odd about it, its sums, then its days. No Textual."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from fermtui.reports.came_out import CameOut, came_out_rows
from fermtui.reports.plan_page import DateRow, date_rows, plan_rows, second_rows, second_title, when_text
from fermtui.tui.widgets.lines import Line, fit, wrapped

if TYPE_CHECKING:
    from fermtui.daybook.settings import Settings
    from fermtui.writing.planning import Preview

LABEL = 10
SECOND = "second"
NOTE_LINES = 5
LIST_LEAST = 3
"""Lines below which no list of days is begun."""


def plan_lines(
    plan: Preview,
    settings: Settings,
    now: datetime,
    odd: Sequence[str],
    before: CameOut | None,
    more: str,
    width: int,
    height: int,
) -> list[Line]:
    """The plan in `width` cells and at most `height` lines; `odd` are sentences that come first, `before` the batch
    that it copies, `more` names the key under which all of it stands.
    """
    lines: list[Line] = []
    for note in odd:
        lines += wrapped(note, "warn", width, NOTE_LINES)
    lines += sum_lines(plan, settings, now, before, width)
    if len(lines) + LIST_LEAST < height:
        lines += [[], *day_lines(plan, settings, now, width)]
    if len(lines) <= height:
        return lines
    return [*lines[: height - 1], [(f"  {more}: all of it", "quiet")]]


def sum_lines(plan: Preview, settings: Settings, now: datetime, before: CameOut | None, width: int) -> list[Line]:
    """The sums, each with its label, and what came of the batch that is copied."""
    lines: list[Line] = []
    for label, value in _rows(plan, settings, now, [] if before is None else came_out_rows(before, settings)):
        if label == SECOND:
            lines += wrapped(value, "strong", width, 2)
            continue
        first, *rest = wrapped(value, "text", width - LABEL - 2, 3, indent="")
        lines += [[("  " + fit(label, LABEL), "quiet"), *first]]
        lines += [[(" " * (LABEL + 2), "quiet"), *line] for line in rest]
    return lines


def _rows(plan: Preview, settings: Settings, now: datetime, before: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """The sums; the days that a maker asks for first come before what is weighed to the gram. The schedule stands in
    its field already."""
    all_rows = plan_rows(plan, settings)
    mixed = [f"{value} {label}" for label, value in all_rows if label in ("honey", "water", "juice")]
    gravity = next(value for label, value in all_rows if label == "gravity")
    rows = [("mix", f"{', '.join(mixed)}: {gravity}")]
    rows += [row for row in all_rows if row[0] not in ("honey", "water", "juice", "gravity", "schedule")]
    when = when_text(plan, settings, now)
    place = 1 + next(place for place, (label, _) in enumerate(rows) if label == "makes")
    rows = [*rows[:place], *([("when", when)] if when else []), *before, *rows[place:]]
    if plan.second is None:
        return rows
    of_second = [row for row in second_rows(plan, settings) if row[0] in ("strength", "makes", "room", "fruit")]
    when = when_text(plan.second, settings, now)
    # Both in sight: what is weighed to the gram stands under the key of the whole plan.
    place = next(place for place, (label, _) in enumerate(rows) if label == "yeast")
    return [*rows[:place], (SECOND, second_title(plan, settings)), *of_second, ("when", when), *rows[place:]]


def day_lines(plan: Preview, settings: Settings, now: datetime, width: int) -> list[Line]:
    """Every step to come with its likely day, under a title."""
    dates = date_rows(plan, settings, now)
    wide = max([9, *(len(row.when) for row in dates)]) + 1  # half a date is a wrong date
    return [[("  pitched today, that means", "title")], *(_day_line(row, wide, width) for row in dates)]


def _day_line(row: DateRow, wide: int, width: int) -> Line:
    """One step; the days between which it comes stand behind it where there is room for them."""
    line: Line = [("  " + fit(row.when, wide), "accent"), (row.what, "text")]
    used = 2 + wide + len(row.what)
    return [*line, (f"  {row.span}", "quiet")] if row.span and used + 2 + len(row.span) <= width else line
