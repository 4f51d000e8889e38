"""A date is never cut, and what follows it stays in its column, however long the longest one is."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

PAGES = {
    "vessels/plum/vessel.toml": 'name = "Plum"\ncapacity_l = 5.0\nschedule = "fruit-when-dry"\n'
    '[plan]\nvolume_l = 4.2\ngravity = 1.095\nfruit = { kind = "plum", mass_g = 500 }\n',
    "vessels/plum/daybook.toml": """
        { at = 2026-11-20T19:30:00+01:00, did = "mix", volume_l = 4.2, honey_g = 1260 }
        { at = 2026-11-20T19:35:00+01:00, did = "read", sg = 1.095, temp_c = 20 }
        { at = 2026-11-20T19:40:00+01:00, did = "pitch", yeast_g = 2.5 }
        { at = 2026-11-23T19:40:00+01:00, did = "read", sg = 1.082, temp_c = 20 }
    """,
}


@pytest.mark.parametrize("words", [("show", "plum"), ("due", "--days", "3000")])
def test_what_follows_a_date_stays_in_its_column(
    cellar: Callable[[Any], Path], fermtui: Callable[..., Any], words: tuple[str, ...]
) -> None:
    cellar(PAGES)
    ran = fermtui(*words, "--on", "2026-11-25T19:00:00+01:00")
    steps_of = ran.out.partition("\nreadings")[0].splitlines()
    rows = [line for line in steps_of if re.search(r"\[[a-z0-9-]+\]$", line)]
    assert any(re.search(r"from \d+ [A-Z][a-z]+ 2027 ", row) for row in rows)
    steps = "dose|aerate|degas|take|thaw|fruit|punch|rack|airlock|lees|bottle|taste"
    what = re.compile("Plum  " if words[0] == "due" else rf"(?<= )({steps})\b")
    assert len(rows) > 8
    assert len({found.start() for row in rows if (found := what.search(row))}) == 1
    assert all(what.search(row) for row in rows)
