"""The check list speaks of this vessel's own numbers, and says what to leave alone."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from fermtui.daybook.head import head_from
from fermtui.daybook.lines import read_lines
from fermtui.daybook.settings import Settings
from fermtui.forecast.trouble import Trouble
from fermtui.replay.facts import Facts
from fermtui.replay.replay import replay
from fermtui.units import Units
from fermtui.wording.checklist import checklist, trouble_text

HEAD = head_from({"name": "T", "plan": {"volume_l": 4, "gravity": 1.1, "yeast": {"tolerance_abv": 12}, "temp_c": 19}})
NOW = datetime(2026, 3, 10, 18, tzinfo=UTC)
SETTINGS = Settings(zone=UTC, timezone="UTC")
# By UC Davis a must of 23.8 °Bx needs 270 mg/L of nitrogen; honey has 20 of it, so 4 L want 1.0 g: 2 g of DAP are 42 %.
STALLED = Trouble("stalled", 0.92, {"sg": 1.031, "end_sg": 1.0})
COLD_NIGHT = """
b = { at = 2026-03-04T18:00:00+01:00, did = "chill", temp_c = 12 }
c = { at = 2026-03-09T18:00:00+01:00, did = "heat", temp_c = 20 }
"""
UP_AND_DOWN = """
b = { at = 2026-03-04T18:00:00+01:00, did = "read", temp_c = 17 }
c = { at = 2026-03-09T18:00:00+01:00, did = "heat", temp_c = 26 }
"""


def facts(more: str) -> Facts:
    page = 'a1 = { at = 2026-03-01T18:00:00+01:00, did = "pitch" }\n' + more
    entries, problems = read_lines(page.encode(), "daybook.toml")
    assert not problems
    return replay(HEAD, entries)


def told(more: str, trouble: Trouble = STALLED, abv: float | None = 9.5, now: datetime = NOW) -> str:
    return "\n".join(checklist(trouble, facts(more), HEAD.plan, abv, now, SETTINGS))


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ("", "Temperature: none written down in two weeks, the plan wants 19 °C"),
        ('b = { at = 2026-03-09T18:00:00+01:00, did = "read", sg = 1.031, temp_c = 12 }', "12 °C is cold"),
        ('b = { at = 2026-03-09T18:00:00+01:00, did = "read", sg = 1.031, temp_c = 29 }', "29 °C is warm"),
        ('b = { at = 2026-03-09T18:00:00+01:00, did = "read", sg = 1.031, temp_c = 20 }', "20 °C is in order"),
        ('b = { at = 2026-03-09T18:00:00+01:00, did = "chill", temp_c = 11 }', "11 °C is cold"),
        ('b = { at = 2026-03-02T18:00:00+01:00, did = "heat", temp_c = 29 }', "29 °C is warm"),
        (COLD_NIGHT, "20 °C now, but 12 °C within the last two weeks"),
        (UP_AND_DOWN, "17 °C to 26 °C within two weeks"),
        ("", "Nitrogen: none was given"),
        ('b = { at = 2026-03-03T18:00:00+01:00, did = "dose", dap_g = 2 }', "in 1 dose, 42 % of the need"),
        (
            'b = { at = 2026-03-03T18:00:00+01:00, did = "dose", dap_g = 2, autolysate_g = 6 }',
            "in 1 dose, 91 % of the need; that is enough",
        ),
        ("", "pH: not measured"),
        ('b = { at = 2026-03-09T18:00:00+01:00, did = "read", ph = 2.8 }', "pH: 2.80 is too low for most yeast"),
        ('b = { at = 2026-03-09T18:00:00+01:00, did = "read", ph = 3.1 }', "pH: 3.10 is low, and slows yeast down"),
        ('b = { at = 2026-03-09T18:00:00+01:00, did = "read", ph = 3.2 }', "pH: 3.20 is in order"),
        ('b = { at = 2026-03-09T18:00:00+01:00, did = "read", ph = 4.9 }', "pH: 4.90 is above 4.6"),
        ('b = { at = 2026-03-09T18:00:00+01:00, did = "read", ph = 3.5 }', "pH: 3.50 is in order"),
    ],
)
def test_each_line_begins_with_what_is_known(more: str, says: str) -> None:
    assert says in told(more)


@pytest.mark.parametrize(
    ("abv", "says"),
    [(11.5, "close to the 12.0 % vol"), (6.0, "well below the 12.0 % vol"), (None, "Alcohol: not known")],
)
def test_alcohol_is_held_against_the_yeast(abv: float | None, says: str) -> None:
    assert says in told("", abv=abv)


def test_late_nitrogen_is_no_dap() -> None:
    assert "no DAP" in told("", abv=10.0)
    assert "no DAP" not in told("", abv=5.0)


@pytest.mark.parametrize(
    ("trouble", "line", "says", "never"),
    [
        (STALLED, "stalled at 1.031, 31 points above its end (92 % likely)", "do not bottle it", "twice"),
        (Trouble("not started", None, {"hours": 80.0}), "no fall in gravity 80 hours", "fresh starter", "swirl"),
        (Trouble("rising", None, {"from_sg": 1.01, "to_sg": 1.016}), "gravity up 6 points", "read twice", "Nitrogen"),
        (Trouble("too warm", None, {"temp_c": 33.0, "limit_c": 30.0}), "33 °C, above 30 °C", "Cool it slowly", "pH"),
        (Trouble("slow", 0.6, {"chance": 0.6}), "falls slower than nine in ten healthy musts", "Leave alone", "twice"),
    ],
)
def test_every_trouble_has_its_own_list(trouble: Trouble, line: str, says: str, never: str) -> None:
    assert trouble_text(trouble).startswith(line)
    assert says in told("", trouble)
    assert never not in told("", trouble)


def test_in_the_makers_units() -> None:
    warm = Trouble("too warm", None, {"temp_c": 33.0, "limit_c": 30.0})
    assert trouble_text(warm, Units(temp="F")) == "91 °F, above 86 °F"
