"""One line as people type it after a look at the hydrometer."""

from __future__ import annotations

from datetime import datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fermtui.daybook.lines import entry_of_line, line_of
from fermtui.units import Units, Unreadable
from fermtui.writing.reading_line import read_line

NOW = datetime(2026, 3, 18, 20, 15, tzinfo=ZoneInfo("Europe/Berlin"))
FAHRENHEIT = Units(temp="F")
BRIX = Units(gravity="brix")


def shown(text: str, known: Units | None = None) -> dict[str, str]:
    typed = read_line(text, NOW, known) if known else read_line(text, NOW)
    return {name: str(value) for name, value in typed.fields.items()}


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("1.042 21", {"sg": "1.042", "temp_c": "21"}),
        ("1.042, 21", {"sg": "1.042", "temp_c": "21"}),
        ("1,042 19,5", {"sg": "1.042", "temp_c": "19.5"}),
        ("1042 @ 70F", {"sg": "1.042", "temp_c": "21.1"}),
        ("1042@70f", {"sg": "1.042", "temp_c": "21.1"}),
        ("1.042 @ 21 °C", {"sg": "1.042", "temp_c": "21"}),
        ("1.042 68 F", {"sg": "1.042", "temp_c": "20"}),
        ("1.042 68.05F", {"sg": "1.042", "temp_c": "20"}),  # not 2E+1
        ("1.100", {"sg": "1.100"}),  # its written precision is kept
        ("998 17", {"sg": "0.998", "temp_c": "17"}),
        (".998", {"sg": "0.998"}),
        ("8,4bx", {"brix": "8.4"}),
        ("8.4 bx 20", {"brix": "8.4", "temp_c": "20"}),
        ("12 P", {"sg": "1.0483"}),  # a density: ASBC has 12 °P at 1.0484 (from memory)
        ("19.3 °P 20", {"sg": "1.0798", "temp_c": "20"}),
        ("80 Oe", {"sg": "1.0800"}),
        ("80 °Oe, 21", {"sg": "1.0800", "temp_c": "21"}),
        ("12°Bé", {"sg": "1.0902"}),
        ("12 baume", {"sg": "1.0902"}),
        ("17 KMW", {"sg": "1.0835"}),
        ("-1,3 P", {"sg": "0.9950"}),
        ("pH 3.4", {"ph": "3.4"}),
        ("1.042 21 ph3,4", {"sg": "1.042", "temp_c": "21", "ph": "3.4"}),
        ("1.042 21 pH=3.4", {"sg": "1.042", "temp_c": "21", "ph": "3.4"}),
        ("1.004 free SO2 30 ppm", {"sg": "1.004", "free_so2_mg_per_l": "30"}),
        ("1.042 21 100 ml", {"sg": "1.042", "temp_c": "21", "sample_ml": "100"}),
        ("21C", {"temp_c": "21"}),
        ("1.042 @", {"sg": "1.042"}),  # the temperature is still being typed
        ("1.042 -2C", {"sg": "1.042", "temp_c": "-2"}),
    ],
)
def test_understood(text: str, fields: dict[str, str]) -> None:
    assert shown(text) == fields


def test_bare_numbers_are_in_the_makers_units() -> None:
    assert shown("1.042 68", FAHRENHEIT) == {"sg": "1.042", "temp_c": "20"}
    assert shown("8.4 20", BRIX) == {"brix": "8.4", "temp_c": "20"}
    assert shown("1.042 20", BRIX) == {"sg": "1.042", "temp_c": "20"}


@pytest.mark.parametrize(
    ("known", "text", "fields", "understood"),
    [
        (Units(), "19.3 P", {"sg": "1.0798"}, "19.3 °P on a hydrometer, which is 1.0798"),
        (Units(), "19.3 bx", {"brix": "19.3"}, "19.3 °Bx on a refractometer"),
        (Units(brix="hydrometer"), "19.3 bx", {"sg": "1.0798"}, "19.3 °Bx on a hydrometer, which is 1.0798"),
        (Units(gravity="brix", brix="hydrometer"), "19.3", {"sg": "1.0798"},
         "19.3 °Bx on a hydrometer, which is 1.0798"),
        (Units(gravity="plato"), "19.3 20", {"sg": "1.0798", "temp_c": "20"},
         "19.3 °P on a hydrometer, which is 1.0798"),
        (Units(gravity="oechsle", decimal_comma=True), "80", {"sg": "1.0800"},
         "80 °Oe on a hydrometer, which is 1,0800"),
        (Units(gravity="oechsle"), "-5", {"sg": "0.9950"}, "-5 °Oe on a hydrometer, which is 0.9950"),
        (Units(gravity="kmw"), "17", {"sg": "1.0835"}, "17 °KMW on a hydrometer, which is 1.0835"),
        (Units(gravity="plato"), "1.042", {"sg": "1.042"}, ""),
        (Units(gravity="oechsle"), "1042", {"sg": "1.042"}, ""),
        (Units(), "1.042", {"sg": "1.042"}, ""),
    ],
)  # fmt: skip
def test_degrees_are_taken_for_the_instrument_that_shows_them(
    known: Units, text: str, fields: dict[str, str], understood: str
) -> None:
    assert shown(text, known) == fields
    assert read_line(text, NOW, known).understood == understood


