"""The gravity plot as text: what is drawn, and that nothing hides a reading."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fermtui.reports.plot_cells import plot_cells, plot_lines
from fermtui.reports.plot_scale import PlotData, Zoom, day_ticks, gravity_ticks
from fermtui.units import Units, show_degrees

ZONE = timezone(timedelta(hours=1))
START = datetime(2026, 11, 4, 18, 30, tzinfo=ZONE)
NOW = datetime(2026, 11, 25, 9, 0, tzinfo=ZONE)
LOOKS = ((0, 1.099), (2, 1.088), (3.2, 1.074), (5, 1.060), (8, 1.042), (12, 1.025), (15, 1.016), (19.5, 1.010))
DATA = PlotData(
    now=NOW,
    readings=tuple((START + timedelta(days=d), sg, False) for d, sg in LOOKS),
    band=tuple(
        (NOW + timedelta(days=d), 1.007 - 0.0006 * d, 1.008 - 0.0004 * d, 1.009 - 0.0001 * d) for d in range(0, 22, 3)
    ),
    targets=((1.066, "third break 1.066"), (1.000, "end 1.000")),
    events=((START, "pitch"), (START + timedelta(days=5), "dose"), (START + timedelta(days=15), "fruit")),
)


def test_picture_of_a_ferment() -> None:
    assert plot_lines(DATA, 60, 14, ascii_only=True) == PICTURE.splitlines()


PICTURE = """\
1.100 o   .   .   .   .   .   . | .   .   .   .   .   .   .
         o                      |
                                |
          o                     |
      ------o-------------------|-------- third break 1.066
1.050 .   .   .   .   .   .   . | .   .   .   .   .   .   .
                o               |
                                |
                     o          |
                         o     o~~~:::::::::::::::::::::
1.000 - end 1.000 --------------|--~~~~~~~~~~~~~~~~~~~~~~~~~
                                |                     ::::::
      ^     ^dose        ^fruit
         9 Nov   16 Nov       today          7 Dec   14 Dec
