"""The common time line as text, at the widths that people have."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fermtui.tui.widgets.lines import Line
from fermtui.tui.widgets.timeline import Timeline, VesselRow, columns
from fermtui.tui.widgets.track import Mark, head_cells, row_cells, spent_bar, stretch
from fermtui.wording.dates import MONTHS

TODAY = date(2026, 11, 25)


def day(offset: int) -> date:
    return TODAY + timedelta(days=offset)


ROWS = (
    VesselRow("damson-26", "Damson", "fermenting", "", "1.084", "2.1", 18.0, (
        Mark(day(-5), "done"), Mark(day(-3), "done"), Mark(day(-1), "late"),
        Mark(day(4), "foreseen", day(2), day(9)), Mark(day(31), "coming"), Mark(day(150), "coming"),
    )),
    VesselRow("rowan-26", "Rowan", "fermenting", "stalled", "1.031", "8.8", 70.0, (
        Mark(day(-41), "done"), Mark(day(-39), "done"), Mark(day(0), "due"),
    )),
    VesselRow("quince-25", "Quince and sea buckthorn", "bottled", "", "0.998", "12.2", 100.0, (
        Mark(day(-260), "done"), Mark(day(-80), "done"), Mark(day(12), "coming"),
    )),
    VesselRow("lime-26", "Lime blossom", "must"),
)  # fmt: skip


def text(lines: Sequence[Line]) -> list[str]:
    return ["".join(part for part, _ in line).rstrip() for line in lines]


def painted(width: int, height: int, *, ascii_only: bool = True) -> list[str]:
    line = Timeline(ascii_only=ascii_only)
    line.rows, line.today = ROWS, TODAY
    return text(line.paint(width, height))


@pytest.mark.parametrize("width", [60, 80, 120])
def test_picture(width: int) -> None:
    assert painted(width, 6) == PICTURES[width].splitlines()


PICTURES: dict[int, str] = {
    60: """\
  vessel       stage       SG     Nov     | Dec       Jan
> Damson       fermenting  1.084        *!|?==......+......>
  Rowan        stalled!    1.031 <--------@
  Quince and.. bottled     0.998 <--------|...+
  Lime blossom must                       |
""",
    80: """\
  vessel        stage       SG    % vol spent     Nov     | Dec       Jan 2027
> Damson        fermenting  1.084   2.1 #.....          *!|?==......+..........>
  Rowan         stalled!    1.031   8.8 ####..  <---------@
  Quince and .. bottled     0.998  12.2 ######  <---------|...+
  Lime blossom  must                                      |
""",
    120: """\
  vessel             stage                SG    % vol sugar spent Oct   Nov         |  Dec            Jan 2027
> Damson             fermenting           1.084   2.1 ##........                 **!|=?==..........+...................>
  Rowan              fermenting stalled!  1.031   8.8 #######...  <-----------------@
  Quince and sea b.. bottled              0.998  12.2 ##########  <-----------------|.....+
  Lime blossom       must                                                           |
