"""What a guard refuses among the entries that stand, and with what it is over: each kind that can still hurt."""

from __future__ import annotations

from datetime import UTC

import pytest

from fermtui.daybook.head import Head, Plan, Yeast
from fermtui.daybook.settings import Settings
from fermtui.replay.replay import replay
from fermtui.replay.state import Measures
from fermtui.schedule.standing import judged

from .conftest import entries_of

HEAD = Head("Rowan", capacity_l=5.0, plan=Plan(volume_l=4.0, gravity=1.090, end=0.998, yeast=Yeast(tolerance_abv=14)))
CELLAR = Settings(zone=UTC, timezone="UTC")
MIX = '{ at = 2026-01-01T10:00:00Z, did = "mix", volume_l = 4.0, honey_g = 1150 }\n'
PITCH = '{ at = 2026-01-01T12:00:00Z, did = "pitch" }\n'
AT_WORK = MIX + PITCH + '{ at = 2026-01-08T12:00:00Z, did = "read", sg = 1.030, temp_c = 20 }\n'
CALM = "".join(f'{{ at = 2026-0{day}T12:00:00Z, did = "read", sg = 0.994, temp_c = 20 }}\n'
               for day in ("4-01", "4-10", "4-20", "5-01", "5-02"))  # fmt: skip
BOTTLED = '{ at = 2026-05-03T12:00:00Z, did = "bottle", count = 5, size_ml = 750, left_l = 0 }\n'
REFUSED = {
    "sealing_live_ferment": AT_WORK + '{ at = 2026-01-09T12:00:00Z, did = "chore", what = "solid bung on" }\n',
    "pitch_hot": MIX + PITCH.replace("did", "temp_c = 45, did"),
    "pitch_after_sulfite": MIX + '{ at = 2026-01-01T11:00:00Z, did = "sulfite", metabisulfite_g = 0.4 }\n' + PITCH,
    "fruit_overflow": AT_WORK + '{ at = 2026-01-09T12:00:00Z, did = "fruit", kind = "plum", mass_g = 2500 }\n',
    "runs_over": AT_WORK + '{ at = 2026-01-09T12:00:00Z, did = "top_up", with = "water", volume_l = 2 }\n',
    "sweeten_while_live": AT_WORK + '{ at = 2026-01-09T12:00:00Z, did = "sweeten", honey_g = 100 }\n',
    "sorbate_while_live": AT_WORK + '{ at = 2026-01-09T12:00:00Z, did = "sorbate", sorbate_g = 0.8, ph = 3.3 }\n',
    "sulfite_ceiling": AT_WORK + '{ at = 2026-01-09T12:00:00Z, did = "sulfite", metabisulfite_g = 5 }\n',
    "dose_beyond_need": MIX + PITCH + '{ at = 2026-01-02T12:00:00Z, did = "dose", autolysate_g = 90 }\n',
}
OVER_BY = {
    "sealing_live_ferment": '{ at = 2026-01-10T12:00:00Z, did = "chore", what = "airlock on again" }\n',
    "pitch_hot": '{ at = 2026-01-05T12:00:00Z, did = "read", sg = 1.070, temp_c = 20 }\n',
    "pitch_after_sulfite": '{ at = 2026-01-05T12:00:00Z, did = "read", sg = 1.070, temp_c = 20 }\n',
    "fruit_overflow": '{ at = 2026-01-12T12:00:00Z, did = "pull", what = "fruit" }\n',
    "runs_over": '{ at = 2026-01-12T12:00:00Z, did = "level", volume_l = 4.6 }\n',
    "sweeten_while_live": CALM,
    "sorbate_while_live": CALM,
    "sulfite_ceiling": CALM + BOTTLED + '{ at = 2026-06-01T12:00:00Z, did = "open", count = 5 }\n',
    "dose_beyond_need": CALM + BOTTLED + '{ at = 2026-06-01T12:00:00Z, did = "open", count = 5 }\n',
}
NOTE = '{ at = 2026-01-20T12:00:00Z, did = "note", text = "seen" }\n'


def kinds(page: str) -> list[str]:
    entries = entries_of(page)
    facts, _, found = judged(HEAD, entries, Measures(), CELLAR, "rowan")
    assert facts == replay(HEAD, entries, Measures())
    return [one.kind for one in found]


@pytest.mark.parametrize("kind", REFUSED)
def test_it_stands_until_it_is_over(kind: str) -> None:
    assert kinds(REFUSED[kind]) == [kind]
    assert kinds(REFUSED[kind] + NOTE) == [kind]
    assert kinds(REFUSED[kind] + OVER_BY[kind]) == []


@pytest.mark.parametrize("kind", REFUSED)
def test_a_reason_answers_it(kind: str) -> None:
    *before, last = REFUSED[kind].strip().splitlines()
    assert kinds("\n".join([*before, last.replace("did =", 'override = "meant so", did =')])) == []


def test_advice_is_no_trouble() -> None:
    assert kinds(AT_WORK + '{ at = 2026-01-09T12:00:00Z, did = "dose", dap_g = 1 }\n') == []
    assert kinds(AT_WORK + '{ at = 2026-01-09T12:00:00Z, did = "rack", volume_l = 3.8 }\n') == []
