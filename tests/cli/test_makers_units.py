"""The same vessel told to a maker who reads gallons, pounds, °F, Brix and a decimal comma: no other unit is left."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

Cellar = Callable[[Mapping[str, str]], Path]
UNITS = '[units]\nvolume = "gal"\nmass = "lb"\ntemp = "F"\ngravity = "brix"\ndecimal_comma = true\n'
HEAD = """name = "Rowan"
schedule = "strong-step-fed"
[plan]
volume_l = 4.0
gravity = 1.110
temp_c = 20
"""
PAGE = """
{ at = 2026-04-10T10:00:00+02:00, did = "mix", volume_l = 4.0, honey_g = 1400 }
{ at = 2026-04-10T10:10:00+02:00, did = "read", sg = 1.110, temp_c = 20, ph = 3.7 }
{ at = 2026-04-10T10:20:00+02:00, did = "pitch", yeast_g = 2, temp_c = 22.5 }
{ at = 2026-04-13T10:00:00+02:00, did = "read", sg = 1.085, temp_c = 21 }
{ at = 2026-04-15T10:00:00+02:00, did = "read", sg = 1.065, temp_c = 21 }
{ at = 2026-04-15T11:00:00+02:00, did = "taste", taste = "sharp", score = 12.5 }
"""
SG = re.compile(r"(?<![\d,.])(?:1[.,]0\d\d|1[.,]1\d\d|0[.,]99\d)(?!\d)(?! (?:L|gal|lb|kg))")


@pytest.fixture
def rowan(cellar: Cellar) -> Path:
    return cellar({
        "cellar.toml": f'timezone = "Europe/Vienna"\n{UNITS}',
        "vessels/rowan/vessel.toml": HEAD, "vessels/rowan/daybook.toml": PAGE,
    })  # fmt: skip


@pytest.mark.usefixtures("rowan")
@pytest.mark.parametrize("words", [
    ("show",), ("show", "rowan"), ("record", "rowan"), ("compare", "rowan", "rowan"), ("due",), ("needs",),
    ("schedule", "show", "strong-step-fed"), ("schedule", "show", "cyser"), ("calendar",),
])  # fmt: skip
def test_every_text_is_in_the_makers_units(fermtui: Any, words: tuple[str, ...]) -> None:
    ran = fermtui(*words, "--on", "2026-04-15 12:00")
    assert ran.status in (0, 2) if words[0] == "compare" else ran.status == 0
    told = re.sub(r"How the strength is reckoned.*", "", ran.out, flags=re.DOTALL)  # formulas stand in SG and °C
    assert "°C" not in told
    assert not SG.findall(told)


@pytest.mark.usefixtures("rowan")
def test_decimal_commas_in_ph_and_scores(fermtui: Any) -> None:
    record = fermtui("record", "rowan", "--on", "2026-04-15 12:00").out
    assert "3,70" in record
    assert "12,5" in record
    assert "pH 3,70" in fermtui("show", "rowan", "--on", "2026-04-15 12:00").out


@pytest.mark.usefixtures("rowan")
def test_what_degrees_were_taken_for_is_said(fermtui: Any) -> None:
    ran = fermtui("read", "rowan", "15,1", "--on", "2026-04-15 13:00", "--override", "looked twice")
    assert (ran.status, ran.err) == (0, "fermtui: understood as 15,1 °Bx on a refractometer\n")
    ran = fermtui("read", "rowan", "15,5 P", "70", "--on", "2026-04-16 13:00")
    assert "understood as 15,5 °P on a hydrometer, which is 1,063" in ran.err


def test_brix_of_a_hydrometer_that_is_marked_so(cellar: Cellar, fermtui: Any) -> None:
    folder = cellar({
        "cellar.toml": 'timezone = "Europe/Vienna"\n[units]\nbrix = "hydrometer"\n',
        "vessels/rowan/vessel.toml": HEAD, "vessels/rowan/daybook.toml": PAGE,
    })  # fmt: skip
    ran = fermtui("read", "rowan", "15 bx 20", "--on", "2026-04-16 13:00")
    assert "15 °Bx on a hydrometer" in ran.err
    # ASBC: 15 °P is 1.0611 (from memory).
    assert "sg = 1.0611" in (folder / "vessels/rowan/daybook.toml").read_text("utf-8")
    table = folder.parent / "readings.csv"
    table.write_text("date,brix\n2026-04-17,14\n", "utf-8")
    assert fermtui("import", "rowan", str(table), "--on", "2026-04-18").status == 0
    assert "sg = 1.05" in (folder / "vessels/rowan/daybook.toml").read_text("utf-8").splitlines()[-1]
