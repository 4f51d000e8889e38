"""Batches side by side, from the day of pitching."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from fermtui.reports.curves import BatchCurve, curve_lines

Cellar = Callable[[Mapping[str, str]], Path]

QUICK = """
{ at = 2026-01-10T10:00:00+01:00, did = "mix", volume_l = 4.0 }
{ at = 2026-01-10T10:10:00+01:00, did = "read", sg = 1.080, temp_c = 20 }
{ at = 2026-01-10T10:20:00+01:00, did = "pitch" }
{ at = 2026-01-15T10:20:00+01:00, did = "read", sg = 1.030, temp_c = 22 }
{ at = 2026-01-20T10:20:00+01:00, did = "read", sg = 1.0015, temp_c = 20 }
{ at = 2026-01-30T10:20:00+01:00, did = "read", sg = 0.999, temp_c = 20 }
{ at = 2026-05-30T10:20:00+02:00, did = "taste", smell = "thyme", score = 16 }
"""
SLOW = """
{ at = 2025-01-10T10:00:00+01:00, did = "mix", volume_l = 4.0 }
{ at = 2025-01-10T10:10:00+01:00, did = "read", sg = 1.100, temp_c = 20 }
{ at = 2025-01-10T10:20:00+01:00, did = "pitch" }
{ at = 2025-02-09T10:20:00+01:00, did = "read", sg = 1.020, temp_c = 16 }
"""


@pytest.fixture
def two(cellar: Cellar) -> Path:
    return cellar({
        "vessels/quick/vessel.toml": 'name = "Quick"\n[plan]\nvolume_l = 4.0\ngravity = 1.080\n',
        "vessels/quick/daybook.toml": QUICK,
        "past/slow/vessel.toml": 'name = "Slow"\n[plan]\nvolume_l = 4.0\ngravity = 1.100\n',
        "past/slow/daybook.toml": SLOW,
    })  # fmt: skip


@pytest.mark.usefixtures("two")
def test_numbers_of_both(fermtui: Any) -> None:
    quick, slow = fermtui("compare", "quick", "slow", "--json", "--on", "2026-06-01").json["batches"]
    assert quick["days_to_dry"] == 10.0
    assert slow["days_to_dry"] is None
    assert (quick["original_gravity"], quick["final_gravity"]) == (pytest.approx(1.080), pytest.approx(0.999))
    # 1.080 to 0.999: (1.080 - 0.999) x 131.25, the trade's rule of thumb, is 10.6 (common practice, no source).
    assert quick["abv_percent"] == pytest.approx(10.6, abs=0.4)
    assert (quick["score"], quick["scores"], slow["score"]) == (16, [16], None)
    assert quick["notes"] == ["2026-05-30: thyme"]
    assert [point["day"] for point in quick["curve"]] == [0, 5, 10, 20]
    assert quick["temp_mean_c"] == pytest.approx(62 / 3, abs=0.01)


@pytest.mark.usefixtures("two")
def test_the_page_shows_both_curves_and_the_notes(fermtui: Any) -> None:
    text = fermtui("compare", "quick", "slow", "--on", "2026-06-01").out
    assert "A  Quick, pitched 2026-01-10" in text
    assert "B  Slow, pitched 2025-01-10" in text
    assert "- 2026-05-30: thyme" in text
    plot = text.partition("Gravity from the day of pitching")[2]
    assert plot.count("A") >= 3
    assert "B" in plot
    assert max(len(line) for line in text.splitlines()) <= 80


@pytest.mark.usefixtures("two")
def test_a_live_ferment_has_no_final_gravity(fermtui: Any) -> None:
    # On 17 January the quick one has been read once, far above its end.
    quick, _ = fermtui("compare", "quick", "slow", "--json", "--on", "2026-01-17").json["batches"]
    assert quick["final_gravity"] is None
    assert quick["last_gravity"] > 1.01
    text = fermtui("compare", "quick", "slow", "--on", "2026-01-17").out
    (row,) = [line for line in text.splitlines() if line.startswith("  A  1.080")]
    assert re.match(r"  A  1\.080  last 1\.0\d\d  ", row)


@pytest.mark.usefixtures("two")
def test_bad_words(fermtui: Any) -> None:
    assert fermtui("compare", "quick").status == 2
    assert fermtui("compare", "quick", "quick").status == 2
    assert fermtui("compare", *(f"v{number}" for number in range(13))).status == 2
    assert fermtui("compare", "quick", "nobody").status == 1


def test_two_curves_are_told_apart_without_colour() -> None:
    falling = BatchCurve("A", [(0.0, 1.100), (10.0, 1.000)])
    level = BatchCurve("B", [(0.0, 1.100), (5.0, 1.060), (10.0, 1.060)])
    lines = curve_lines([falling, level], 47, 12)
    assert lines[0].endswith("*"), "where both begin"
    assert sum(line.count("a") for line in lines[:10]) >= 8
    assert any("Bbbb" in line for line in lines)
    assert lines[-1].split() == ["days", "0", "2", "4", "6", "8", "10"]
    assert all(len(line) <= 54 for line in lines)


def test_no_readings_no_plot() -> None:
    assert curve_lines([BatchCurve("A", [])], 47, 12) == []
    assert len(curve_lines([BatchCurve("A", [(0.0, 1.1)])], 47, 12)) == 12
