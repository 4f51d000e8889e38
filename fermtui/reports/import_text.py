"""What an import came to, in a few lines or as JSON: counts, not a line for each row of a log."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from fermtui.reports.readings_in import NotTaken
from fermtui.wording.plain import plain
from fermtui.wording.sensors import counted
from fermtui.writing.sensor_log import Taken

SHOWN_MOST = 20


def taken_lines(taken: Taken, refused: Sequence[NotTaken], *, dry: bool) -> list[str]:
    """`damson-26: 58 readings by float-1 from 9,950 rows; 2 there already; left out: 31 rows far off the others`."""
    verb = " would be written" if dry else ""
    text = f"{taken.vessel}: {counted(taken.new, 'reading')} by {plain(taken.by, 40)}{verb} from "
    text += counted(taken.rows, "row")
    if taken.there:
        text += f"; {taken.there:,} there already"
    first = f"line {refused[0].line}: {plain(refused[0].reason, 160)}" if refused else ""
    out = [
        f"{count:,} {why}"
        for count, why in (
            (taken.outliers, "far off the others"),
            (taken.unsettled, "of hours in which it never settled"),
            (taken.outside, "from before it was mixed or after it was bottled"),
            (taken.future, "of a time to come"),
            (len(refused), f"that cannot be read ({first})"),
        )
        if count
    ]  # fmt: skip
    if out:
        text += f"; rows left out: {', '.join(out)}"
    if taken.running:
        text += f"; {taken.running:,} of a span that still runs wait for its end"
    return [text]


def taken_json(taken: Taken, refused: Sequence[NotTaken], *, dry: bool) -> dict[str, Any]:
    """The same for scripts."""
    return {
        "vessel": taken.vessel,
        "by": taken.by,
        "dry_run": dry,
        "rows": taken.rows,
        "written": taken.new,
        "entries": list(taken.keys),
        "there_already": taken.there,
        "left_out": {
            "far_off": taken.outliers, "never_settled": taken.unsettled, "outside_of_the_mead": taken.outside,
            "to_come": taken.future, "unreadable": len(refused), "still_running": taken.running,
        },
    }  # fmt: skip


def refused_lines(refused: Sequence[NotTaken]) -> list[str]:
    """A line each, at most twenty, and how many more there are."""
    lines = [f"line {one.line}: {plain(one.reason, 400)}" for one in refused[:SHOWN_MOST]]
    more = len(refused) - SHOWN_MOST
    return [*lines, f"and {more:,} more lines"] if more > 0 else lines


def unused_lines(titles: Iterable[str]) -> list[str]:
    """The columns that mean nothing here."""
    shown = [plain(title, 30) for title in titles][:12]
    return ["columns not used: " + ", ".join(shown)] if shown else []
