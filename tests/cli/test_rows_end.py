"""Every row of the list can be ended, and nothing stands in it that cannot be done."""

from __future__ import annotations

from typing import Any

HEAD = 'name = "Quince"\nschedule = "two-doses"\n[plan]\nvolume_l = 4.2\ngravity = 1.095\n'
STARTED = {"vessels/quince/vessel.toml": HEAD, "vessels/quince/daybook.toml": ""}


def rows(fermtui: Any, on: str, *more: str) -> list[str]:
    ran = fermtui("due", "--on", on, *more)
    assert ran.status == 0
    return [line for line in ran.out.splitlines()[1:] if line.strip()]


def test_a_must_that_is_still_to_be_mixed_is_one_row(cellar: Any, fermtui: Any) -> None:
    cellar(STARTED)
    for on in ("2026-03-01", "2026-03-20"):
        (row,) = rows(fermtui, on, "--days", "14")
        assert "mix the must" in row
    assert fermtui("write", "quince", "mix", "volume_l=4.2", "honey_g=1200", "--at", "2026-03-20").status == 0
    assert len(rows(fermtui, "2026-03-20")) > 3, "from then on its dates are real"


def test_the_rest_of_a_bottling_ends_with_a_skip_and_comes_back_with_its_strike(cellar: Any, fermtui: Any) -> None:
    page = """
        { at = 2026-01-10T10:00:00+01:00, did = "mix", volume_l = 4.2 }
        { at = 2026-01-10T10:10:00+01:00, did = "read", sg = 1.080, temp_c = 20 }
        { at = 2026-01-10T10:20:00+01:00, did = "pitch" }
        { at = 2026-03-01T10:00:00+01:00, did = "bottle", count = 3, size_ml = 750, left_l = 1.5 }
    """
    cellar({**STARTED, "vessels/quince/daybook.toml": page})
    assert any("bottle-rest" in row for row in rows(fermtui, "2026-03-02"))
    assert fermtui("write", "quince", "skip", "task=bottle-rest", "--at", "2026-03-02").status == 0
    assert not any("bottle-rest" in row for row in rows(fermtui, "2026-03-20"))
    assert fermtui("show", "quince", "--on", "2026-03-20", "--json").json["stage"] == "bottled"
    assert fermtui("strike", "quince", "--on", "2026-03-03").status == 0
    assert any("bottle-rest" in row for row in rows(fermtui, "2026-03-20"))
    again = fermtui("write", "quince", "bottle", "count=2", "size_ml=750", "rest=eaten", "--at", "2026-03-02")
    assert (again.status, "drunk" in again.err) == (1, True), "what became of a rest is said in one of three words"
