"""A sensor alone lets nothing into bottles; one reading by hand in the calm does. Common practice, no source."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from fermtui.daybook.head import head_from
from fermtui.daybook.lines import read_lines
from fermtui.daybook.settings import Settings
from fermtui.replay.replay import replay
from fermtui.schedule.guards import check
from fermtui.wording.findings import finding_text

START = datetime(2026, 3, 1, 12, 0, tzinfo=UTC)
PAGE = (
    'a0 = { at = 2026-03-01T10:00:00Z, did = "mix", volume_l = 4.0, honey_g = 1200 }\n'
    'a1 = { at = 2026-03-01T11:00:00Z, did = "read", sg = 1.095, temp_c = 20 }\n'
    'a2 = { at = 2026-03-01T12:00:00Z, did = "pitch", temp_c = 22 }\n'
)
KEPT = (
    'b0 = { at = 2026-03-28T10:00:00Z, did = "rack", volume_l = 3.8 }\n'
    'b1 = { at = 2026-03-28T11:00:00Z, did = "sulfite", metabisulfite_g = 0.3, ph = 3.4 }\n'
    'b2 = { at = 2026-03-28T12:00:00Z, did = "sorbate", sorbate_g = 0.75, ph = 3.4 }\n'
)


def read(day: float, sg: float, by: str = "") -> str:
    at = (START + timedelta(days=day)).isoformat()
    who = ', by = "f", count = 48, spread_sg = 0.0005' if by else ""
    return f'r{by}{day * 100:.0f} = {{ at = {at}, did = "read", sg = {sg}, temp_c = 19{who} }}\n'


def refusals(page: str, day: float, end: float) -> list[str]:
    """What is refused, and in words, of bottling on that day."""
    entries, problems = read_lines((PAGE + page).encode(), "daybook.toml")
    assert not problems
    head = head_from({"name": "T", "plan": {"volume_l": 4.0, "gravity": 1.095, "end": end}})
    fields = {"count": 5, "size_ml": 750, "glass": "still"}
    found = check("bottle", fields, replay(head, entries), head.plan, Settings(UTC, "UTC"), START + timedelta(days=day))
    return [f"{one.observed.kind}: {finding_text(one)}" for one in found if one.kind == "refusal"]


def logged(first: int, last: int, sg: float) -> str:
    return "".join(read(day / 2, sg, "f") for day in range(2 * first, 2 * last))


@pytest.mark.parametrize(
    ("kept", "sg", "end", "days"),
    [("", 0.984, 1.0, 40), (KEPT, 1.012, 1.0, 40), ("", 1.012, 1.012, 90)],
    ids=["dry", "stabilised", "sweet end"],
)
def test_one_reading_by_hand_is_asked_for(kept: str, sg: float, end: float, days: int) -> None:
    page = kept + logged(18, days, sg)
    (alone,) = refusals(page, days, end)
    assert alone.startswith("only_sensor: ")
    assert "by f alone" in alone
    assert "hydrometer" in alone
    assert refusals(page + read(days - 2.2, sg), days, end) == []
