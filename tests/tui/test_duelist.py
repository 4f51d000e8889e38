"""The due list as text."""

from __future__ import annotations

import pytest

from fermtui.tui.widgets.duelist import DueList, DueRow
from fermtui.tui.widgets.lines import fit

ROWS = (
    DueRow("damson", "dose-2", "late", "LATE", "Damson", "dose 2 of 2", "1.1 g DAP, 1.3 g autolysate",
           "since yesterday", "five days after pitching, 24 Nov"),
    DueRow("heather", "ask", "due", "due", "Heather", "take a gravity", "", "",
           "to catch the one-third sugar break, at 1.066: forecast 24 to 26 Nov"),
    DueRow("quince", "taste-6", "due", "due", "Quince", "taste", "", "for 7 days", "six months after bottling, 18 Nov"),
    DueRow("currant", "fruit", "coming", "Fri", "Blackcurrant", "fruit in", "500 g",
           "27 to 30 Nov", "when dry and calm"),
)  # fmt: skip


def painted(width: int, height: int = 6) -> list[str]:
    due = DueList(ascii_only=True)
    due.rows = ROWS
    return ["".join(text for text, _ in line).rstrip() for line in due.paint(width, height)]


@pytest.mark.parametrize("width", [60, 80, 120])
def test_picture(width: int) -> None:
    assert painted(width) == PICTURES[width].splitlines()


PICTURES: dict[int, str] = {
    60: """\
> LATE  Damson        dose 2 of 2     1.1 g DAP, 1.3 g au..
  due   Heather       take a gravity  to catch the one-th..
  due   Quince        taste           for 7 days
  Fri   Blackcurrant  fruit in        500 g   27 to 30 Nov
""",
    80: """\
> LATE  Damson        dose 2 of 2     1.1 g DAP, 1.3 g autolysate
  due   Heather       take a gravity  to catch the one-third sugar break, at ..
  due   Quince        taste           for 7 days   six months after bottling,..
  Fri   Blackcurrant  fruit in        500 g   27 to 30 Nov   when dry and calm
""",
    120: """\
> LATE  Damson        dose 2 of 2     1.1 g DAP, 1.3 g autolysate   since yesterday   five days after pitching, 24 Nov
  due   Heather       take a gravity  to catch the one-third sugar break, at 1.066: forecast 24 to 26 Nov
  due   Quince        taste           for 7 days   six months after bottling, 18 Nov
  Fri   Blackcurrant  fruit in        500 g   27 to 30 Nov   when dry and calm
""",
}  # fmt: skip


@pytest.mark.parametrize("width", range(60, 160, 7))
def test_no_line_is_wider_than_the_list_and_the_amount_comes_first(width: int) -> None:
    lines = painted(width)
    assert max(map(len, lines)) <= width
    assert "1.1 g DAP" in lines[0]


def test_what_found_no_room_is_counted() -> None:
    assert painted(80, 3) == [*painted(80)[:2], "  2 below"]


def test_the_cursor_stays_where_it_was_when_its_task_is_done() -> None:
    due = DueList()
    due.rows, due.cursor = ROWS, 1
    due.show((ROWS[0], *ROWS[2:]), "")
    assert due.chosen == ROWS[2]


def test_the_cursor_follows_its_task_when_something_more_pressing_comes() -> None:
    due = DueList()
    due.rows, due.cursor = ROWS, 2
    due.show((ROWS[0]._replace(task="another"), *ROWS), "")
    assert due.chosen == ROWS[2]


def test_nothing_due_is_one_quiet_sentence() -> None:
    due = DueList()
    due.calm = "Nothing is due this week."
    assert due.paint(80, 4) == [[("  Nothing is due this week.", "quiet")]]


def test_blanks_that_find_no_room_are_no_cut() -> None:
    assert fit("1.8 g   ", 6) == "1.8 g "
    assert fit("1.8 g DAP", 6) == "1.8 .."