"""


def test_readings_outshine_everything_in_their_cell() -> None:
    on_target = DATA._replace(readings=((START + timedelta(days=4), 1.066, False),), events=())
    roles = [role for line in plot_cells(on_target, 60, 14) for _, role in line]
    assert "reading" in roles
    assert "target" in roles


def test_today_stands_in_every_row_and_below() -> None:
    lines = plot_lines(DATA, 60, 14, ascii_only=True)
    column = lines[1].index("|")
    assert all(line[column] in "|~:-o" for line in lines[:-2])
    assert "today" in lines[-1]


def test_a_struck_reading_is_shown_but_does_not_stretch_the_axis() -> None:
    wild = DATA._replace(readings=(*DATA.readings, (START + timedelta(days=6), 1.150, True)))
    assert plot_lines(wild, 60, 14) == plot_lines(DATA, 60, 14)
    near = DATA._replace(readings=(*DATA.readings, (START + timedelta(days=6), 1.080, True)))
    assert any("x" in line for line in plot_lines(near, 60, 14))


def test_zoom_on_what_comes_spreads_a_narrow_band() -> None:
    recent = plot_lines(DATA._replace(zoom="coming"), 60, 14)
    assert recent[0].startswith(("1.0", " "))
    assert not any(line.startswith("1.100") for line in recent)


def dots_of(lines: list[str]) -> set[tuple[int, int]]:
    """Every braille dot as (x, y) from the upper left."""
    bits = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
    return {
        (2 * column + x, 4 * row + y)
        for row, line in enumerate(lines)
        for column, sign in enumerate(line)
        for y in range(4)
        for x in range(2)
        if 0x2800 <= ord(sign) < 0x2900 and (ord(sign) - 0x2800) & bits[y][x]
    }


@pytest.mark.parametrize("wide", [0.0006, 0.001, 0.0015, 0.002, 0.004])
def test_the_likely_line_is_solid_and_the_band_beside_it_is_dotted(wide: float) -> None:
    band = tuple((NOW + timedelta(days=d), 1.010 - wide, 1.010, 1.010 + wide) for d in range(20))
    drawn = plot_lines(PlotData(NOW, ((NOW - timedelta(days=2), 1.022, False),), band, zoom="coming"), 60, 20)[:-2]
    from_x = 2 * drawn[0].index("⢸") + 4
    rows: dict[int, set[int]] = {}
    for x, y in dots_of(drawn):
        if from_x <= x < 112:
            rows.setdefault(y, set()).add(x)
    solid = [y for y, row in rows.items() if len(row) == 112 - from_x]
    assert len(solid) == 1
    assert all(len(row) <= (112 - from_x) / 4 + 1 for y, row in rows.items() if y != solid[0])


@pytest.mark.parametrize("ascii_only", [True, False])
def test_the_likely_line_has_no_gap_where_it_is_steep(ascii_only: bool) -> None:
    steep = ((NOW, 1.099, 1.100, 1.101), (NOW + timedelta(hours=30), 1.009, 1.010, 1.011),
             (NOW + timedelta(days=20), 1.009, 1.010, 1.011))  # fmt: skip
    lines = plot_cells(PlotData(NOW, ((NOW, 1.1, False),), steep, zoom="coming"), 60, 20, ascii_only=ascii_only)
    assert all(any(role == "likely" for _, role in line) for line in lines[2:14])


def test_without_readings_it_says_so() -> None:
    assert any("no gravity read yet" in line for line in plot_lines(PlotData(now=NOW), 40, 10))


def test_too_small_is_one_sentence() -> None:
    assert plot_lines(DATA, 20, 3)[0] == "too small to plot"


@pytest.mark.parametrize(
    ("low", "high", "rows", "ticks"),
    [
        (0.996, 1.103, 12, [1.000, 1.050, 1.100]),
        (0.996, 1.012, 12, [1.000, 1.005, 1.010]),
        (1.0405, 1.0445, 14, [1.042, 1.044]),
    ],
)
def test_gravity_ticks_are_round(low: float, high: float, rows: int, ticks: list[float]) -> None:
    assert gravity_ticks(low, high, rows) == ticks


def test_gravity_ticks_are_round_in_the_makers_degrees() -> None:
    brix, oechsle = Units(gravity="brix"), Units(gravity="oechsle")
    assert [show_degrees(sg, brix) for sg in gravity_ticks(0.990, 1.100, 12, brix)] == ["0.0", "10.0", "20.0"]
    assert [show_degrees(sg, oechsle) for sg in gravity_ticks(0.990, 1.101, 12, oechsle)] == ["0", "50", "100"]
    drawn = plot_lines(DATA._replace(units=brix), 60, 16)
    assert any(line.startswith("10.0 ") for line in drawn)
    assert not any(line.startswith("1.0") for line in drawn)


def test_day_ticks_are_days_weeks_or_months() -> None:
    week = [label for _, label in day_ticks(NOW, NOW + timedelta(days=4), 60)]
    assert week == ["26 Nov", "27 Nov", "28 Nov", "29 Nov"]
    assert {at.weekday() for at, _ in day_ticks(NOW, NOW + timedelta(days=30), 60)} == {0}
    year = [label for _, label in day_ticks(NOW, NOW + timedelta(days=300), 120)]
    assert year[:3] == ["Dec", "Jan 2027", "Feb"]


INSTANTS = st.datetimes(datetime(2026, 1, 1), datetime(2027, 12, 31), timezones=st.just(ZONE))  # noqa: DTZ001
GRAVITIES = st.floats(0.98, 1.2)


@settings(max_examples=60, deadline=None)
@given(
    readings=st.lists(st.tuples(INSTANTS, GRAVITIES, st.booleans()), max_size=6),
    targets=st.lists(st.tuples(GRAVITIES, st.text("abc 1", max_size=30)), max_size=3),
    events=st.lists(st.tuples(INSTANTS, st.sampled_from(["dose", "fruit", "pitch"])), max_size=6),
    size=st.tuples(st.integers(1, 90), st.integers(1, 30)),
    zoom=st.sampled_from(["all", "recent", "coming"]),
    ascii_only=st.booleans(),
)
def test_any_data_fills_exactly_its_size(
    readings: list[tuple[datetime, float, bool]],
    targets: list[tuple[float, str]],
    events: list[tuple[datetime, str]],
    size: tuple[int, int],
    zoom: Zoom,
    ascii_only: bool,
) -> None:
    data = PlotData(NOW, tuple(readings), (), tuple(targets), tuple(events), zoom)
    lines = plot_cells(data, *size, ascii_only=ascii_only)
    assert len(lines) == size[1]
    assert {sum(len(text) for text, _ in line) for line in lines} == {size[0]}