""",
}  # fmt: skip


def months(today: date, cells: int, days: int) -> str:
    return "".join(part for part, _ in head_cells(stretch(today, cells, days=days), today, ascii_only=True)).rstrip()


@pytest.mark.parametrize(
    ("today", "cells", "days", "says"),
    [
        (date(2026, 11, 25), 24, 3, "Nov     | Dec       Jan"),
        (date(2026, 11, 25), 36, 5, " Oct   Nov  |Dec   Jan   Feb   Mar"),
        (date(2027, 1, 2), 24, 3, "Dec     |Jan 2027 Feb"),
        (date(2027, 1, 20), 36, 3, "Dec  Jan '27|   Feb      Mar"),
        (date(2027, 1, 20), 24, 5, "Dec Jan | Feb   Mar"),
        (date(2026, 11, 25), 36, 30, " Jan 2026   |Jan 2027    Jan 2028"),
    ],
)
def test_january_bears_its_year_where_its_neighbours_leave_room(today: date, cells: int, days: int, says: str) -> None:
    assert months(today, cells, days) == says


@settings(max_examples=200, deadline=None)
@given(
    today=st.dates(date(2026, 10, 1), date(2027, 3, 31)),
    cells=st.integers(20, 90),
    days=st.sampled_from([1, 2, 3, 5, 7, 14, 30]),
)
def test_months_stand_in_their_own_month_and_never_touch(today: date, cells: int, days: int) -> None:
    span = stretch(today, cells, days=days)
    said = months(today, cells, days)
    for found in re.finditer(r"[^ |][^|]*?(?=  |\||$| [A-Z])", said):
        words = re.fullmatch(r"([A-Z][a-z][a-z])( 20(\d\d)| '(\d\d))?", found[0].strip())
        assert words, said
        held = [span.day(found.start()) + timedelta(days=n) for n in range(days)]
        near = [d for d in held if MONTHS[d.month - 1] == words[1]]
        assert near, said
        year = words[3] or words[4]
        assert not year or f"{near[0]:%y}" == year


@pytest.mark.parametrize("width", range(60, 161, 4))
def test_today_is_one_column_through_all_rows(width: int) -> None:
    line = Timeline()
    line.rows, line.today = ROWS, TODAY
    lines = ["".join(part for part, _ in row) for row in line.paint(width, 8)]
    column = lines[0].index("⡇")
    assert all(row[column] in "⡇◉" for row in lines[1:])


@pytest.mark.parametrize("width", range(60, 161, 4))
def test_no_line_is_wider_than_the_widget(width: int) -> None:
    assert max(len(row) for row in painted(width, 8)) <= width


def test_hundreds_scroll_with_the_cursor_and_say_what_is_hidden() -> None:
    line = Timeline(ascii_only=True)
    line.rows, line.today = tuple(VesselRow(f"v{n}", f"Vessel {n}", "ageing") for n in range(300)), TODAY
    assert text(line.paint(80, 12))[-1] == "  290 below"
    line.cursor = 150
    shown = text(line.paint(80, 12))
    assert any(row.startswith("> Vessel 150") for row in shown)
    assert shown[-1] == "  141 above, 149 below"


def test_trouble_is_said_in_words() -> None:
    assert "stalled!" in painted(60, 6)[2]
    assert "fermenting stalled!" in painted(120, 6)[2]
    line = Timeline(ascii_only=True)
    line.rows, line.today = (ROWS[1]._replace(trouble="not started"),), TODAY
    assert "no start!" in text(line.paint(60, 6))[1]
    assert "not started!" in text(line.paint(140, 6))[1]


def test_columns_leave_by_need() -> None:
    wide, normal, narrow = (columns(width, ROWS) for width in (120, 80, 60))
    assert wide.spent
    assert normal.spent
    assert not narrow.spent
    assert not narrow.abv
    assert narrow.track >= 20


def test_a_late_mark_out_of_the_picture_is_still_loud() -> None:
    cells = row_cells((Mark(day(-200), "late"),), stretch(TODAY, 30), TODAY)
    assert cells[0] == ("‹", "late")


def test_what_is_late_wins_its_cell() -> None:
    span = stretch(TODAY, 30, days=7)
    cells = row_cells((Mark(day(-9), "late"), Mark(day(-10), "done")), span, TODAY)
    assert ("!", "late") in cells


def test_sugar_spent_is_full_only_at_the_end() -> None:
    assert text([spent_bar(99.9, 6)]) == ["⠿⠿⠿⠿⠿⠇"]
    assert text([spent_bar(100, 6)]) == ["⠿⠿⠿⠿⠿⠿"]
    assert text([spent_bar(None, 6)]) == [""]


DAYS = st.integers(-800, 800).map(day)
KINDS = st.sampled_from(["done", "foreseen", "coming", "due", "late"])


@settings(max_examples=80, deadline=None)
@given(
    marks=st.lists(st.builds(Mark, DAYS, KINDS, DAYS, DAYS), max_size=12),
    cells=st.integers(8, 120),
    shift=st.integers(-300, 300),
    scale=st.sampled_from([None, 1, 2, 7, 30]),
)
def test_a_row_always_has_its_cells(marks: list[Mark], cells: int, shift: int, scale: int | None) -> None:
    span = stretch(TODAY, cells, days=scale, shift=shift)
    assert len(row_cells(marks, span, TODAY)) == cells
    assert len(head_cells(span, TODAY)) == cells
