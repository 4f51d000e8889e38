"""The stage is read off the entries and the clock, and trouble is not one."""

from __future__ import annotations

from datetime import datetime

import pytest

from fermtui.daybook.head import head_from
from fermtui.daybook.lines import read_lines
from fermtui.replay.replay import replay
from fermtui.replay.stage import STAGES, bottles_left, stage
from telling import story

LIFE = """
a0 = { at = 2026-01-01T18:00:00+01:00, did = "mix", honey_g = 1500, volume_l = 4.5 }
a1 = { at = 2026-01-02T18:00:00+01:00, did = "pitch" }
a2 = { at = 2026-01-10T18:00:00+01:00, did = "read", sg = 1.030 }
a3 = { at = 2026-01-20T18:00:00+01:00, did = "read", sg = 1.001 }
a4 = { at = 2026-01-22T18:00:00+01:00, did = "fruit", kind = "blackcurrant", mass_g = 500 }
a5 = { at = 2026-02-12T18:00:00+01:00, did = "pull" }
a6 = { at = 2026-02-13T18:00:00+01:00, did = "read", sg = 1.001 }
a7 = { at = 2026-02-19T18:00:00+01:00, did = "rack", volume_l = 4.2 }
a8 = { at = 2026-04-20T18:00:00+02:00, did = "rack", volume_l = 4.0 }
a9 = { at = 2026-06-01T18:00:00+02:00, did = "bottle", count = 3, size_ml = 750, left_l = 1.6 }
b0 = { at = 2026-06-02T18:00:00+02:00, did = "bottle", count = 4, size_ml = 375 }
"""


def seen(when: str, page: str = LIFE) -> str:
    now = datetime.fromisoformat(f"2026-{when}T20:00:00+01:00")
    entries, problems = read_lines(page.encode(), "daybook.toml")
    assert not problems
    return stage(replay(head_from({"name": "T"}), [entry for entry in entries if entry.at <= now]), now)


@pytest.mark.parametrize(
    ("when", "wanted"),
    [
        ("01-01", "must"), ("01-02", "fermenting"), ("01-10", "fermenting"), ("01-20", "clearing"),
        ("01-22", "on fruit"), ("02-11", "on fruit"),
        ("02-12", "fermenting"),  # the fruit brought sugar, and nobody has looked since
        ("02-13", "clearing"), ("02-19", "clearing"), ("03-20", "clearing"), ("03-22", "ageing"),
        ("04-21", "clearing"), ("05-21", "ageing"),
        # 1.6 L are still in the jug on the first of June.
        ("06-01", "ageing"), ("06-02", "bottled"), ("12-31", "bottled"),
    ],
)  # fmt: skip
def test_a_life(when: str, wanted: str) -> None:
    assert seen(when) == wanted
    assert wanted in STAGES


def test_racked_early_it_is_clearing_although_not_at_its_end() -> None:
    page = LIFE.split("a3 =", 1)[0] + 'a3 = { at = 2026-01-15T18:00:00+01:00, did = "rack", volume_l = 4.2 }'
    assert seen("01-16", page) == "clearing"


def test_a_must_drawn_off_its_solids_before_pitching_ferments() -> None:
    page = LIFE.split("a2 =", 1)[0] + 'a9 = { at = 2026-01-02T12:00:00+01:00, did = "rack", volume_l = 4.2 }'
    assert seen("01-03", page) == "fermenting"
    assert seen("03-03", page) == "fermenting"


def test_fruit_from_the_start() -> None:
    fruit = 'a9 = { at = 2026-01-02T12:00:00+01:00, did = "fruit", kind = "plum", mass_g = 9 }'
    page = LIFE.split("a2 =", 1)[0] + fruit
    assert seen("01-01", page) == "must"
    assert seen("01-03", page) == "on fruit"


def test_a_rest_below_a_litre_is_drunk_and_no_stage_of_its_own() -> None:
    """Common practice, no source: a glass or two goes to the cook. Of a litre's trial batch half is no rest."""
    rest = LIFE.split("b0 =", 1)[0]
    assert seen("06-01", rest.replace("left_l = 1.6", "left_l = 0.9")) == "bottled"
    assert seen("06-01", rest.replace("left_l = 1.6", 'left_l = 1.6, rest = "drunk"')) == "bottled"
    assert seen("06-01", rest.replace("count = 3", "count = 1").replace("left_l = 1.6", "left_l = 0.8")) == "ageing"


def test_an_emptied_vessel_is_done() -> None:
    page = LIFE.split("a3 =", 1)[0] + 'a3 = { at = 2026-01-15T18:00:00+01:00, did = "empty", reason = "vinegar" }'
    assert seen("01-16", page) == "bottled"


def test_no_bottle_is_left_when_all_are_opened() -> None:
    page = '01T19:00 "pitch"\n20T19:00 "bottle", count = 2, size_ml = 750, left_l = 0\n'
    assert bottles_left(story(page)) == 2
    assert bottles_left(story(page + '25T19:00 "open", count = 2')) == 0
