"""A table of another program: whatever stands in it, it is read, or refused by line, or refused as a whole."""

from __future__ import annotations

from datetime import UTC
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fermtui.reports.readings_in import TableKind, decoded, readings_in
from fermtui.reports.table_titles import NoTable
from fermtui.units import Units

ODD = ("1,05", "2026-04-15", "15.4.2026", "1e9", "nan", "inf", "1/2/2026", "9999-12-31", "0000-00-00", "-",
       "2026-02-30", "68F", "24:00")  # fmt: skip
CELLS = st.one_of(st.text(max_size=12), st.sampled_from(ODD))
TITLES = st.sampled_from(("date", "at", "time", "sg", "brix", "temp", "temp_f", "pH", "notes", "did", "struck", ""))
ROWS = st.lists(st.lists(CELLS, max_size=7), max_size=6)


@given(st.lists(TITLES, min_size=1, max_size=6), ROWS, st.sampled_from(",;\t"))
def test_no_table_is_a_traceback(titles: list[str], rows: list[list[str]], sign: str) -> None:
    text = "\n".join(sign.join(cells) for cells in [titles, *rows])
    try:
        found = readings_in(text, TableKind(UTC))
    except NoTable:
        return
    for row in found.rows:
        assert row.fields
        assert row.line >= 2
    for refused in found.refused:
        assert refused.line >= 2
        assert "\n" not in refused.reason


@given(st.binary(max_size=60))
def test_no_bytes_are_a_traceback(data: bytes) -> None:
    assert isinstance(decoded(data), str)
    assert isinstance(decoded(b"\xff\xfe" + data), str)


def test_a_row_over_two_lines_is_named_by_its_first() -> None:
    found = readings_in('date,sg,notes\n2026-04-15,1.05,"two\nlines"\n2026-04-16,x,\n', TableKind(UTC))
    assert [row.line for row in found.rows] == [2]
    assert [one.line for one in found.refused] == [4]


def test_a_bare_temperature_is_in_the_makers_unit_and_a_named_one_in_its_own() -> None:
    fahrenheit = Units(temp="F")
    assert str(readings_in("date,temp\n2026-04-15,68\n", TableKind(UTC, fahrenheit)).rows[0].fields["temp_c"]) == "20"
    assert str(readings_in("date,temp_c\n2026-04-15,20\n", TableKind(UTC, fahrenheit)).rows[0].fields["temp_c"]) == "20"
    assert str(readings_in("date,temp\n2026-04-15,20C\n", TableKind(UTC, fahrenheit)).rows[0].fields["temp_c"]) == "20"


def test_a_time_without_offset_is_of_the_cellars_zone() -> None:
    vienna = TableKind(ZoneInfo("Europe/Vienna"))
    rows = readings_in("date,sg\n2026-01-15 18:30,1.05\n2026-07-15 18:30,1.04\n", vienna).rows
    assert [row.at.isoformat() for row in rows] == ["2026-01-15T18:30:00+01:00", "2026-07-15T18:30:00+02:00"]


@pytest.mark.parametrize("text", ["10,4", "10.4 bx", "10,4 °Bx", "10.4 Brix"])
def test_brix_with_or_without_its_sign(text: str) -> None:
    assert str(readings_in(f"date;brix\n2026-04-15;{text}\n", TableKind(UTC)).rows[0].fields["brix"]) == "10.4"
