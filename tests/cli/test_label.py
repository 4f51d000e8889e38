"""The label of a lot: what it must say, and that local law is left to say the rest."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from fermtui.reports.lots import months_after

Cellar = Callable[[Mapping[str, str]], Path]

PAGE = """
{ at = 2026-01-10T10:00:00+01:00, did = "mix", volume_l = 4.0 }
{ at = 2026-01-10T10:10:00+01:00, did = "read", sg = 1.080, temp_c = 20 }
{ at = 2026-01-10T10:20:00+01:00, did = "pitch" }
{ at = 2026-01-30T10:20:00+01:00, did = "read", sg = 1.000, temp_c = 20 }
"""
BOTTLED = '{ at = 2026-03-02T10:00:00+01:00, did = "bottle", count = 4, size_ml = 750, closure = "screw-cap" }\n'


@pytest.fixture
def label(cellar: Cellar, fermtui: Any) -> Callable[..., Any]:
    def made(more: str, *words: str) -> Any:
        head = 'name = "Rowan"\n[plan]\nvolume_l = 4.0\ngravity = 1.080\n'
        cellar({"vessels/rowan/vessel.toml": head, "vessels/rowan/daybook.toml": PAGE + more})
        return fermtui("label", "rowan", "--on", "2026-06-01", *words)

    return made


def test_what_stands_on_it(label: Any) -> None:
    ran = label(BOTTLED)
    assert ran.status == 0
    lines = [line.strip("| ") for line in ran.out.splitlines()[1:-1]]
    assert lines[:2] == ["Rowan", "mead"]
    assert lines[2].endswith("% vol")
    assert "±" in lines[2]
    # A screw cap with a tin-saran liner: ten years, common practice, no source (tables/closures.csv).
    assert lines[3:] == ["750 mL", "bottled 2026-03-02", "lot rowan-20260302", "best by 2036-03-02"]
    assert "local law" in ran.err


@pytest.mark.parametrize(("grams", "said"), [(0.06, False), (0.08, True)])
def test_sulfites_from_ten_milligrams_a_litre_on(label: Any, grams: float, said: bool) -> None:
    """21 CFR 130.9: from 10 mg/L on. Potassium metabisulfite is 57.6 % SO2: 0.07 g in 4 L is 10 mg/L."""
    sulfite = f'{{ at = 2026-03-01T10:00:00+01:00, did = "sulfite", metabisulfite_g = {grams} }}\n'
    (found,) = label(sulfite + BOTTLED, "--json").json["labels"]
    assert found["contains_sulfites"] is said
    assert ("contains sulfites" in found["text"]) is said


def test_little_sulfite_is_no_promise(label: Any) -> None:
    assert "Yeast makes some sulfite by itself" in label(BOTTLED).err


def test_fizz_is_said(label: Any) -> None:
    primed = BOTTLED.replace("closure =", 'glass = "sparkling", priming_g = 40, priming_kind = "sucrose", closure =')
    text = label(primed).out
    assert "sparkling mead" in text
    assert "under pressure" in text


def test_two_lots_of_one_day(label: Any) -> None:
    small = BOTTLED.replace("T10:00", "T11:00").replace("750", "375").replace("screw-cap", "wax")
    first, second = label(BOTTLED + small, "--json").json["labels"]
    assert (first["lot"], second["lot"]) == ("rowan-20260302", "rowan-20260302-2")
    assert second["best_by"] is None


def test_no_bottles_no_label(label: Any, fermtui: Any) -> None:
    ran = label("")
    assert ran.status == 1
    assert ran.err == "fermtui: rowan has no bottles yet: a label is for what has been bottled\n"
    assert fermtui("label").status == 2
    assert fermtui("label", "nobody").status == 1


def test_months_end_where_the_month_ends() -> None:
    from datetime import date

    assert months_after(date(2026, 8, 31), 6) == date(2027, 2, 28)
    assert months_after(date(2023, 8, 31), 6) == date(2024, 2, 29)
    assert months_after(date(2026, 12, 31), 12) == date(2027, 12, 31)