@pytest.mark.parametrize("text", ["80 P", "400 Oe", "40 be", "60 kmw", "60 bx", "12 P 12 P"])
def test_degrees_beyond_their_scale_are_refused(text: str) -> None:
    with pytest.raises(Unreadable):
        read_line(text, NOW)


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("1.042", "2026-03-18T20:15:00+01:00"),
        ("1.042 yesterday", "2026-03-17T20:15:00+01:00"),
        ("1.042 21 yesterday 23:50", "2026-03-17T23:50:00+01:00"),
        ("1.042 7:05", "2026-03-18T07:05:00+01:00"),
        ("1.042 2026-03-01", "2026-03-01T20:15:00+01:00"),
        ("2025-10-01 18:00 1.042", "2025-10-01T18:00:00+02:00"),
        ("1.042 21 tuesday 18:30", "2026-03-17T18:30:00+01:00"),
        ("1.042 21 18:30 yesterday", "2026-03-17T18:30:00+01:00"),
        ("last tue 1.042 @ 70F", "2026-03-17T20:15:00+01:00"),
        ("1.042 21 3 days ago", "2026-03-15T20:15:00+01:00"),
        ("1.042 21 2 hours ago, pH 3.4", "2026-03-18T18:15:00+01:00"),
        ("31.12.2025 8,4bx", "2025-12-31T20:15:00+01:00"),
        ("1.042 2026-03-17T18:30:00+01:00", "2026-03-17T18:30:00+01:00"),
    ],
)
def test_when_it_was_taken(text: str, at: str) -> None:
    assert read_line(text, NOW).at.isoformat() == at


@pytest.mark.parametrize(
    "text",
    [
        "", "   ", "1.9", "abc", "1.042 @ 400", "1.042 400", "nan", "inf", "1.042 21 22", "1.042 1.041", "8bx 1.042",
        "1.04251", "0.9", "100 ml", "pH 34", "-1bx", "60 bx", "1.042 23:00", "1.042 2026-03-19",
        "1.042 2026-02-30", "1.042 9999-01-01", "1.042 25:00",
        "1.042 tuesday 18:30 monday", "1.042 31.13.2025", "1.042 moonday", "1.042 3 moons ago", "yesterday 18:30",
        "1.042" * 60, "1.042 \x1b[2J", "1..042", "1.042 ph",
    ],
)  # fmt: skip
def test_refused_with_what_would_be_right(text: str) -> None:
    with pytest.raises(Unreadable) as refused:
        read_line(text, NOW)
    assert "\n" not in str(refused.value)
    assert len(str(refused.value)) < 250


@given(st.text(alphabet="0123456789.,:@ -+bxCFpPhHsgml°yesterday²٣\x1b\u202e", max_size=24))
def test_any_typing_is_an_entry_or_refused(text: str) -> None:
    try:
        typed = read_line(text, NOW)
    except Unreadable:
        return
    assert typed.fields
    assert typed.at <= NOW
    assert all(isinstance(value, Decimal) for value in typed.fields.values())
    entry = entry_of_line(line_of("k1", "read", typed.at, typed.fields))
    assert entry.did == "read"


@given(st.decimals("0.95", "1.3", places=3), st.integers(-50, 400))
def test_the_daily_case_says_what_was_typed(sg: Decimal, tenths: int) -> None:
    typed = read_line(f"{sg} {Decimal(tenths).scaleb(-1)}C", NOW)
    assert typed.fields == {"sg": sg, "temp_c": Decimal(tenths).scaleb(-1)}
    assert typed.at - NOW == timedelta(0)


def test_a_time_that_cannot_be_read_says_how_one_is_written() -> None:
    for text in ("1.042 31.13.2025", "1.042 21 3 moons ago", "1.042 tuesdoy"):
        with pytest.raises(Unreadable, match="3 days ago"):
            read_line(text, NOW)


@pytest.mark.parametrize(
    ("text", "sg", "temp_c", "ph"),
    [
        ("1.071 at 21C", "1.071", "21", None), ("SG 1.071, 21 C", "1.071", "21", None),
        ("gravity 1.030 temp 70F", "1.030", "21.1", None), ("1.030/21", "1.030", "21", None),
        ("3.4 pH", None, None, "3.4"), ("1.042 3.4 ph", "1.042", None, "3.4"),
        ("sg: 1.038 at 68 F", "1.038", "20", None),
    ],
)  # fmt: skip
def test_words_around_the_numbers(text: str, sg: str | None, temp_c: str | None, ph: str | None) -> None:
    wanted = {name: value for name, value in (("sg", sg), ("temp_c", temp_c), ("ph", ph)) if value is not None}
    assert shown(text) == wanted
